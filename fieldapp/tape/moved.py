"""Which peg moved, or which distance was misread? Twin: web/phone/geometry/moved.js.

Three kinds of hypothesis: nothing is wrong; one peg is elsewhere (two unknowns, or one where a single line goes to it);
one distance was misread (one unknown). Each is fitted by itself, by least squares.

1. *Does it fit?* The chi-square of the adjustment with every place as it was known, at the stated significance.
   Something is named only where this test fails, so nothing moved is taken for a move no oftener than that.
2. *What explains it?* A hypothesis is ruled out by a rival of q unknowns whose chi-square is lower by more than the
   critical value of q degrees of freedom. A rival does so to the right one with at most the stated probability: both
   together would fit no better than that, by the test for one more thing wrong. What remains must also pass the global
   test of its own.
3. A peg or a distance is *named* where exactly one hypothesis remains, and leaves a check (a degree of freedom).
   Otherwise it cannot be told, and the next line is the one that best separates those that remain. A distance that is
   named is wanted again, until it was taped again.

"All fit" wants more than a passed test: a move of `limit_m` of any taped peg, in the direction that shows it least,
would have failed the test with probability POWER.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from fieldapp.model.tape_record import TapedVerdict
from fieldapp.tape.adjust import SIGNIFICANCE, Adjustment, adjust
from fieldapp.tape.chi_square import critical
from fieldapp.tape.network import R95_IN_SIGMA, Distance, FloatArray, NetPeg
from fieldapp.tape.next_line import LONGEST_LINE_M, checking_line, separating_line
from fieldapp.tape.strength import LIMIT_M, Strength, strengths

Reason = Literal["fits", "nothing taped", "too few", "one peg", "one distance", "several", "more than one"]


@dataclass(frozen=True)
class Hypothesis:
    """One thing that may be wrong: the peg `peg`, or the line of number `line`, with how well the rest then fits."""

    peg: str | None
    line: int | None
    chi_square: float
    dof: int
    critical: float
    remains: bool = False

    @property
    def fits(self) -> bool:
        """Whether nothing else is wrong by the global test; trivially so without a check."""
        return self.dof == 0 or self.chi_square <= self.critical


@dataclass(frozen=True)
class Shift:
    """Where a peg that moved is now, ground metres: how far from where it was, and the 95 % ellipse's long half."""

    peg: str
    x: float
    y: float
    moved_m: float
    within_m: float


@dataclass(frozen=True)
class Finding:
    """What taped distances say of the pegs.

    `suspects` are the pegs and `suspect_line` the ends of the distance that may be wrong (with "misfit": that are),
    `shift` where the one named peg is now, `wanted` the ends of the next distance to tape, None where none in reach
    would help. `tests` has every hypothesis that was tried, `strengths` what the lines would show of each taped peg;
    `unchecked` are pegs to which nothing was taped.
    """

    verdict: TapedVerdict
    reason: Reason
    chi_square: float
    dof: int
    critical: float
    suspects: tuple[str, ...]
    suspect_line: tuple[str, str] | None
    shift: Shift | None
    wanted: tuple[str, str] | None
    tests: tuple[Hypothesis, ...]
    strengths: tuple[Strength, ...]
    unchecked: tuple[str, ...]


def which_moved(
    pegs: Sequence[NetPeg],
    lines: Sequence[Distance],
    significance: float = SIGNIFICANCE,
    limit_m: float = LIMIT_M,
    reach_m: float = LONGEST_LINE_M,
) -> Finding:
    """Find which peg moved or which distance was misread; ground metres. Raises InputError as `adjust` does.

    A line taped twice is given twice. `reach_m` is how long the wanted line may be: the tape.
    """
    asis = adjust(pegs, lines, significance=significance)
    found = strengths(asis, significance)
    if not lines:
        return _finding(
            asis, "cannot tell", "nothing taped", checking_line(pegs, lines, reach_m), found=found
        )
    if asis.fits:
        if all(one.is_checked(limit_m) for one in found):
            return _finding(asis, "all fit", "fits", None, found=found)
        return _finding(asis, "cannot tell", "too few", checking_line(pegs, lines, reach_m), found=found)
    tests = _tested(pegs, lines, asis.dof, significance)
    return _misfit(asis, pegs, lines, tests, found, reach_m)


