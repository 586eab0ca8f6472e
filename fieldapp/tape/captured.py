"""An outline as it was measured on the ground point by point: places with their covariance, a curve, a band."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import InputError
from fieldapp.model import CapturedPoint, ControlPoint, DrawnShape
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.tape.baseline import SQUARE_UNIT_M, baseline_table, point_at
from fieldapp.tape.intersection import Ellipse
from fieldapp.tape.reset import ResetTie, reset_peg
from fieldapp.tape.ties import Tape, TiePeg

FloatArray = NDArray[np.float64]
CurveKind = Literal["smooth", "straight"]

IN_95 = NormalDist().inv_cdf(0.975)
TRACE_SAGITTA_M = 0.002
SAME_M = 0.001


@dataclass(frozen=True, eq=False)
class PlacedPoint:
    """A captured point in ground metres `(2,)` with its covariance `(2, 2)`, None where that is unknown."""

    xy: FloatArray
    covariance: FloatArray | None

    @property
    def radius95_m(self) -> float | None:
        """The long half axis of the 95 % ellipse, ground metres, as phones tell it; None where that is unknown."""
        if self.covariance is None:
            return None
        return R95_IN_SIGMA * math.sqrt(float(np.linalg.eigvalsh(self.covariance)[-1]))


@dataclass(frozen=True, eq=False)
class CapturedLine:
    """A captured outline: its curve in ground metres, a trace `(M, 2)` of it with the band's half width `(M,)`.

    `band95_m` holds the true line's place square to the curve 95 times in 100; it is known at the measured points and
    carried evenly from one to the next. It is None where a point's error is unknown. `widest_gap_m` is the longest
    stretch without a point, and `bulge_m` how far the curve leaves the straight line between two: what is drawn there
    is the curve's, nobody measured it.
    """

    curve: Curve
    trace: FloatArray
    band95_m: FloatArray | None
    at_points95_m: FloatArray | None
    widest_gap_m: float
    bulge_m: float


def place_point(
    point: CapturedPoint,
    pegs: Mapping[str, TiePeg],
    tape: Tape,
    ground_scale: float,
    square_unit_m: float = SQUARE_UNIT_M,
) -> PlacedPoint:
    """Work a captured point out from its pegs (ground metres) and distances.

    One by reading is where the phone put it, with a circular error; `square_unit_m` is the unit of the 3-4-5 with which
    squares were set off a string. Raises InputError, in words, for a peg that is not told, and for distances that
    cannot meet.
    """
    if point.by == "reading":
        known = None if point.within_m is None else (point.within_m / R95_IN_SIGMA) ** 2 * np.eye(2)
        return PlacedPoint(np.array([point.x, point.y]) * ground_scale, known)
    missing = [peg for peg in point.pegs if peg not in pegs]
    if missing:
        raise InputError(f"the place of peg '{missing[0]}' is not told with it.")
    used = [pegs[peg] for peg in point.pegs]
    return _by_line(point, used, tape, square_unit_m) if point.by == "line" else _by_ties(point, used, tape)


def captured_line(points: Sequence[PlacedPoint], closed: bool, curve: CurveKind) -> CapturedLine:
    """Join placed points, in the order given, to one curve with its band; raises OutlineError.

    The errors that a curve shares, of one peg that stands elsewhere, are in each point's own covariance.
    """
    xy = np.array([point.xy for point in points])
    drawn = build_curve(shape_through(xy, closed, curve))
    trace, along = drawn.trace_with_chainage(TRACE_SAGITTA_M)
    stops = _stops(drawn, xy, trace)
    sigma = _normal_sigmas(points, xy, closed)
    band = None if sigma is None else IN_95 * _between(along, stops, sigma, drawn)
    ring = np.vstack([xy, xy[:1]]) if closed else xy
    chords = np.hypot(*np.diff(ring, axis=0).T)
    return CapturedLine(
        curve=drawn,
        trace=trace,
        band95_m=band,
        at_points95_m=None if sigma is None else IN_95 * sigma,
        widest_gap_m=float(chords.max()),
        bulge_m=_bulge_m(ring, trace),
    )


def shape_through(xy: ArrayLike, closed: bool, curve: CurveKind) -> DrawnShape:
    """Return the drawn shape through places `(N, 2)`; one within a millimetre of the place before counts once."""
    places = np.asarray(xy, dtype=float)
    points = tuple(ControlPoint(float(x), float(y)) for x, y in places[~repeats(places, closed)])
    return DrawnShape(points, curve, closed)


def repeats(places: FloatArray, closed: bool) -> NDArray[np.bool_]:
    """Tell which places `(N, 2)` only repeat the one kept before, or, last of a closed line, the first."""
    found = np.zeros(len(places), dtype=bool)
    kept = 0
    for number in range(1, len(places)):
        found[number] = math.dist(places[number], places[kept]) < SAME_M
        kept = kept if found[number] else number
    if closed and kept > 0 and math.dist(places[kept], places[0]) < SAME_M:
        found[kept] = True
    return found


def _by_line(point: CapturedPoint, pegs: Sequence[TiePeg], tape: Tape, square_unit_m: float) -> PlacedPoint:
    start, end = pegs
    chainage, offset = point.distances_m
    xy = point_at(chainage, offset, start.xy, end.xy)
    return PlacedPoint(xy, _covariance(baseline_table(xy, start, end, tape, square_unit_m)[0].ellipse))


def _by_ties(point: CapturedPoint, pegs: Sequence[TiePeg], tape: Tape) -> PlacedPoint:
    """Two ties and a side, or three by least squares; the side is that of the line from the first peg to the second."""
    ties = [
        ResetTie(peg.xy, distance, math.hypot(tape.error_m, peg.sigma_m))
        for peg, distance in zip(pegs, point.distances_m, strict=True)
    ]
    found = reset_peg([ties[0], *ties[2:], ties[1]], point.side or None)
    if found.kind == "cannot meet":
        raise InputError(f"{_told(point)} {_miss(found.gap_m)}; tape them again.")
    if found.xy is None:
        raise InputError(f"{_told(point)} meet on both sides and the side is not told.")
    if found.fit == "does not fit":
        raise InputError(f"{_told(point)} do not meet in one place; tape them again.")
    covariance = found.covariance
    usable = covariance is not None and bool(np.isfinite(covariance).all())
    return PlacedPoint(found.xy, covariance if usable else None)


def _told(point: CapturedPoint) -> str:
    pairs = zip(point.distances_m, point.pegs, strict=True)
    return " and ".join(f"{distance:.2f} m from {peg}" for distance, peg in pairs)


def _miss(gap_m: float) -> str:
    if gap_m > 0:
        return f"are {gap_m:.2f} m too short together to meet"
    return f"cannot meet: one lies {-gap_m:.2f} m inside the other"


def _covariance(ellipse: Ellipse) -> FloatArray:
    """Return the covariance `(2, 2)` whose 95 % ellipse this is."""
    bearing = math.radians(ellipse.bearing_deg)
    axes = np.array([[math.sin(bearing), math.cos(bearing)], [math.cos(bearing), -math.sin(bearing)]])
    halves = np.array([ellipse.major_m, ellipse.minor_m]) / R95_IN_SIGMA
    return np.asarray(axes.T @ np.diag(halves**2) @ axes)


def _normal_sigmas(points: Sequence[PlacedPoint], xy: FloatArray, closed: bool) -> FloatArray | None:
    """Return one sigma `(N,)` of each point square to the line there: to the chord between its neighbours."""
    if any(point.covariance is None for point in points):
        return None
    covariance = np.array([point.covariance for point in points])
    ahead = np.roll(xy, -1, axis=0) if closed else np.vstack([xy[1:], xy[-1:]])
    behind = np.roll(xy, 1, axis=0) if closed else np.vstack([xy[:1], xy[:-1]])
    run = ahead - behind
    normal = np.stack([run[:, 1], -run[:, 0]], axis=1) / np.maximum(np.hypot(*run.T), 1e-9)[:, None]
    return np.asarray(np.sqrt(np.einsum("ni,nij,nj->n", normal, covariance, normal)))


def _stops(curve: Curve, xy: FloatArray, trace: FloatArray) -> FloatArray:
    """Return the chainage `(N,)` of each measured point on the curve through them."""
    share = shapely.line_locate_point(shapely.LineString(trace), shapely.points(xy), normalized=True)
    return np.asarray(share * curve.length_m)


def _between(along: FloatArray, stops: FloatArray, sigma: FloatArray, curve: Curve) -> FloatArray:
    order = np.argsort(stops)
    period = curve.length_m if curve.closed else None
    return np.asarray(np.interp(along, stops[order], sigma[order], period=period))


def _bulge_m(ring: FloatArray, trace: FloatArray) -> float:
    """Return how far a trace `(M, 2)` leaves the straight lines through `ring` `(K, 2)`."""
    return float(shapely.distance(shapely.points(trace), shapely.LineString(ring)).max())
