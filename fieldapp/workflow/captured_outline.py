"""A capture worked out from its own record: the line in course coordinates, its band, what the phone put elsewhere."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import InputError
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Capture, DrawnShape, HeldRecord
from fieldapp.model.tape_record import CapturedPoint
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.reading.process import ErrorProcess
from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.tape.captured import PlacedPoint, captured_line, place_point, shape_through
from fieldapp.tape.ties import Tape, TiePeg
from fieldapp.tape.walk import WalkedLine, smooth_walk
from fieldapp.workflow.capture_shift import shift_of

FloatArray = NDArray[np.float64]

ELSEWHERE_M = 0.05
"""A point that the phone put farther than this from where its distances lead is told."""
MOST_TOLD = 3
MOST_RECKONED = 100
"""Of so many points the places are worked out anew when a capture comes in; a bunker has a few dozen."""
WALKED_EVERY_M = 1.0
WALKED_COUNTS = (24, 30, 40, 60, 120)
FIGURES = 4
"""Control points are written to a tenth of a millimetre."""


@dataclass(frozen=True, eq=False)
class CapturedOutline:
    """A captured outline in course metres; every `_m` is ground metres.

    `band_xy` `(M, 2)` are places of the line with the half width `band95_m` `(M,)` that holds the true one 95 times in
    100, None where the receiver gave no figure. `shape95_m` is the half width of a walk's band where only its shape
    counts, at its middle, `position95_m` the 95 % radius of where it lies as a whole; None for points. Of points
    `worst_point95_m` is the largest of their 95 % radii, None where one is unknown. `measured_xy`
    `(N, 2)` are the measured points, of a walk its fixes. `words` say what is to be known of it.
    """

    shape: DrawnShape
    curve: Curve
    band_xy: FloatArray
    band95_m: FloatArray | None
    measured_xy: FloatArray
    shape95_m: float | None = None
    position95_m: float | None = None
    worst_point95_m: float | None = None
    widest_gap_m: float | None = None
    bulge_m: float | None = None
    left_out: int = 0
    rounds: float = 1.0
    seconds: float = 0.0
    words: tuple[str, ...] = ()


def work_out(
    capture: Capture,
    grid: CourseGrid,
    ground_scale: float,
    held: Sequence[HeldRecord],
    square_unit_m: float,
) -> CapturedOutline:
    """Work a capture out; `ground_scale` is ground metres per course metre, `held` the site's records.

    `square_unit_m` is the unit of the 3-4-5 with which the crew sets its squares.
    Raises FieldappError, in words, for what makes no line.
    """
    if capture.method == "walk":
        return _walked(capture, grid, ground_scale, held)
    return _measured(capture, ground_scale, square_unit_m)


def measured_places(capture: Capture, grid: CourseGrid) -> FloatArray:
    """Return the places `(N, 2)`, course metres, of a capture as it came: its fixes, or the phone's points."""
    if capture.method == "walk":
        return grid.to_course(np.array([(fix.lon_deg, fix.lat_deg) for fix in capture.fixes]))
    return np.array([(point.x, point.y) for point in capture.points])


def elsewhere_words(capture: Capture, ground_scale: float) -> Iterator[str]:
    """Yield sentences about points that the phone put elsewhere than where their distances lead.

    Of very many points some, evenly along the line, are worked out: others wait to write meanwhile.
    """
    pegs, tape = _pegs(capture, ground_scale), Tape(math.inf, capture.tape_error_m)
    count = len(capture.points)
    reckoned = np.unique(np.linspace(0, count - 1, min(count, MOST_RECKONED)).round().astype(int)).tolist()
    words = (_elsewhere(number + 1, capture.points[number], pegs, tape, ground_scale) for number in reckoned)
    found = [one for one in words if one]
    yield from found[:MOST_TOLD]
    if len(found) > MOST_TOLD:
        yield f"So it is with {len(found) - MOST_TOLD} more points."
    if len(reckoned) < count:
        yield f"Only {len(reckoned)} of its {count:,} points were worked out anew here; its page shows all of them."


