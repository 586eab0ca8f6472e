"""A drawing taken to the course: its numbers read in a unit, an order and a system, or fitted by pegs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import FitError, InputError, NotFoundError
from fieldapp.formats.drawing import Drawing, DrawnSpot
from fieldapp.geodesy.fit import Similarity, fit_similarity
from fieldapp.geodesy.grid import CourseGrid, build_grid
from fieldapp.model import ControlPoint, DrawnShape, Hole, ProjectedGrid
from fieldapp.model.drawing_reading import BY_PEGS, COURSE, LONLAT, DrawingReading, Tie
from fieldapp.play.line_of_play import line_of_play
from fieldapp.workflow.drawing_guess import Guess, OwnWords, guessed
from fieldapp.workflow.sites import StandingSite

Floats = NDArray[np.float64]
LEAST_APART_M = 5.0
MOST_TIES = 8
FAR_M = 1_000.0
"""A drawing that comes no nearer to its hole than this is not taken: it was read wrongly."""
ACCEPTED_STEP_M = 5.0
"""A published system is taken though the best step between datums needs a file that is not here, if it is told."""
ALONG_PLAY_M = 10.0
MOST_PROBED = 2_000


@dataclass(frozen=True)
class PlacedLine:
    """A line of a drawing in course metres; `index` is its place in the file, `away_m` how far off the hole it lies."""

    index: int
    layer: str
    name: str
    shape: DrawnShape
    away_m: float


@dataclass(frozen=True)
class PlacedDrawing:
    """A drawing in course metres; `told` are sentences about its reading, `similarity` the fit where it was fitted."""

    lines: tuple[PlacedLine, ...]
    spots: tuple[DrawnSpot, ...]
    away_m: float
    told: tuple[str, ...]
    similarity: Similarity | None = None


def guess_reading(standing: StandingSite, hole: Hole, drawing: Drawing) -> Guess:
    """Guess how a drawing is to be read, by what it says and by where each reading lands on a hole."""
    flat = _places(drawing)
    probe = flat[np.linspace(0, len(flat) - 1, min(len(flat), MOST_PROBED)).astype(int)]
    middle = standing.grid.to_gnss(np.array([hole.green_x, hole.green_y]))
    units = standing.site.units.coordinates
    words = OwnWords(
        unit_m=drawing.unit_m,
        system=_system_said(drawing.system),
        in_degrees=bool((np.abs(flat) <= 180).all()),
        site_unit="us-survey-foot" if units == "us-survey-foot" else "foot" if units == "foot" else "metre",
        utm=_utm_zone(float(middle[0]), float(middle[1])),
        hole=f"hole {hole.number}",
    )
    return guessed(words, partial(_landing_m, standing, hole, probe))


def place_drawing(
    standing: StandingSite, hole: Hole, drawing: Drawing, reading: DrawingReading
) -> PlacedDrawing:
    """Take a drawing to course metres; raises InputError in words for a reading that cannot be."""
    flat = _places(drawing)
    xy, told, similarity = _to_course(standing, reading, flat)
    if not np.isfinite(xy).all():
        raise InputError(
            "Some of the drawing has no place on the course when it is read so; choose another reading."
        )
    play = _along_play(standing, hole)
    lines, start = [], 0
    for index, line in enumerate(drawing.lines):
        own = xy[start : start + len(line.points)]
        start += len(line.points)
        points = tuple(
            ControlPoint(round(float(x), 6), round(float(y), 6), point.role)
            for (x, y), point in zip(own, line.points, strict=True)
        )
        shape = DrawnShape(points, line.curve, line.closed)
        lines.append(PlacedLine(index, line.layer, line.name, shape, _nearest_m(own, play)))
    spots = tuple(
        replace(spot, x=round(float(x), 6), y=round(float(y), 6))
        for spot, (x, y) in zip(drawing.spots, xy[start:], strict=True)
    )
    return PlacedDrawing(tuple(lines), spots, _nearest_m(xy, play), told, similarity)


def course_of(standing: StandingSite, reading: DrawingReading, xy: Floats) -> Floats:
    """Take places `(N, 2)` of a drawing or picture to course metres `(N, 2)`; raises InputError in words."""
    return _to_course(standing, reading, xy)[0]


def marks_of(standing: StandingSite) -> dict[str, tuple[float, float]]:
    """Return the places that a drawing may be fitted by, course metres: pegs and tee plates by their ids."""
    site = standing.site
    tees = {tee.id: (tee.x, tee.y) for tee in site.tees}
    return {**tees, **{peg.id: (peg.x, peg.y) for peg in site.pegs}}


def _system_said(system: str | None) -> str | None:
    return None if system is None else system.removeprefix("projected ")


def _places(drawing: Drawing) -> Floats:
    """Return every point and spot of a drawing `(N, 2)` in its own numbers, lines first."""
    points = [(point.x, point.y) for line in drawing.lines for point in line.points]
    return np.array([*points, *((spot.x, spot.y) for spot in drawing.spots)], dtype=float).reshape(-1, 2)


def _to_course(
    standing: StandingSite, reading: DrawingReading, flat: Floats
) -> tuple[Floats, tuple[str, ...], Similarity | None]:
    given = flat[:, ::-1] if reading.order == "yx" else flat
    if reading.system == LONLAT:
        return standing.grid.to_course(np.ascontiguousarray(given)), (), None
    if reading.system == BY_PEGS:
        return _fitted(standing, reading, given)
    metres = given * (reading.unit_m or 1.0)
    if reading.system == COURSE or _is_the_sites_own(standing, reading.system):
        return metres, (), None
    grid = _published(reading.system)
    told = (
        (f"Through {grid.definition.crs}.", *grid.notes) if isinstance(grid.definition, ProjectedGrid) else ()
    )
    return standing.grid.to_course(grid.to_gnss(metres)), told, None


def _is_the_sites_own(standing: StandingSite, system: str) -> bool:
    own = standing.site.grid
    return isinstance(own, ProjectedGrid) and own.crs.strip().upper() == system.upper()


@lru_cache(maxsize=16)
def _published(system: str) -> CourseGrid:
    return build_grid(ProjectedGrid(system, accept_error_m=ACCEPTED_STEP_M))


def _fitted(
    standing: StandingSite, reading: DrawingReading, given: Floats
) -> tuple[Floats, tuple[str, ...], Similarity | None]:
    source, target = _tied(standing, reading)
    unit_m = reading.unit_m
    fit = fit_similarity(source * (unit_m or 1.0), target, "free" if unit_m is None else "fixed")
    similarity = fit.similarity
    lengths = np.hypot(*fit.residuals.T)
    return similarity.apply(given * (unit_m or 1.0)), _fit_words(reading, similarity, lengths), similarity


def _tied(standing: StandingSite, reading: DrawingReading) -> tuple[Floats, Floats]:
    ties, marks = reading.ties, marks_of(standing)
    if len(ties) < 2:
        raise FitError(
            f"A fit by pegs needs two places at least and has {len(ties)}: give a place of the drawing and say which "
            "peg or tee plate it is, twice, well apart."
        )
    if len({tie.mark for tie in ties}) < len(ties):
        raise FitError("The same peg is named twice; give each place of the drawing a peg of its own.")
    unknown = next((tie.mark for tie in ties if tie.mark not in marks), None)
    if unknown is not None:
        raise NotFoundError(f"There is no peg or tee plate '{unknown[:40]}' on this site.")
    target = np.array([marks[tie.mark] for tie in ties])
    apart = np.hypot(*(target[:, None, :] - target[None, :, :]).reshape(-1, 2).T).max()
    if apart < LEAST_APART_M:
        raise FitError(
            f"These pegs lie {apart:.1f} m apart, too near to turn a drawing by; choose others, well apart."
        )
    return np.array([_in_order(tie, reading) for tie in ties]), target


def _in_order(tie: Tie, reading: DrawingReading) -> tuple[float, float]:
    return (tie.y, tie.x) if reading.order == "yx" else (tie.x, tie.y)


def _fit_words(reading: DrawingReading, similarity: Similarity, lengths: Floats) -> tuple[str, ...]:
    turn = (similarity.rotation_deg + 180) % 360 - 180
    told = [f"Turned by {abs(turn):.2f}° {'left' if turn >= 0 else 'right'} to fit."]
    if reading.unit_m is None:
        told.insert(0, f"One unit of the drawing is {similarity.scale:.6g} m.")
        if len(lengths) == 2:
            told.append("Two places fit whatever they are, so nothing checks this: name a third.")
            return tuple(told)
    worst = int(np.argmax(lengths))
    if len(lengths) == 2:
        told.append(
            f"The two pegs lie {2 * lengths[worst]:.2f} m nearer or farther apart than in the drawing."
        )
    else:
        told.append(
            f"The places are off by {np.sqrt(np.mean(lengths**2)):.2f} m (root mean square), the most at "
            f"{reading.ties[worst].mark}: {lengths[worst]:.2f} m."
        )
    return tuple(told)


def _landing_m(standing: StandingSite, hole: Hole, probe: Floats, reading: DrawingReading) -> float | None:
    try:
        xy = _to_course(standing, reading, probe)[0]
    except InputError:
        return None
    return _nearest_m(xy, _along_play(standing, hole)) if np.isfinite(xy).all() else None


def _along_play(standing: StandingSite, hole: Hole) -> Floats:
    """Return places `(N, 2)` every 10 m or so along the lines of play of a hole."""
    ends = [line_of_play(standing.site, tee).vertices for tee in standing.site.tees_of(hole.number)]
    found = [np.array([[hole.green_x, hole.green_y]])]
    for vertices in ends:
        for start, end in pairwise(vertices):
            count = max(2, int(np.hypot(*(end - start)) / ALONG_PLAY_M))
            found.append(np.linspace(start, end, count))
    return np.concatenate(found)


def _nearest_m(xy: Floats, play: Floats) -> float:
    few = xy[np.linspace(0, len(xy) - 1, min(len(xy), MOST_PROBED)).astype(int)]
    return min(
        float(np.sqrt(((piece[:, None, :] - play[None, :, :]) ** 2).sum(axis=2).min()))
        for piece in np.array_split(few, max(1, len(few) // 500))
    )


def _utm_zone(lon_deg: float, lat_deg: float) -> str:
    """Return the code of the UTM zone (WGS 84) of a place, without the exceptions of Norway and Svalbard."""
    return f"EPSG:{32600 if lat_deg >= 0 else 32700}"[:-2] + f"{int((lon_deg + 180) // 6) % 60 + 1:02d}"
