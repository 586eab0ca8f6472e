"""Reach and carry: where straight shots from a tee plate meet a bunker's sand, exact on its true curve.

Course metres in, ground metres out: `ground_scale` is ground metres per course metre. Distances are level.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.errors import OutlineError
from fieldapp.outline.crossings import Stretch, ray_crossings, stretches
from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.span import span_m, unit_vectors
from fieldapp.outline.steps import STEP_SAGITTA_M

EDGE_INSET = 1e-9
"""A fan's outermost shots lie this part of its width inside the edges of the sand, so that they meet it."""


@dataclass(frozen=True)
class Shot:
    """One straight shot on a course bearing. Ground metres.

    `stretches_m` are the ways over sand in order, from the plate; a plate inside the sand begins with 0.
    `width_m` is the bunker's, square to this shot. `passes_m` is how far beside the sand a shot passes that misses
    it, from the nearest sand ahead, or behind where none is ahead; positive where that lies right of the shot.
    """

    bearing_deg: float
    stretches_m: tuple[tuple[float, float], ...]
    width_m: float
    passes_m: float | None = None

    @property
    def reach_m(self) -> float | None:
        """To the first sand; None where the shot misses it."""
        return self.stretches_m[0][0] if self.stretches_m else None

    @property
    def carry_m(self) -> float | None:
        """To the end of the last sand; None where the shot misses it."""
        return self.stretches_m[-1][1] if self.stretches_m else None


@dataclass(frozen=True, eq=False)
class AimFan:
    """Carry against aim: N shots evenly from the left edge of the sand to its right edge, arrays `(N,)`.

    `off_line_deg` counts from the straight line tee to middle, right positive. Reach and carry are ground metres,
    NaN where a shot misses (between two parts of a bunker that wraps round the tee).
    """

    bearing_deg: FloatArray
    off_line_deg: FloatArray
    reach_m: FloatArray
    carry_m: FloatArray


def bearing_between(from_xy: ArrayLike, to_xy: ArrayLike) -> float:
    """Return the course bearing from one place to another, degrees; 0 where they are the same."""
    x, y = np.asarray(to_xy, dtype=float) - np.asarray(from_xy, dtype=float)
    return float(np.rad2deg(np.arctan2(x, y)) % 360.0)


def shot(curve: Curve, tee_xy: ArrayLike, bearing_deg: float, ground_scale: float) -> Shot:
    """Return the straight shot from a tee plate on a course bearing. Raises OutlineError for an open curve."""
    (found,) = shots(curve, np.reshape(tee_xy, (1, 2)), [bearing_deg], ground_scale)
    return found


def shots(
    curve: Curve, tees_xy: ArrayLike, bearings_deg: Sequence[float], ground_scale: float
) -> tuple[Shot, ...]:
    """Return straight shots from tee plates `(N, 2)`, one each on course bearings `(N,)`, worked out together.

    Raises OutlineError for an open curve.
    """
    _check_closed(curve)
    tees = np.asarray(tees_xy, dtype=float)
    found = ray_crossings(curve, tees, bearings_deg)
    least, greatest = span_m(curve, tees, np.add(bearings_deg, 90.0))
    return tuple(
        _shot(curve, tee, bearing, stretches(found.of(index)), (float(low), float(high)), ground_scale)
        for index, (tee, bearing, low, high) in enumerate(
            zip(tees, bearings_deg, least, greatest, strict=True)
        )
    )


def _shot(
    curve: Curve,
    tee: FloatArray,
    bearing_deg: float,
    ways: tuple[Stretch, ...],
    beside: Stretch,
    ground_scale: float,
) -> Shot:
    left, right = beside
    return Shot(
        bearing_deg=bearing_deg % 360.0,
        stretches_m=tuple((begin * ground_scale, end * ground_scale) for begin, end in ways),
        width_m=(right - left) * ground_scale,
        passes_m=None if ways else _passes_m(curve, tee, bearing_deg, beside) * ground_scale,
    )


def aim_fan(
    curve: Curve, tee_xy: ArrayLike, middle_xy: ArrayLike, ground_scale: float, count: int = 181
) -> AimFan:
    """Return reach and carry for `count` aims from the left edge of the sand, seen from the tee, to its right edge.

    A plate inside the sand sees it all round: from 180 degrees left to 180 degrees right. Raises OutlineError for an
    open curve.
    """
    _check_closed(curve)
    straight_deg = bearing_between(tee_xy, middle_xy)
    left_deg, right_deg = _edges_deg(curve, tee_xy, straight_deg)
    inset = (right_deg - left_deg) * EDGE_INSET
    off_line = np.linspace(left_deg + inset, right_deg - inset, count)
    bearing = (straight_deg + off_line) % 360.0
    found = ray_crossings(curve, tee_xy, bearing)
    many = np.bincount(found.ray, minlength=count)
    reach, carry = np.full(count, np.nan), np.full(count, np.nan)
    last = np.cumsum(many) - 1
    met = many > 0
    reach[met] = found.distance_m[(last - many + 1)[met]]
    carry[met] = found.distance_m[last[met]]
    reach[many % 2 == 1] = 0.0
    return AimFan(bearing, off_line, reach * ground_scale, carry * ground_scale)


