"""Crossings: where straight rays meet a curve, exact on the true curve, for many rays at once.

What is decided where a ray only just meets a curve:

- A ray that passes beside a closed curve, or touches it without getting in, has no crossing.
- One through a vertex or a corner crosses there once where it goes in or out, and not at all where it stays inside
  or outside.
- One along a straight edge counts as inside along that edge, whichever side the area lies on.
- One that starts inside has an odd number of crossings. A place nearer than a micrometre is the start itself.
- A grazing ray that cuts in between two vertices of the steps, less deep than their sagitta of a millimetre, is
  found: the place where such a step turns back is looked at too. Left out is a sliver less deep than that, of sand or
  of grass, within one step that turns twice.
- Of an open curve every place where a ray meets it is a crossing; a touch counts once, a straight run along the ray by
  its two ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray, IntArray
from fieldapp.outline.roots import bracketed_roots, chord_guess
from fieldapp.outline.steps import STEP_SAGITTA_M

ON_RAY_M = 1e-9
"""A vertex as near to a ray as this lies on it."""
TOUCH_M = 1e-6
"""A shorter way inside, or outside, is none but a touch; and a place so near the start is the start."""

BoolArray = NDArray[np.bool_]
Stretch = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Crossings:
    """K crossings, sorted by ray and then by distance.

    `ray` `(K,)` is the index of the ray; `distance_m` `(K,)` course metres from its start, more than 0.
    """

    ray: IntArray
    distance_m: FloatArray

    def of(self, ray: int) -> FloatArray:
        """Return the distances of one ray."""
        first, last = np.searchsorted(self.ray, [ray, ray + 1])
        return self.distance_m[first:last]


def ray_crossings(curve: Curve, origin_xy: ArrayLike, bearing_deg: ArrayLike) -> Crossings:
    """Return every crossing of rays with a curve.

    They start from `origin_xy`, one place `(2,)` or one a ray `(N, 2)`, on course bearings `(N,)`. Sign changes on
    the steps of the curve bracket them; each is refined on the true piece, to well below 1e-9 m.
    """
    bearing = np.deg2rad(np.atleast_1d(np.asarray(bearing_deg, dtype=float)))
    forward = np.stack([np.sin(bearing), np.cos(bearing)], axis=-1)
    start = np.asarray(origin_xy, dtype=float) - curve.pieces.origin
    rays = _Rays(curve, np.broadcast_to(start, forward.shape), forward)
    side = rays.left_m(curve.steps.vertices)
    near = _near(side)
    found = rays.crossings(side, side > 0.0, near)
    on_ray = np.unique(near[0][np.abs(side[near]) <= ON_RAY_M])
    return found if len(on_ray) == 0 else _decided(curve.closed, rays, side, found, on_ray)


def stretches(distance_m: FloatArray) -> tuple[Stretch, ...]:
    """Return the ways inside a closed curve from the sorted crossings of one ray; the first begins at 0 if that is
    inside.
    """
    ends = [0.0, *distance_m] if len(distance_m) % 2 else list(distance_m)
    return tuple((float(a), float(b)) for a, b in zip(ends[::2], ends[1::2], strict=True))


@dataclass(frozen=True, eq=False)
class _Brackets:
    """K places where rays cross steps: between which u, whether from right to left, at about which u. `(K,)` each."""

    ray: IntArray
    step: IntArray
    low: FloatArray
    high: FloatArray
    to_left: BoolArray
    first: FloatArray

    def __add__(self, other: _Brackets) -> _Brackets:
        pairs = zip(vars(self).values(), vars(other).values(), strict=True)
        return _Brackets(*(np.concatenate(pair) for pair in pairs))


@dataclass(frozen=True, eq=False)
class _Rays:
    """N rays before a curve: starts less the curve's origin, and unit directions, `(N, 2)` each."""

    curve: Curve
    start: FloatArray
    forward: FloatArray

    @property
    def leftward(self) -> FloatArray:
        return np.stack([-self.forward[:, 1], self.forward[:, 0]], axis=-1)

    def left_m(self, vertices: FloatArray) -> FloatArray:
        """Return how far left of each ray each vertex `(M, 2)` lies, `(N, M)`."""
        left = self.leftward
        side = left[:, :1] * vertices[:, 0]
        side += left[:, 1:] * vertices[:, 1]
        side -= np.sum(left * self.start, axis=1, keepdims=True)
        return side

    def only(self, ray: IntArray) -> _Rays:
        return _Rays(self.curve, self.start[ray], self.forward[ray])

    def crossings(self, side: FloatArray, is_left: BoolArray, near: tuple[IntArray, ...]) -> Crossings:
        """Return the crossings of rays whose vertices lie `side` of them, each taken as left or not.

        `near` are rays and vertices within the sagitta of each other.
        """
        found = self._crossed(side, is_left)
        if len(near[0]):
            found += self._grazed(is_left, near)
        steps, start = self.curve.steps, self.start[found.ray]
        left, forward = self.leftward[found.ray], self.forward[found.ray]
        toward = steps.toward(found.step, left).less(np.sum(left * start, axis=-1))
        ends = found.low, found.high, found.to_left, found.first
        u = bracketed_roots(
            toward.value_and_slope, *ends, only=lambda some: toward.only(some).value_and_slope
        )
        distance = np.sum((steps.position(found.step, u) - start) * forward, axis=-1)
        order = np.lexsort((distance, found.ray))
        order = order[distance[order] > TOUCH_M]
        return Crossings(found.ray[order], distance[order])

    def _crossed(self, side: FloatArray, is_left: BoolArray) -> _Brackets:
        """Return the steps whose ends lie on both sides of a ray; the chord says about where they cross it."""
        flat, count = is_left.reshape(-1), is_left.shape[1]
        ray, step = np.divmod(np.flatnonzero(flat[1:] != flat[:-1]), count)
        within = step < count - 1
        ray, step = ray[within], step[within]
        before, after = side[ray, step], side[ray, step + 1]
        low, high = self.curve.steps.low[step], self.curve.steps.high[step]
        return _Brackets(ray, step, low, high, is_left[ray, step + 1], chord_guess(low, high, before, after))

    def _grazed(self, is_left: BoolArray, near: tuple[IntArray, ...]) -> _Brackets:
        """Return what is crossed within steps that begin and end on the same side of a ray: twice or not at all."""
        ray, step = _one_sided(is_left, near)
        steps, left = self.curve.steps, self.leftward[ray]
        turned, turn = steps.turns(step, left)
        ray, step, left = ray[turned], step[turned], left[turned]
        reach = steps.toward(step, left).value_and_slope(turn)[0]
        there = reach - np.sum(left * self.start[ray], axis=-1)
        was_left = is_left[ray, step]
        over = np.where(was_left, there < -ON_RAY_M, there > ON_RAY_M)
        ray, step, turn, was_left = ray[over], step[over], turn[over], was_left[over]
        low, high = steps.low[step], steps.high[step]
        return _Brackets(ray, step, low, turn, ~was_left, (low + turn) / 2) + _Brackets(
            ray, step, turn, high, was_left, (turn + high) / 2
        )


