"""The tie sheet: for each paint point the pegs to tape it from. Twin: web/phone/geometry/ties.js."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.play.yardage import Z95_IN_SIGMA
from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.tape.intersection import Ellipse, crossing_angle_deg, ellipse_axes, point_covariance
from fieldapp.tape.slope import slope_distance

FloatArray = NDArray[np.float64]
Why = Literal["", "no peg in reach", "one peg in reach", "pegs in line"]

LEAST_TIE_M = 0.05
"""A peg nearer than this stands on the point itself: no tape is hooked there. A choice."""
POOR_CROSSING_DEG = 30.0
"""Tapes that cross at less make twice the error across that they make along. A choice; common practice is 30 to 150."""
MOST_WITHIN_M = 0.15
"""A peg known to a worse 95 % radius is not taped from: a tape is read to the centimetre. A choice."""
SAME = 1e-9
"""Axes that differ by no more than this share are equal; the pair that comes first is taken."""


@dataclass(frozen=True)
class TiePeg:
    """A peg to tape from: place `xy` in ground metres, one sigma of it on each axis, level where known."""

    id: str
    xy: tuple[float, float]
    sigma_m: float = 0.0
    level_m: float | None = None


@dataclass(frozen=True)
class Tape:
    """How far a tape reaches and one sigma of a distance taped with it, ground metres."""

    length_m: float
    error_m: float


@dataclass(frozen=True)
class Tie:
    """A distance to tape from a peg: level, and as the tape reads it on the slope where both levels are known."""

    peg: str
    level_m: float
    slope_m: float | None = None


@dataclass(frozen=True)
class PointTies:
    """The ties of a point: of two pegs, and a third as a check where one is in reach; none with the reason `why`.

    `side` is where the point lies, looking from the first peg to the second. `ellipse` is the 95 % ellipse of the
    point from the errors of tape and pegs; `check_within_m` how far the third distance may miss by them, 95 %.
    """

    ties: tuple[Tie, ...]
    side: Literal["", "left", "right"] = ""
    crossing_deg: float | None = None
    ellipse: Ellipse | None = None
    check_within_m: float | None = None
    why: Why = ""


def peg_sigma_m(within_m: float | None) -> float:
    """Return one sigma on each axis of a peg known within a 95 % radius; a peg of the plan itself counts as exact."""
    return 0.0 if within_m is None else within_m / R95_IN_SIGMA


def is_tapeable(within_m: float | None) -> bool:
    """Return whether a peg known within a 95 % radius is good enough to tape from; one of the plan is."""
    return within_m is None or within_m <= MOST_WITHIN_M


@dataclass(frozen=True, eq=False)
class _Seen:
    """Points `(N, 2)` seen from pegs `(K, 2)`: distances `(N, K)`, directions `(N, K, 2)`, reach, each peg's sigma."""

    level_m: FloatArray
    slope_m: FloatArray
    direction: FloatArray
    in_reach: NDArray[np.bool_]
    sigma_m: FloatArray
    places: FloatArray
    points: FloatArray


def tie_sheet(
    points_xy: ArrayLike, pegs: Sequence[TiePeg], tape: Tape, levels_m: ArrayLike | None = None
) -> tuple[PointTies, ...]:
    """Return the ties of points `(N, 2)`, ground metres; `levels_m` `(N,)` are their levels, NaN where not known.

    Of all pairs of pegs in reach the one with the least long axis of the 95 % ellipse is taken, of equal ones the
    first in the order of the pegs. In reach is what the tape itself has to span, on the slope where that is known.
    The third is the peg in reach that shows the least error of either: one that crosses both well for how far its own
    distance is expected to miss.
    """
    seen = _see(np.asarray(points_xy, dtype=float).reshape(-1, 2), pegs, tape, levels_m)
    pairs = _best_pairs(seen)
    tied = np.flatnonzero(pairs[:, 0] >= 0)
    rows = _tied(seen, pegs, tied, pairs[tied]) if len(tied) else []
    found = dict(zip(tied.tolist(), rows, strict=True))
    count = seen.in_reach.sum(axis=1).tolist()
    return tuple(found.get(i) or PointTies((), why=_why(count[i])) for i in range(len(seen.points)))


def _see(points: FloatArray, pegs: Sequence[TiePeg], tape: Tape, levels_m: ArrayLike | None) -> _Seen:
    places = np.array([peg.xy for peg in pegs], dtype=float).reshape(-1, 2)
    way = points[:, None] - places
    level = np.sqrt(np.sum(way * way, axis=-1))
    slope = slope_distance(level, _rises(len(points), pegs, levels_m))
    reads = np.where(np.isnan(slope), level, slope)
    return _Seen(
        level_m=level,
        slope_m=slope,
        direction=way / np.maximum(level, LEAST_TIE_M)[..., None],
        in_reach=(reads <= tape.length_m) & (level >= LEAST_TIE_M),
        sigma_m=np.hypot(tape.error_m, np.array([peg.sigma_m for peg in pegs])),
        places=places,
        points=points,
    )


