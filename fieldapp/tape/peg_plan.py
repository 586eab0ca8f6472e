"""Where to drive pegs before the dig, so that every paint point can be taped from two. Ground metres throughout.

The objective is the worst expected error: the longest 95 % semi-axis over all paint points, each fixed from its best
two pegs in reach; a tenth of the mean is added, so that of plans nearly alike the one that is better all over wins. It
is sought by exchange: from pegs spread evenly round the dig one peg after the other goes where it does most, until none
gains (as optimal designs are sought: Fedorov, Theory of Optimal Experiments, 1972, from memory); then each is moved in
small steps. Nothing is random: the same ground gives the same plan.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import InputError
from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.tape.peg_places import ROUND_M, PegGround
from fieldapp.tape.peg_reach import (
    FloatArray,
    PointReach,
    lines_of,
    pair_errors,
    reach_of,
)
from fieldapp.tape.ties import Tape, TiePeg

LEAST_PEGS, MOST_PEGS = 3, 8
"""Two would do for a point; the third checks it, and with the second sets a lost one again."""
GOOD_CROSSING_DEG = 45.0
"""A plan is good where no crossing is worse than this, which costs 1.85 times the error of a square one: a choice."""
SPARE_M = 0.5
"""So much of a tape is left in the hand: a choice."""
MEAN_SHARE = 0.1
STARTS = 12
MOST_ROUNDS = 12
SHORTER_M = (25.0, 30.0, 35.0, 40.0, 45.0)
"""Reaches that are tried too where the tape is longer: with more in reach a search comes to rest in more places, and a
longer tape must not make a worse plan."""
STEPS_M = (1.6, 0.8, 0.4, 0.2, ROUND_M)


@dataclass(frozen=True, eq=False)
class PegPlan:
    """Planned pegs `(K, 2)` and what they and the standing ones give to every paint point.

    `reach.pair` counts the standing pegs first. `worst` is the index of the point with the longest semi-axis, of those
    alike the first.
    """

    pegs_xy: FloatArray
    reach: PointReach
    is_avoided: NDArray[np.bool_]

    @property
    def worst(self) -> int:
        """Index of the weakest paint point."""
        return int(np.argmax(self.reach.error_m))

    @property
    def worst_error_m(self) -> float | None:
        """Expected error of the weakest point; None where no two pegs reach it."""
        return float(self.reach.error_m[self.worst]) if self.reach.is_fixed[self.worst] else None


def good_error_m(tape: Tape) -> float:
    """Return the error at a crossing of GOOD_CROSSING_DEG from two pegs whose places are exact."""
    return R95_IN_SIGMA * tape.error_m / math.sqrt(1.0 - math.cos(math.radians(GOOD_CROSSING_DEG)))


def planned_reach_m(tape: Tape) -> float:
    """Return how far from a peg a point may lie."""
    return tape.length_m - SPARE_M


def plan_pegs(
    points_xy: FloatArray,
    ground: PegGround,
    tape: Tape,
    count: int | None = None,
    standing: Sequence[TiePeg] = (),
) -> PegPlan:
    """Return the plan of pegs for paint points `(N, 2)`.

    Without a count it is the smallest one, three pegs at the least with those that stand, that fixes every point
    within `good_error_m`; where none up to MOST_PEGS does, that with the least worst error. Pegs stand off what
    `ground` avoids where that is good enough. Raises InputError where no peg can stand anywhere.
    """
    candidates = ground.candidates()
    if len(candidates) == 0:
        raise InputError("There is no room for a peg round this bunker; give a smaller margin.")
    off = candidates[~ground.is_avoided(candidates)]
    pools = [candidates] if len(off) in (0, len(candidates)) else [off, candidates]
    least = max(LEAST_PEGS - len(standing), 0)
    best: PegPlan | None = None
    for many in range(least, MOST_PEGS + 1) if count is None else (count,):
        for pool in pools:
            plan = _best_of(points_xy, pool, many, ground, tape, standing)
            if float(plan.reach.error_m.max()) <= good_error_m(tape):
                return plan
            best = min(best or plan, plan, key=lambda one: one.reach.error_m.max())
    assert best is not None
    return best


def _best_of(
    points_xy: FloatArray,
    pool: FloatArray,
    count: int,
    ground: PegGround,
    tape: Tape,
    standing: Sequence[TiePeg],
) -> PegPlan:
    """Return the best plan of so many pegs that a search with the tape's own reach, or a shorter one, comes to."""
    plans = []
    for reach_m in _searched_reaches(tape):
        pegs_xy = _Search(points_xy, pool, tape.error_m, reach_m, standing).pegs(count, ground)
        plans.append(judge_pegs(points_xy, pegs_xy, ground, tape, standing))
    return min(plans, key=lambda plan: float(_score(plan.reach.error_m)))


def _searched_reaches(tape: Tape) -> list[float]:
    """Return the reaches to search with: a little is left so that a place told in whole tenths stays in reach."""
    own = planned_reach_m(tape) - 2 * ROUND_M
    return [own, *(reach_m for reach_m in SHORTER_M if reach_m < own)]


def judge_pegs(
    points_xy: FloatArray,
    pegs_xy: FloatArray,
    ground: PegGround,
    tape: Tape,
    standing: Sequence[TiePeg] = (),
) -> PegPlan:
    """Return what pegs at given places `(K, 2)` come to."""
    standing_xy, standing_sigma_m = _places(standing)
    xy = np.concatenate([standing_xy, pegs_xy])
    sigma_m = np.concatenate([standing_sigma_m, np.zeros(len(pegs_xy))])
    reach = reach_of(points_xy, xy, sigma_m, planned_reach_m(tape), tape.error_m)
    return PegPlan(pegs_xy, reach, ground.is_avoided(pegs_xy))


