"""How near a bunker comes to a thing to keep clear of. Twin: web/phone/geometry/clearance.js."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from numpy.typing import ArrayLike

from fieldapp.model import Peg
from fieldapp.model.keep_clear import KeepClear
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline

Place = tuple[float, float]


@dataclass(frozen=True)
class Nearness:
    """How near a bunker comes to one thing.

    `distance_m` is ground metres, 0 where they cross or one lies in the other; `bunker_at` and `thing_at` are the two
    ends of the shortest line between them, course metres, and `outline_id` is the outline it starts from.
    """

    thing: KeepClear
    distance_m: float
    outline_id: str
    bunker_at: Place
    thing_at: Place

    @property
    def is_too_near(self) -> bool:
        """Whether it comes nearer than the thing's clearance, or lies over it."""
        return self.distance_m < self.thing.clearance_m or self.distance_m == 0.0


def nearnesses(
    bunker: LaidOutBunker, things: Sequence[KeepClear], ground_scale: float
) -> tuple[Nearness, ...]:
    """Return how near a bunker comes to each of some things, the nearest first.

    A closed outline counts with all that lies within it. Distances are to the trace of an outline, within 0.2 mm of
    the true curve. `ground_scale` is ground metres per course metre.
    """
    shapes = [(outline, _ground_of(outline)) for outline in bunker.outlines]
    found = [_nearest(shapes, thing, ground_scale) for thing in things] if shapes else []
    return tuple(sorted(found, key=lambda one: (one.distance_m, one.thing.id)))


def nearest_peg(bunker: LaidOutBunker, pegs: Sequence[Peg], ground_scale: float) -> tuple[Peg, float] | None:
    """Return the peg nearest to any line of a bunker, inside or outside of it, and how far it is, ground metres."""
    if not pegs or not bunker.outlines:
        return None
    lines = shapely.union_all([shapely.LineString(outline.trace()) for outline in bunker.outlines])
    away = shapely.distance(shapely.points([(peg.x, peg.y) for peg in pegs]), lines)
    nearest = int(away.argmin())
    return pegs[nearest], float(away[nearest]) * ground_scale


def away_from_lines(thing: KeepClear, lines: Sequence[ArrayLike]) -> float:
    """Return how far a thing is from the nearest of some lines `(M, 2)`, course metres."""
    return min(float(shapely.distance(_extent_of(thing), shapely.LineString(line))) for line in lines)


def _nearest(
    shapes: Sequence[tuple[LaidOutOutline, shapely.Geometry]], thing: KeepClear, ground_scale: float
) -> Nearness:
    extent = _extent_of(thing)
    outline, shape = min(shapes, key=lambda one: float(shapely.distance(one[1], extent)))
    ends = shapely.get_coordinates(shapely.shortest_line(shape, extent))
    (ax, ay), (bx, by) = ends[0], ends[-1]
    distance_m = float(shapely.distance(shape, extent)) * ground_scale
    return Nearness(thing, distance_m, outline.id, (float(ax), float(ay)), (float(bx), float(by)))


def _ground_of(outline: LaidOutOutline) -> shapely.Geometry:
    trace = outline.trace()
    if not outline.curve.closed:
        return shapely.LineString(trace)
    return shapely.make_valid(shapely.Polygon(trace))


def _extent_of(thing: KeepClear) -> shapely.Geometry:
    if thing.extent == "point":
        return shapely.Point(thing.points[0])
    if thing.extent == "line":
        return shapely.LineString(thing.points)
    return shapely.make_valid(shapely.Polygon(thing.points))
