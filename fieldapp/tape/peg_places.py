"""Where a peg may be driven: outside all that is dug or cut, off what it must keep off. Ground metres throughout."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

AWAY_M = (0.5, 3.5, 7.5, 13.0)
"""How far beyond the margin pegs are tried: choices, near enough for every tape."""
STEP_M = 3.0
"""How far apart pegs are tried along such a line, at the least."""
MOST_A_LINE = 48
ROUND_M = 0.1
"""Planned places are whole tenths of a metre: nobody drives a peg closer to a plan."""


@dataclass(frozen=True, eq=False)
class OutlineOnGround:
    """An outline of the work: its trace `(M, 2)`; a closed one is dug inside, an open one along its line."""

    trace_xy: FloatArray
    is_closed: bool


@dataclass(frozen=True, eq=False)
class PegGround:
    """The ground about a bunker: what is dug, what no peg may stand in, and what it had better not.

    `other_digs`, `keep_out`, `fairways` and `steep` are rings `(M, 2)`, of which the latter two are only avoided;
    `margin_m` is how far pegs stand from the dig at the least.
    """

    outlines: Sequence[OutlineOnGround]
    margin_m: float
    keep_out: Sequence[FloatArray] = ()
    other_digs: Sequence[FloatArray] = ()
    fairways: Sequence[FloatArray] = ()
    steep: Sequence[FloatArray] = ()
    dig: shapely.Geometry = field(init=False, repr=False)
    barred: shapely.Geometry = field(init=False, repr=False)
    avoided: shapely.Geometry = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "dig", shapely.union_all([_dug(outline) for outline in self.outlines]))
        object.__setattr__(self, "barred", _areas([*self.keep_out, *self.other_digs]))
        object.__setattr__(self, "avoided", _areas([*self.fairways, *self.steep]))
        shapely.prepare(self.barred)
        shapely.prepare(self.avoided)

    def is_free(self, xy: FloatArray) -> NDArray[np.bool_]:
        """Tell of places `(K, 2)` whether a peg may stand there."""
        at = shapely.points(xy)
        clear = shapely.distance(self.dig, at) >= self.margin_m - 1e-6
        return np.asarray(clear & ~shapely.intersects(self.barred, at))

    def away_m(self, xy: tuple[float, float]) -> float:
        """Return how far a place lies from the dig; 0 within it."""
        return float(shapely.distance(self.dig, shapely.Point(xy)))

    def is_barred(self, xy: tuple[float, float]) -> bool:
        """Tell whether a place lies where no peg may stand, apart from the dig."""
        return bool(self.barred.intersects(shapely.Point(xy)))

    def is_dug(self, xy: tuple[float, float]) -> bool:
        """Tell whether a place is dug away: within this dig or that of another bunker."""
        at = shapely.Point(xy)
        return bool(self.dig.intersects(at) or _areas(self.other_digs).intersects(at))

    def margin_rings(self) -> list[FloatArray]:
        """Return the lines that pegs stand outside of, each `(M, 2)`."""
        parts = shapely.get_parts(self.dig.buffer(self.margin_m))
        return [shapely.get_coordinates(part.exterior) for part in parts]

    def is_on_fairway(self, xy: tuple[float, float]) -> bool:
        """Tell whether a place lies on a fairway."""
        return bool(_areas(self.fairways).intersects(shapely.Point(xy)))

    def is_avoided(self, xy: FloatArray) -> NDArray[np.bool_]:
        """Tell of places `(K, 2)` whether a peg had better not stand there."""
        return np.asarray(shapely.intersects(self.avoided, shapely.points(xy)))

    def candidates(self) -> FloatArray:
        """Return places `(K, 2)` to try, along lines round the dig; always the same ones in the same order."""
        lines = [_around(self.dig, self.margin_m + away_m) for away_m in AWAY_M]
        places = np.unique(np.round(np.concatenate(lines) / ROUND_M), axis=0) * ROUND_M
        return np.asarray(places[self.is_free(places)])


def roomy_spots(ring: FloatArray, width: float, height: float, around: tuple[float, float]) -> FloatArray:
    """Return places `(K, 2)` in what a sheet shows of a ring, at least `around` inside it, the middle one first.

    Empty where there is no such room; all in the unit of the sheet, whose corner is 0, 0.
    """
    wide, high = around
    shown = _areas([ring]).intersection(shapely.box(0.0, 0.0, width, height))
    rows = np.arange(high, height, 2 * high)
    at = np.array([(x, y) for y in rows for x in np.arange(wide, width, wide)]).reshape(-1, 2)
    whole = shapely.box(at[:, 0] - wide, at[:, 1] - high, at[:, 0] + wide, at[:, 1] + high)
    free = at[shapely.contains(shown, whole)]
    if len(free) == 0:
        return np.asarray(free)
    return np.asarray(free[np.argsort(np.hypot(*(free - free.mean(axis=0)).T), kind="stable")])


def _dug(outline: OutlineOnGround) -> shapely.Geometry:
    if outline.is_closed and len(outline.trace_xy) > 2:
        return shapely.make_valid(shapely.Polygon(outline.trace_xy))
    return shapely.LineString(outline.trace_xy)


def _areas(rings: Sequence[FloatArray]) -> shapely.Geometry:
    return shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])


def _around(dig: shapely.Geometry, away_m: float) -> FloatArray:
    """Return places `(K, 2)` evenly along the line that far round the dig and all between its parts."""
    line = shapely.convex_hull(dig).buffer(away_m, quad_segs=16).exterior
    count = min(max(math.ceil(line.length / STEP_M), 8), MOST_A_LINE)
    at = shapely.line_interpolate_point(line, np.arange(count) / count, normalized=True)
    return np.asarray(shapely.get_coordinates(at))
