"""Which distance to tape next. Twin: web/phone/geometry/next_line.js.

Two questions. While all fits so far: which line checks the pegs best. When several things may be wrong: which line they
foretell most differently.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from fieldapp.tape.adjust import adjust
from fieldapp.tape.network import Distance, NetPeg
from fieldapp.tape.strength import least_shown, weights_of

LONGEST_LINE_M = 30.0
SHORTEST_LINE_M = 1.0
"""Over a shorter line the place of the hook counts for more than the tape."""
LIKELY_MOVE_M = 0.10
"""One sigma of each axis of a move, and of a misreading, when it is foretold what a line would show: a choice."""
ENOUGH = 16.0
"""A move of LIKELY_MOVE_M that shows four sigmas is seen well enough; more counts for nothing."""
TOLD_APART = 0.01
"""Lines that tell hypotheses less apart than this tell nothing."""
ALMOST = 1e-3
"""How much the whole information counts where no line checks a peg in every direction yet."""

Ends = tuple[str, str]


def lines_in_reach(pegs: Sequence[NetPeg], reach_m: float) -> Iterator[Ends]:
    """Yield the pairs of pegs that a tape of this length spans, in the order of the pegs."""
    for one, other in itertools.combinations(pegs, 2):
        if SHORTEST_LINE_M <= np.hypot(*np.subtract(one.xy, other.xy)) <= reach_m:
            yield one.id, other.id


def first_lines(pegs: Sequence[NetPeg], sigma_m: float, reach_m: float, count: int = 3) -> tuple[Ends, ...]:
    """Return the distances to tape first, the best triangle and what adds most to it; `sigma_m` is the tape's."""
    lines: list[Distance] = []
    while len(lines) < count:
        best = _best_triangle(pegs, sigma_m, reach_m) if not lines else ()
        one = checking_line(pegs, lines, reach_m, sigma_m) if not best else None
        new = best or ((one,) if one is not None else ())
        if not new:
            break
        lines += [_line(pegs, ends, sigma_m) for ends in new]
    return tuple((line.one, line.other) for line in lines[:count])


def checking_line(
    pegs: Sequence[NetPeg], lines: Sequence[Distance], reach_m: float, sigma_m: float | None = None
) -> Ends | None:
    """Return the untaped line that makes moves of the pegs show best; None where every pair in reach is taped.

    It is the one with the greatest sum over the pegs of what a move of LIKELY_MOVE_M shows in its worst direction, up
    to ENOUGH each.
    """
    tape = sigma_m or max((line.sigma_m for line in lines), default=LIKELY_MOVE_M)
    taped = {frozenset((line.one, line.other)) for line in lines}
    open_ = [ends for ends in lines_in_reach(pegs, reach_m) if frozenset(ends) not in taped]
    return _best({ends: _checked(pegs, [*lines, _line(pegs, ends, tape)]) for ends in open_})


def separating_line(
    pegs: Sequence[NetPeg],
    lines: Sequence[Distance],
    left: Sequence[tuple[str | None, int | None]],
    reach_m: float,
) -> Ends | None:
    """Return the line, new or to be taped again, that the hypotheses `left` (peg or line number) tell most apart.

    Each foretells a normal distribution; two that overlap by o (Bhattacharyya 1943, from memory) count 1 - o. None
    where no line tells any two apart.
    """
    again = {(lines[line].one, lines[line].other) for _, line in left if line is not None}
    taped = {frozenset((line.one, line.other)) for line in lines}
    new = [ends for ends in lines_in_reach(pegs, reach_m) if frozenset(ends) not in taped]
    tape = max(line.sigma_m for line in lines)
    told = [_foretold(pegs, lines, one, [*new, *sorted(again)], tape) for one in left]
    scores = {
        ends: sum(1 - _overlap(a[at], b[at]) for a, b in itertools.combinations(told, 2))
        for at, ends in enumerate([*new, *sorted(again)])
    }
    return _best(scores, TOLD_APART)


def _best(scores: dict[Ends, float], least: float = 0.0) -> Ends | None:
    """Return the first of those that score highest, to nine digits, and more than `least`."""
    most = max(scores.values(), default=0.0)
    return next((ends for ends, score in scores.items() if score >= most * (1 - 1e-9) > least), None)


def _checked(pegs: Sequence[NetPeg], lines: Sequence[Distance]) -> float:
    asis = adjust(pegs, lines)
    weights, rows = weights_of(asis), asis.network.design(asis.xy - asis.network.origin)
    score = 0.0
    for at in range(len(pegs)):
        move = rows[:, 2 * at : 2 * at + 2] * LIKELY_MOVE_M
        score += min(ENOUGH, least_shown(move, weights))
        score += ALMOST * min(ENOUGH, float(np.trace(move.T @ weights @ move)))
    return score


def _best_triangle(pegs: Sequence[NetPeg], sigma_m: float, reach_m: float) -> tuple[Ends, ...]:
    reachable = set(lines_in_reach(pegs, reach_m))
    found: dict[tuple[Ends, ...], float] = {}
    for three in itertools.combinations([peg.id for peg in pegs], 3):
        sides = tuple(itertools.combinations(three, 2))
        if reachable.issuperset(sides):
            found[sides] = _checked(pegs, [_line(pegs, ends, sigma_m) for ends in sides])
    most = max(found.values(), default=0.0)
    return next((sides for sides, score in found.items() if score >= most * (1 - 1e-9)), ())


def _line(pegs: Sequence[NetPeg], ends: Ends, sigma_m: float) -> Distance:
    places = {peg.id: peg.xy for peg in pegs}
    return Distance(*ends, float(np.hypot(*np.subtract(places[ends[0]], places[ends[1]]))), sigma_m)


def _foretold(
    pegs: Sequence[NetPeg],
    lines: Sequence[Distance],
    wrong: tuple[str | None, int | None],
    asked: Sequence[Ends],
    tape_m: float,
) -> list[tuple[float, float]]:
    """Return mean and variance of each asked line if this is what is wrong."""
    peg, line = wrong
    loose_pegs = [_loosened(one) if one.id == peg else one for one in pegs]
    loose_lines = [_misread(one) if at == line else one for at, one in enumerate(lines)]
    fitted = adjust(loose_pegs, loose_lines)
    index, found = fitted.network.index, []
    for one, other in asked:
        a, b = index[one], index[other]
        way = fitted.xy[b] - fitted.xy[a]
        length = float(np.hypot(*way))
        row = np.zeros(fitted.xy.size)
        row[2 * a : 2 * a + 2], row[2 * b : 2 * b + 2] = -way / length, way / length
        found.append((length, float(row @ fitted.covariance @ row) + tape_m**2))
    return found


def _loosened(peg: NetPeg) -> NetPeg:
    known = 0.0 if peg.fixed else peg.sigma_m
    return replace(peg, fixed=False, sigma_m=None if known is None else float(np.hypot(known, LIKELY_MOVE_M)))


def _misread(line: Distance) -> Distance:
    return replace(line, sigma_m=float(np.hypot(line.sigma_m, LIKELY_MOVE_M)))


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return the Bhattacharyya coefficient of two normal distributions, given as mean and variance."""
    (mean, variance), (mean2, variance2) = one, other
    both = variance + variance2
    spread = 2 * np.sqrt(variance * variance2) / both
    return float(np.sqrt(spread) * np.exp(-((mean - mean2) ** 2) / (4 * both)))