def _rises(count: int, pegs: Sequence[TiePeg], levels_m: ArrayLike | None) -> FloatArray:
    """Return how much higher each point lies than each peg `(N, K)`, NaN where not both are known."""
    points = np.full(count, np.nan) if levels_m is None else np.asarray(levels_m, dtype=float)
    levels = np.array([math.nan if peg.level_m is None else peg.level_m for peg in pegs], dtype=float)
    return np.asarray(points[:, None] - levels)


def _best_pairs(seen: _Seen) -> NDArray[np.intp]:
    """Return the first and the second peg of each point's best pair `(N, 2)`, -1 where there is none."""
    pairs = np.array(list(combinations(range(len(seen.places)), 2)), dtype=int).reshape(-1, 2)
    if len(pairs) == 0:
        return np.full((len(seen.points), 2), -1)
    one, other = pairs.T
    major = ellipse_axes(_covariance(seen, seen.points[:, None], one, other))[0]
    major = np.where(seen.in_reach[:, one] & seen.in_reach[:, other], major, np.inf)
    least = major.min(axis=1)
    best = pairs[np.argmax(major <= (least * (1 + SAME))[:, None], axis=1)]
    return np.where(np.isfinite(least)[:, None], best, -1)


def _covariance(
    seen: _Seen, points: FloatArray, one: NDArray[np.intp], other: NDArray[np.intp]
) -> FloatArray:
    sigma = seen.sigma_m
    return point_covariance(points, seen.places[one], seen.places[other], sigma[one], sigma[other])


def _why(in_reach: int) -> Why:
    if in_reach == 0:
        return "no peg in reach"
    return "one peg in reach" if in_reach == 1 else "pegs in line"


def _tied(
    seen: _Seen, pegs: Sequence[TiePeg], tied: NDArray[np.intp], pairs: NDArray[np.intp]
) -> list[PointTies]:
    """Return the ties of the points `tied` `(M,)` from their pairs of pegs `(M, 2)`."""
    one, other = pairs.T
    points = seen.points[tied]
    covariance = _covariance(seen, points, one, other)
    crossing = crossing_angle_deg(points, seen.places[one], seen.places[other])
    ellipses = np.stack(ellipse_axes(covariance), axis=1).tolist()
    left = _cross(seen.direction[tied, one], seen.direction[tied, other]) > 0
    check, within = _checks(seen, tied, pairs, covariance)
    return [
        PointTies(
            ties=tuple(
                Tie(pegs[k].id, float(seen.level_m[i, k]), _known(float(seen.slope_m[i, k])))
                for k in (*pairs[row].tolist(), *([] if check[row] < 0 else [int(check[row])]))
            ),
            side="left" if left[row] else "right",
            crossing_deg=float(crossing[row]),
            ellipse=Ellipse(*ellipses[row]),
            check_within_m=_known(float(within[row])),
        )
        for row, i in enumerate(tied.tolist())
    ]


def _known(value: float) -> float | None:
    return None if math.isnan(value) else value


def _cross(one: FloatArray, other: FloatArray) -> FloatArray:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _checks(
    seen: _Seen, tied: NDArray[np.intp], pairs: NDArray[np.intp], covariance: FloatArray
) -> tuple[NDArray[np.intp], FloatArray]:
    """Return the peg that shows the least error of either of both others, -1 without any, and how far it may miss.

    A slip of one tape shows in the third by the sine of the third's crossing with the other one; what counts is the
    lesser sine for one sigma of the third, from its own errors and those of the point. May miss is the half-width of
    the 95 % range of these.
    """
    rows = np.arange(len(tied))
    direction = seen.direction[tied]
    sines = np.abs([_cross(direction, direction[rows, used][:, None]) for used in pairs.T])
    free = seen.in_reach[tied].copy()
    free[rows[:, None], pairs] = False
    sigma = np.sqrt(seen.sigma_m**2 + np.einsum("nki,nij,nkj->nk", direction, covariance, direction))
    shows = np.where(free, sines.min(axis=0) / sigma, -1.0)
    best = shows.max(axis=1, keepdims=True)
    chosen = np.argmax(shows >= best * (1 - SAME * np.sign(best)), axis=1)
    none = best[:, 0] < 0
    return np.where(none, -1, chosen), np.where(none, np.nan, Z95_IN_SIGMA * sigma[rows, chosen])