def hypotheses(
    pegs: Sequence[NetPeg], lines: Sequence[Distance], significance: float = SIGNIFICANCE
) -> Iterator[Hypothesis]:
    """Yield each taped peg as moved and each line as misread, fitted by itself; none remains yet."""
    taped = {line.one for line in lines} | {line.other for line in lines}
    for peg in pegs:
        if peg.id in taped:
            fitted = adjust(moved_pegs(pegs, peg.id), lines, significance=significance)
            yield Hypothesis(peg.id, None, fitted.chi_square, fitted.dof, fitted.chi_critical)
    for at in range(len(lines)):
        fitted = adjust(pegs, [*lines[:at], *lines[at + 1 :]], significance=significance)
        yield Hypothesis(None, at, fitted.chi_square, fitted.dof, fitted.chi_critical)


def moved_pegs(pegs: Sequence[NetPeg], moved: str) -> list[NetPeg]:
    """Return the pegs with one of which the place is no longer known."""
    return [peg.freed() if peg.id == moved else peg for peg in pegs]


def _tested(
    pegs: Sequence[NetPeg], lines: Sequence[Distance], dof: int, significance: float
) -> tuple[Hypothesis, ...]:
    tried = list(hypotheses(pegs, lines, significance))
    most = min(one.chi_square + critical(dof - one.dof, significance) for one in tried)
    return tuple(replace(one, remains=one.chi_square <= most) for one in tried)


def _misfit(
    asis: Adjustment,
    pegs: Sequence[NetPeg],
    lines: Sequence[Distance],
    tests: tuple[Hypothesis, ...],
    found: tuple[Strength, ...],
    reach_m: float,
) -> Finding:
    left = [one for one in tests if one.remains]
    if not any(one.fits for one in left):
        wanted = checking_line(pegs, lines, reach_m)
        return _finding(asis, "misfit", "more than one", wanted, tests, found)
    suspects = tuple(one.peg for one in left if one.peg is not None)
    suspect_lines = [lines[one.line] for one in left if one.line is not None]
    line = (suspect_lines[0].one, suspect_lines[0].other) if len(suspect_lines) == 1 else None
    if len(left) > 1 or left[0].dof == 0:
        wanted = separating_line(pegs, lines, [(one.peg, one.line) for one in left], reach_m)
        return _finding(asis, "cannot tell", "several", wanted, tests, found, suspects, line)
    if line is not None:
        again = None if _is_taped_twice(lines, line) else line
        return _finding(asis, "misfit", "one distance", again, tests, found, (), line)
    shift = _shift(pegs, lines, suspects[0])
    return _finding(asis, "misfit", "one peg", None, tests, found, suspects, None, shift)


def _is_taped_twice(lines: Sequence[Distance], ends: tuple[str, str]) -> bool:
    return sum({one.one, one.other} == set(ends) for one in lines) > 1


def _shift(pegs: Sequence[NetPeg], lines: Sequence[Distance], moved: str) -> Shift | None:
    fitted = adjust(moved_pegs(pegs, moved), lines)
    if fitted.defect:
        return None
    at = fitted.network.index[moved]
    x, y = fitted.xy[at].tolist()
    own = fitted.covariance[2 * at : 2 * at + 2, 2 * at : 2 * at + 2]
    within = R95_IN_SIGMA * float(np.sqrt(np.linalg.eigvalsh(own)[-1]))
    return Shift(moved, x, y, float(np.hypot(*_change(fitted, at))), within)


def _change(fitted: Adjustment, at: int) -> FloatArray:
    change: FloatArray = fitted.xy[at] - fitted.network.origin - fitted.network.given[at]
    return change


def _finding(
    asis: Adjustment,
    verdict: TapedVerdict,
    reason: Reason,
    wanted: tuple[str, str] | None,
    tests: tuple[Hypothesis, ...] = (),
    found: tuple[Strength, ...] = (),
    suspects: tuple[str, ...] = (),
    suspect_line: tuple[str, str] | None = None,
    shift: Shift | None = None,
) -> Finding:
    taped = {one.peg for one in found}
    return Finding(
        verdict=verdict,
        reason=reason,
        chi_square=asis.chi_square,
        dof=asis.dof,
        critical=asis.chi_critical,
        suspects=suspects,
        suspect_line=suspect_line,
        shift=shift,
        wanted=wanted,
        tests=tests,
        strengths=found,
        unchecked=tuple(peg for peg in asis.network.index if peg not in taped),
    )
