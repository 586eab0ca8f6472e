"""Room: how much there is square to the line of play between a bunker and what bounds it on the other side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.outline.crossings import TOUCH_M, Crossings, ray_crossings
from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.span import unit_vectors
from fieldapp.play.line_of_play import LineOfPlay


@dataclass(frozen=True)
class Room:
    """The least room found, course metres, what bounds it there, and on which side of the bunker it is (right 1)."""

    across_m: float
    bound: str
    toward: float


@dataclass(frozen=True, eq=False)
class Bound:
    """What may bound the room beside a bunker: a fairway's edge, which is left, or other sand, which is met."""

    name: str
    curve: Curve
    is_fairway: bool = False


@dataclass(frozen=True, eq=False)
class Side:
    """One side of a bunker from one tee: stations `(N,)` along the line of play, course metres, the side that the room
    is looked for on (right 1, left -1), and what may bound it.
    """

    line: LineOfPlay
    stations_m: FloatArray
    toward: float
    bounds: Sequence[Bound]


def rooms_beside(curve: Curve, sides: Sequence[Side]) -> list[Room | None]:
    """Return the least room on each side over its stations, course metres; all are worked out together.

    Measured square to the line, from the last of the bunker's own edge on. The fairway ends where that way leaves it,
    also when it first comes on to it. None where no station meets both the bunker and a bound.
    """
    if not sides:
        return []
    rays = [_rays(curve, side) for side in sides]
    start, across = (np.concatenate(parts) for parts in zip(*rays, strict=True))
    of = np.repeat(np.arange(len(sides)), [len(bearing) for _, bearing in rays])
    inner = _last(ray_crossings(curve, start, across), len(of))
    found: list[Room | None] = [None] * len(sides)
    for bound in dict.fromkeys(bound for side in sides for bound in side.bounds):
        bounded = np.array([bound in side.bounds for side in sides])
        asked = np.flatnonzero(bounded[of])
        met = ray_crossings(bound.curve, start[asked], across[asked])
        room = _beyond(met, inner[asked], bound.is_fairway) - inner[asked]
        for index in np.flatnonzero(bounded):
            found[index] = _less(found[index], room[of[asked] == index], bound.name, sides[int(index)].toward)
    return found


def _rays(curve: Curve, side: Side) -> tuple[FloatArray, FloatArray]:
    """Return the starts `(N, 2)` of rays across, so far back that all of the bunker is ahead, and their bearings."""
    place, bearing = side.line.at(side.stations_m)
    across = bearing + 90.0 * side.toward
    back_m = float(np.max(np.abs(curve.steps.vertices + curve.pieces.origin - place[0]).sum(axis=1)))
    back_m += float(np.ptp(side.stations_m)) + 1.0
    return place - back_m * unit_vectors(across), across


def _last(found: Crossings, count: int) -> FloatArray:
    """Return the last crossing of each ray, NaN where there is none."""
    last = np.full(count, np.nan)
    last[found.ray] = found.distance_m
    return last


def _beyond(found: Crossings, inner: FloatArray, is_fairway: bool) -> FloatArray:
    """Return where each ray, from `inner` on, leaves the fairway or meets other sand; NaN where it does not.

    Other sand that `inner` lies in or touches is met there.
    """
    beyond = found.distance_m > inner[found.ray] - TOUCH_M
    ray, distance = found.ray[beyond], found.distance_m[beyond]
    many = np.bincount(ray, minlength=len(inner))
    first = np.cumsum(many) - many
    wanted = first + (is_fairway & (many > 0) & (many % 2 == 0))
    outer = np.full(len(inner), np.nan)
    outer[many > 0] = distance[wanted[many > 0]]
    if not is_fairway:
        outer[many % 2 == 1] = inner[many % 2 == 1]
    return np.asarray(np.maximum(outer, inner))


def _less(known: Room | None, across_m: FloatArray, bound: str, toward: float) -> Room | None:
    """Return the lesser of a room known and those at some stations, NaN where there is none."""
    least = float(np.min(across_m, initial=np.inf, where=np.isfinite(across_m)))
    if not np.isfinite(least) or (known is not None and known.across_m <= least):
        return known
    return Room(least, bound, toward)