def _near(side: FloatArray) -> tuple[IntArray, IntArray]:
    """Return rays and vertices within the sagitta of each other."""
    ray, vertex = np.divmod(np.flatnonzero(np.abs(side) <= STEP_SAGITTA_M), side.shape[1])
    return ray, vertex


def _one_sided(is_left: BoolArray, near: tuple[IntArray, ...]) -> tuple[IntArray, IntArray]:
    """Return rays and steps that lie on one side of them and begin or end at a near vertex."""
    ray, vertex = near
    count = is_left.shape[1] - 1
    pairs = np.concatenate([(ray * count + vertex - 1)[vertex > 0], (ray * count + vertex)[vertex < count]])
    ray, step = np.divmod(np.unique(pairs), count)
    one_sided = is_left[ray, step] == is_left[ray, step + 1]
    return ray[one_sided], step[one_sided]


def _decided(closed: bool, rays: _Rays, side: FloatArray, found: Crossings, on_ray: IntArray) -> Crossings:
    """Return `found` with those of rays that run through vertices decided: what lies on a ray is taken as left of it
    and as right of it, and the ray is inside where it is inside either way.
    """
    some, side = rays.only(on_ray), side[on_ray]
    near = _near(side)
    as_left, as_right = (
        some.crossings(side, is_left, near) for is_left in (side >= -ON_RAY_M, side > ON_RAY_M)
    )
    join = _inside_either if closed else _met_either
    decided = [join(as_left.of(index), as_right.of(index)) for index in range(len(on_ray))]
    kept = ~np.isin(found.ray, on_ray)
    ray = np.concatenate([found.ray[kept], np.repeat(on_ray, [len(ways) for ways in decided])])
    distance = np.concatenate([found.distance_m[kept], *decided])
    order = np.lexsort((distance, ray))
    return Crossings(ray[order], distance[order])


def _inside_either(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return the ends of the union of two sets of stretches, touches left out and gaps that are touches closed."""
    joined: list[list[float]] = []
    for begin, end in sorted([*stretches(one), *stretches(other)]):
        if joined and begin <= joined[-1][1] + TOUCH_M:
            joined[-1][1] = max(joined[-1][1], end)
        elif end > begin + TOUCH_M:
            joined.append([begin, end])
    ends = np.array(joined).reshape(-1)
    return ends[ends > 0.0]


def _met_either(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return the places of both sets, those that are one place once."""
    met = np.sort(np.concatenate([one, other]))
    return met[np.diff(met, prepend=-np.inf) > TOUCH_M]