def nearest_and_furthest(
    curve: Curve, tees_xy: ArrayLike, from_bearing_deg: float, to_bearing_deg: float, ground_scale: float
) -> list[tuple[float, float] | None]:
    """Return the nearest and the furthest sand from plates `(N, 2)` in a sector, clockwise from bearing to bearing.

    From a bearing to itself it is one ray, to 360 degrees or more beyond it all round. None where there is no sand in
    it; the nearest is 0 where the plate is inside the sand. Raises OutlineError for an open curve.
    """
    _check_closed(curve)
    tees, turn_deg = np.asarray(tees_xy, dtype=float), to_bearing_deg - from_bearing_deg
    wide = 360.0 if turn_deg >= 360.0 else turn_deg % 360.0
    sides = ray_crossings(
        curve, np.repeat(tees, 2, axis=0), np.tile([from_bearing_deg, to_bearing_deg], len(tees))
    )
    found: list[tuple[float, float] | None] = []
    for index, centre in enumerate(tees - curve.pieces.origin):
        on_sides = [sides.of(2 * index), sides.of(2 * index + 1)]
        ends = np.concatenate([_ends_within(curve, centre, from_bearing_deg, wide), *on_sides]) * ground_scale
        nearest = 0.0 if len(on_sides[0]) % 2 else float(ends.min(initial=np.inf))
        found.append((nearest, float(ends.max())) if len(ends) else None)
    return found


def _ends_within(curve: Curve, centre: FloatArray, from_bearing_deg: float, wide_deg: float) -> FloatArray:
    """Return distances of places of a curve within a sector, among them the nearest and the furthest."""

    def within_m(away: FloatArray) -> FloatArray:
        turned = (np.rad2deg(np.arctan2(*away.T)) - from_bearing_deg) % 360.0
        return np.asarray(np.hypot(*away[turned <= wide_deg].T))

    ends = within_m(curve.steps.vertices - centre)
    between = curve.steps.nearest_and_furthest(centre, ends.min(initial=np.inf), ends.max(initial=0.0))
    return np.concatenate([ends, within_m(between)])


def _check_closed(curve: Curve) -> None:
    if not curve.closed:
        raise OutlineError(
            "The sand edge is an open line, which has no reach and no carry; close it to measure shots by it."
        )


def _edges_deg(curve: Curve, tee_xy: ArrayLike, straight_deg: float) -> tuple[float, float]:
    """Return the bearings of the left and right edge of a curve seen from a tee, from the straight line on.

    Only steps that come within the sagitta of the outermost vertices can lie further out.
    """
    centre = np.asarray(tee_xy, dtype=float) - curve.pieces.origin
    away = curve.steps.vertices - centre
    bearing = _unwound(np.arctan2(*away.T))
    if abs(bearing[-1] - bearing[0]) > np.pi:
        return -180.0, 180.0
    away_m = np.hypot(*away.T)
    edges = np.array([bearing.min(), bearing.max()])
    near = np.any(away_m * np.abs(bearing - edges[:, np.newaxis]) <= 2 * STEP_SAGITTA_M, axis=0)
    places = curve.steps.outermost(np.flatnonzero(near[1:] | near[:-1]), centre)
    middle = edges.mean()
    there = middle + (np.arctan2(*places.T) - middle + np.pi) % (2 * np.pi) - np.pi
    outermost = np.array([there.min(initial=edges[0]), there.max(initial=edges[1])])
    off = np.rad2deg(outermost) - straight_deg
    left, right = off - 360.0 * np.round(off.mean() / 360.0)
    return float(left), float(right)


def _unwound(bearing: FloatArray) -> FloatArray:
    """Return bearings `(M,)` in radians, each within half a turn of the one before."""
    turn = np.diff(bearing)
    turn -= 2 * np.pi * np.round(turn / (2 * np.pi))
    return np.asarray(bearing[0] + np.concatenate([[0.0], np.cumsum(turn)]))


def _passes_m(curve: Curve, tee: FloatArray, bearing_deg: float, beside: Stretch) -> float:
    """Return how far the nearest sand lies to the right of a ray that misses it, course metres.

    `beside` is how far the sand reaches to the right, at least and at most; where all of it is ahead, that says it.
    """
    centre = tee - curve.pieces.origin
    forward, right = unit_vectors([bearing_deg, bearing_deg + 90.0])
    ahead = (curve.steps.vertices - centre) @ forward > 0
    if ahead.all():
        return min(beside, key=abs)
    if ahead.any():
        return min(_abeam_and_ahead(curve, tee, bearing_deg), key=abs)
    places = np.concatenate([curve.steps.vertices - centre, curve.steps.nearest_and_furthest(centre)])
    nearest = places[np.argmin(np.hypot(*places.T))]
    return float(np.copysign(np.hypot(*nearest), nearest @ right))


def _abeam_and_ahead(curve: Curve, tee: FloatArray, bearing_deg: float) -> list[float]:
    """Return how far to the right of a ray those places lie, abeam of its start or ahead, that may be nearest to it."""
    steps, centre = curve.steps, tee - curve.pieces.origin
    forward, right = unit_vectors([bearing_deg, bearing_deg + 90.0])
    turned, u = steps.turns(np.arange(len(steps)), np.tile(right, (len(steps), 1)))
    places = np.concatenate([steps.vertices, steps.position(turned, u)]) - centre
    abeam = ray_crossings(curve, tee, [bearing_deg + 90.0, bearing_deg - 90.0])
    return [*(places[places @ forward > 0] @ right).tolist(), *abeam.of(0).tolist(), *(-abeam.of(1)).tolist()]