class _Search:
    """The exchange among C places `pool`; a choice of pegs is a list of their indices."""

    def __init__(
        self,
        points_xy: FloatArray,
        pool: FloatArray,
        error_m: float,
        reach_m: float,
        standing: Sequence[TiePeg],
    ) -> None:
        self._points_xy, self._pool, self._standing = points_xy, pool, standing
        self._error_m, self._reach_m = error_m, reach_m
        self._lines = lines_of(points_xy, pool, np.zeros(len(pool)), reach_m, error_m)
        old = lines_of(points_xy, *_places(standing), reach_m, error_m)
        self._of_standing = reach_of(points_xy, *_places(standing), reach_m, error_m).error_m
        alone = np.tile(self._of_standing, (len(pool), 1))
        self._alone = _least([pair_errors(old, at, self._lines) for at in range(len(standing))], alone)
        self._tables: dict[int, FloatArray] = {}

    def pegs(self, count: int, ground: PegGround) -> FloatArray:
        """Return the best places `(count, 2)` found from any start."""
        if count == 0:
            return np.zeros((0, 2))
        choices = {tuple(self.exchanged(start)) for start in self._starts(count)}
        found = [self._settled(self._pool[list(chosen)], ground) for chosen in sorted(choices)]
        return min(found, key=lambda pair: pair[0])[1]

    def _settled(self, xy: FloatArray, ground: PegGround) -> tuple[float, FloatArray]:
        """Return the score and the places `(K, 2)` of pegs moved off the pool in small steps while that gains."""
        may_avoid = bool(ground.is_avoided(self._pool).any())
        score = np.inf
        for step_m in STEPS_M:
            near = _neighbours(xy, step_m)
            free = ground.is_free(near) & (may_avoid | ~ground.is_avoided(near))
            pool = np.concatenate([xy, near[free]])
            local = _Search(self._points_xy, pool, self._error_m, self._reach_m, self._standing)
            chosen = local.exchanged(list(range(len(xy))))
            score, xy = local._score_of(chosen), local._pool[chosen]
        return score, xy

    def exchanged(self, chosen: list[int]) -> list[int]:
        """Return a choice in which no one peg gains by standing elsewhere in the pool."""
        for _ in range(MOST_ROUNDS):
            before = list(chosen)
            for slot in range(len(chosen)):
                others = chosen[:slot] + chosen[slot + 1 :]
                scores = _score(self._errors_with(others))
                best = int(np.argmin(scores))
                if scores[best] < scores[chosen[slot]] - 1e-9:
                    chosen[slot] = best
            if chosen == before:
                break
        return chosen

    def _starts(self, count: int) -> list[list[int]]:
        """Return choices spread evenly by direction from the middle of the points, turned by a share of the spread."""
        away = self._pool - self._points_xy.mean(axis=0)
        turn = np.arctan2(away[:, 0], away[:, 1])
        wanted = (np.arange(count)[None, :] + np.arange(STARTS)[:, None] / STARTS) * 2 * math.pi / count
        off = np.abs((turn - wanted[..., None] + math.pi) % (2 * math.pi) - math.pi)
        return [[int(one) for one in np.argmin(start, axis=1)] for start in off]

    def _score_of(self, chosen: list[int]) -> float:
        return float(_score(self._errors_with(chosen[1:]))[chosen[0]])

    def _errors_with(self, others: list[int]) -> FloatArray:
        """Return the error of every point `(C, N)` for each place taken in beside the others."""
        fixed = self._of_standing
        for at, one in enumerate(others):
            fixed = np.minimum(fixed, self._alone[one])
            for other in others[at + 1 :]:
                fixed = np.minimum(fixed, self._table(one)[other])
        return _least([self._table(one) for one in others], np.minimum(self._alone, fixed))

    def _table(self, one: int) -> FloatArray:
        """Return the errors `(C, N)` from one place and each other."""
        if one not in self._tables:
            self._tables[one] = pair_errors(self._lines, one, self._lines)
        return self._tables[one]


def _places(pegs: Sequence[TiePeg]) -> tuple[FloatArray, FloatArray]:
    """Return the places `(S, 2)` of pegs and one sigma of each per axis `(S,)`."""
    xy = np.array([peg.xy for peg in pegs], dtype=float).reshape(-1, 2)
    return xy, np.array([peg.sigma_m for peg in pegs], dtype=float)


def _score(errors_m: FloatArray) -> FloatArray:
    return np.asarray(errors_m.max(axis=-1) + MEAN_SHARE * errors_m.mean(axis=-1))


def _least(tables: Sequence[FloatArray], start: FloatArray) -> FloatArray:
    """Return the least of tables that are alike in shape, and of the start."""
    found = start
    for table in tables:
        found = np.minimum(found, table)
    return found


def _neighbours(xy: FloatArray, step_m: float) -> FloatArray:
    """Return the eight places `(8 K, 2)` about each of `(K, 2)`."""
    steps = np.array([(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1) if x or y]) * step_m
    return np.round((xy[:, None, :] + steps[None, :, :]).reshape(-1, 2) / ROUND_M) * ROUND_M
