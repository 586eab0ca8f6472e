"""Room: how much there is square to the line of play between a bunker and what bounds it on the other side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.outline.crossings import Crossings, ray_crossings
from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.span import unit_vectors
from fieldapp.play.line_of_play import LineOfPlay


@dataclass(frozen=True)
class Room:
    """The least room found, course metres, and what bounds it there."""

    across_m: float
    bound: str


@dataclass(frozen=True, eq=False)
class Bound:
    """What may bound the room beside a bunker: a fairway's edge, which is left, or other sand, which is met."""

    name: str
    curve: Curve
    is_fairway: bool = False


def room_beside(
    curve: Curve, line: LineOfPlay, stations_m: FloatArray, toward: float, bounds: Sequence[Bound]
) -> Room | None:
    """Return the least room over stations `(N,)` along a line of play, course metres.

    Measured square to the line, to its right (`toward` 1) or left (-1), from the last of the bunker's own edge on.
    The fairway ends where that way leaves it, also when it first comes on to it. None where no station meets both
    the bunker and a bound.
    """
    place, bearing = line.at(stations_m)
    across = bearing + 90.0 * toward
    back_m = float(np.max(np.hypot(*(curve.steps.vertices + curve.pieces.origin - place[0]).T)))
    back_m += float(np.ptp(stations_m)) + 1.0
    start = place - back_m * unit_vectors(across)
    inner = _last(ray_crossings(curve, start, across), len(stations_m))
    found: Room | None = None
    for bound in bounds:
        outer = _beyond(ray_crossings(bound.curve, start, across), inner, bound.is_fairway)
        least = float(np.min(outer - inner, initial=np.inf, where=np.isfinite(outer)))
        if np.isfinite(least) and (found is None or least < found.across_m):
            found = Room(least, bound.name)
    return found


def _last(found: Crossings, count: int) -> FloatArray:
    """Return the last crossing of each ray, NaN where there is none."""
    last = np.full(count, np.nan)
    last[found.ray] = found.distance_m
    return last


def _beyond(found: Crossings, inner: FloatArray, is_fairway: bool) -> FloatArray:
    """Return where each ray, from `inner` on, leaves the fairway or meets other sand; NaN where it does not."""
    beyond = found.distance_m > inner[found.ray]
    ray, distance = found.ray[beyond], found.distance_m[beyond]
    many = np.bincount(ray, minlength=len(inner))
    first = np.cumsum(many) - many
    wanted = first + (is_fairway & (many > 0) & (many % 2 == 0))
    outer = np.full(len(inner), np.nan)
    outer[many > 0] = distance[wanted[many > 0]]
    return outer