def _elsewhere(number: int, point: CapturedPoint, pegs: dict[str, TiePeg], tape: Tape, scale: float) -> str:
    """Say where a point leads to if not to where the phone put it; "" where it does."""
    try:
        placed = place_point(point, pegs, tape, scale)
    except InputError as fault:
        return f"Point {number}: {fault}"
    apart_m = math.dist(placed.xy, (point.x * scale, point.y * scale))
    if apart_m <= ELSEWHERE_M:
        return ""
    return f"Point {number}: the phone put it {apart_m:.2f} m from where its distances lead."


def _measured(capture: Capture, scale: float, square_unit_m: float) -> CapturedOutline:
    points = [placed for _, placed in placed_points(capture, scale, square_unit_m)]
    line = captured_line(points, capture.closed, capture.curve)
    xy = np.array([point.xy for point in points]) / scale
    shape = _written(shape_through(xy, capture.closed, capture.curve))
    return CapturedOutline(
        shape=shape,
        curve=build_curve(shape),
        band_xy=line.trace / scale,
        band95_m=line.band95_m,
        measured_xy=xy,
        worst_point95_m=_worst([point.radius95_m for point in points]),
        widest_gap_m=line.widest_gap_m,
        bulge_m=line.bulge_m,
    )


def _worst(radii_m: Sequence[float | None]) -> float | None:
    """Return the largest; None where one is not known."""
    known = [radius for radius in radii_m if radius is not None]
    return max(known) if len(known) == len(radii_m) else None


def placed_points(capture: Capture, scale: float, square_unit_m: float) -> list[tuple[int, PlacedPoint]]:
    """Return the points of a capture with their numbers, ground metres; raises InputError naming one that fails."""
    pegs, tape = _pegs(capture, scale), Tape(math.inf, capture.tape_error_m)
    found = []
    for number, point in enumerate(capture.points, 1):
        try:
            found.append((number, place_point(point, pegs, tape, scale, square_unit_m)))
        except InputError as fault:
            raise InputError(f"Point {number}: {fault}") from fault
    return found


def _pegs(capture: Capture, scale: float) -> dict[str, TiePeg]:
    return {
        peg.peg: TiePeg(peg.peg, (peg.x * scale, peg.y * scale), (peg.within_m or 0.0) / R95_IN_SIGMA)
        for peg in capture.pegs
    }


def _walked(capture: Capture, grid: CourseGrid, scale: float, held: Sequence[HeldRecord]) -> CapturedOutline:
    process = ErrorProcess(capture.parts, capture.spread)
    shift = shift_of(capture, process, held)
    fixes = measured_places(capture, grid) - np.array([shift.x_m, shift.y_m])
    line = smooth_walk(
        [fix.t_s for fix in capture.fixes],
        fixes * scale,
        [math.nan if fix.sigma_m is None else fix.sigma_m for fix in capture.fixes],
        process,
        capture.closed,
        shift.position_sigma_m,
    )
    shape = _written(shape_through(_control_points(line) / scale, capture.closed, "smooth"))
    shape95 = line.shape95_m
    return CapturedOutline(
        shape=shape,
        curve=build_curve(shape),
        band_xy=_ring(line.xy, line.closed) / scale,
        band95_m=None if line.band95_m is None else _ring(line.band95_m, line.closed),
        measured_xy=fixes,
        shape95_m=None if shape95 is None else float(np.median(shape95)),
        position95_m=None if line.position_sigma_m is None else R95_IN_SIGMA * line.position_sigma_m,
        left_out=line.left_out,
        rounds=line.rounds,
        seconds=line.seconds,
        words=(shift.words,),
    )


def _control_points(line: WalkedLine) -> FloatArray:
    """Return the fewest places of a walked line, at even steps, that lie no farther apart than about a metre."""
    count = len(line.xy)
    length_m = float(np.hypot(*np.diff(line.xy, axis=0).T).sum())
    wanted = next((some for some in WALKED_COUNTS if length_m / some <= WALKED_EVERY_M), count)
    if line.closed:
        return line.xy[:: count // wanted]
    return np.asarray(line.xy[np.linspace(0, count - 1, wanted).round().astype(int)])


def _ring(values: FloatArray, closed: bool) -> FloatArray:
    return np.concatenate([values, values[:1]]) if closed else values


def _written(shape: DrawnShape) -> DrawnShape:
    points = tuple(
        replace(point, x=round(point.x, FIGURES), y=round(point.y, FIGURES)) for point in shape.points
    )
    return replace(shape, points=points)
