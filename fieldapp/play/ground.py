"""The ground surface: triangles between spot levels, with gaps where nothing is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from fieldapp.model import SpotLevel

FloatArray = NDArray[np.float64]

LONGEST_SIDE_M = 40.0
"""Ground metres. A triangle with a longer side counts as unknown ground: a choice, so that two clusters of levels far
apart make no ground between them. Spot levels for building stand 5 to 25 m apart."""
ON_EDGE_M = 1e-6
"""A place this little beside a triangle counts as on its side; the level is then that of the triangle's own plane."""
LEAST_LENGTH_M = 1e-9
FLATTEST_M = 0.001
"""A triangle less high than this is no ground but a line of levels at the rim."""
SHAKEN_M = 1e-4
"""Where triangles are sought, places are moved by up to this at random, always alike. In a square grid of levels the
four corners of every square lie on one circle; GEOS 3.14 then leaves squares out, or fails, for one grid in three that
is turned and written to the millimetre. The triangles themselves have the places as they are given."""


@dataclass(frozen=True, eq=False)
class Ground:
    """Delaunay triangles `corners` `(T, 3, 2)`, course metres, with the `levels` `(T, 3)` of their corners, metres.

    Within a triangle the level is that of the plane through its corners. Outside them it is not known: nothing is
    extrapolated.
    """

    corners: FloatArray
    levels: FloatArray

    def level_at(self, xy: ArrayLike) -> FloatArray:
        """Return the level `(N,)` at places `(N, 2)`; NaN where it is not known."""
        places = np.asarray(xy, dtype=float).reshape(-1, 2)
        found = np.full(len(places), np.nan)
        place, triangle = self._tree.query(shapely.points(places), predicate="dwithin", distance=ON_EDGE_M)
        found[place] = self._on_plane(triangle, places[place])
        return found

    def profile(self, start_xy: ArrayLike, end_xy: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Return distances `(K,)` from the start, course metres, and levels `(K,)` along a straight line.

        There is a place wherever the line crosses a side, so that between two neighbours the ground is straight. A gap
        has one place of level NaN within it, at the very ends of the line on them: np.interp gives NaN in a gap.
        """
        start, end = np.asarray(start_xy, dtype=float), np.asarray(end_xy, dtype=float)
        length = float(np.hypot(*(end - start)))
        forward = (end - start) / max(length, LEAST_LENGTH_M)
        triangle, low, high = self._crossed(start, forward, length)
        ends = np.stack([low, high], axis=1)
        levels = self._on_plane(triangle[:, None], start + ends[..., None] * forward)
        distances, heights = _with_gaps(ends, levels, length)
        return np.array(distances), np.array(heights)

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.polygons(self.corners))

    @cached_property
    def _slopes(self) -> FloatArray:
        """Rise per metre along x and y of each triangle, `(T, 2)`."""
        sides = self.corners[:, 1:] - self.corners[:, :1]
        rises = self.levels[:, 1:] - self.levels[:, :1]
        return np.asarray(np.linalg.solve(sides, rises[..., None])[..., 0], dtype=float)

    def _on_plane(self, triangle: NDArray[np.intp], xy: FloatArray) -> FloatArray:
        away = xy - self.corners[triangle, 0]
        return np.asarray(self.levels[triangle, 0] + np.sum(away * self._slopes[triangle], axis=-1))

    def _crossed(
        self, start: FloatArray, forward: FloatArray, length: float
    ) -> tuple[NDArray[np.intp], FloatArray, FloatArray]:
        """Return the triangles that a line runs through, in order, and from and to which distance it does."""
        near = self._near(start, start + length * forward)
        corners = self.corners[near]
        sides = np.roll(corners, -1, axis=1) - corners
        inward = np.stack([-sides[..., 1], sides[..., 0]], axis=-1)
        inward /= np.hypot(sides[..., 0], sides[..., 1])[..., None]
        within = np.sum((start - corners) * inward, axis=-1) + LEAST_LENGTH_M
        per_metre = inward @ forward
        with np.errstate(divide="ignore", invalid="ignore"):
            at = -within / per_metre
        low = np.where(per_metre > 0, at, -np.inf).max(axis=1, initial=0.0)
        high = np.where(per_metre < 0, at, np.inf).min(axis=1, initial=length)
        never = np.any((per_metre == 0) & (within < 0), axis=1)
        triangle = np.flatnonzero(~never & (high - low > 3 * LEAST_LENGTH_M))
        triangle = triangle[np.argsort(low[triangle], kind="stable")]
        return near[triangle], low[triangle], high[triangle]

    def _near(self, start: FloatArray, end: FloatArray) -> NDArray[np.intp]:
        """Return the triangles that a line meets."""
        line = shapely.LineString([start, end])
        return np.sort(self._tree.query(line, predicate="dwithin", distance=ON_EDGE_M))


def ground_between(spot_levels: Sequence[SpotLevel], ground_scale: float = 1.0) -> Ground:
    """Return the surface between spot levels; `ground_scale` is ground metres per course metre.

    Fewer than three levels, or all of them in one line, make no surface: it has no triangles and no level anywhere.
    """
    places = {(spot.x, spot.y): spot.level_m for spot in spot_levels}
    origin = np.floor(np.mean(list(places) or [(0.0, 0.0)], axis=0))
    shaken = np.random.default_rng(0).uniform(-SHAKEN_M, SHAKEN_M, (len(places), 2)) - origin
    shifted = {tuple(xy + by): xy for xy, by in zip(places, shaken, strict=True)}
    triangles = shapely.delaunay_triangles(shapely.MultiPoint(list(shifted) or None)).geoms
    corners = [tuple(corner) for triangle in triangles for corner in shapely.get_coordinates(triangle)[:3]]
    rings = np.array([shifted[corner] for corner in corners], dtype=float).reshape(-1, 3, 2)
    side, area = _longest_side(rings), _twice_area(rings)
    rings = np.where((area < 0)[:, None, None], rings[:, ::-1], rings)
    kept = rings[(side * ground_scale <= LONGEST_SIDE_M) & (np.abs(area) > FLATTEST_M * side)]
    levels = np.array([places[x, y] for x, y in kept.reshape(-1, 2)], dtype=float).reshape(-1, 3)
    return Ground(kept, levels)


def _longest_side(rings: FloatArray) -> FloatArray:
    sides = np.roll(rings, -1, axis=1) - rings
    return np.asarray(np.hypot(sides[..., 0], sides[..., 1]).max(axis=1, initial=0.0))


def _twice_area(rings: FloatArray) -> FloatArray:
    one, other = rings[:, 1] - rings[:, 0], rings[:, 2] - rings[:, 0]
    return np.asarray(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])


def _with_gaps(ends: FloatArray, levels: FloatArray, length: float) -> tuple[list[float], list[float]]:
    """Join the ways `(K, 2)` through triangles to one profile from 0 to `length`."""
    distances: list[float] = []
    heights: list[float] = []
    reached = -np.inf
    for (low, high), (at_low, at_high) in zip(ends.tolist(), levels.tolist(), strict=True):
        if low > max(reached, 0.0) + ON_EDGE_M:
            distances.append((reached + low) / 2 if distances else 0.0)
            heights.append(np.nan)
        if low > reached + ON_EDGE_M:
            distances.append(low)
            heights.append(at_low)
        if high > reached + ON_EDGE_M:
            distances.append(high)
            heights.append(at_high)
            reached = high
    if reached < length - ON_EDGE_M:
        distances += [length] if distances else [0.0, length]
        heights += [np.nan] * (len(distances) - len(heights))
    return distances, heights
