"""The yardage check: does a place measure what was planned, and what would settle it. Twin: geometry/yardage_check.js.

All lengths are ground metres; a range is the half-width of the 95 % range of the figure, along one line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fieldapp.model import CheckVerdict
from fieldapp.play.yardage import Z95_IN_SIGMA, straight_range95_m
from fieldapp.reading.check_in import CheckIn, radius95_with
from fieldapp.reading.process import ErrorProcess, worst_variance
from fieldapp.reading.verdict import R68_IN_SIGMA, R95_IN_SIGMA

LONGEST_S = 3600.0
"""Nobody is asked to hold still longer than this."""
MOST_FIXES, MOST_FIXES_WITH_CHECK_IN = 600, 30
"""As many fixes as the phone keeps of a standing; with a check-in fewer stand for them, which costs far less and makes
the radius of an untried receiver larger by 0.4 % at most."""
FIRST_S = 15.0
FINEST_M = 0.01
"""The smallest accuracy figure that any receiver is asked for; below it a tape or a surveyor is."""
WITHIN_S = 1.0

SettleKind = Literal[
    "settled", "know the grid", "step onto the line", "hold still", "better receiver", "tape"
]


@dataclass(frozen=True)
class CheckedFigure:
    """A figure against what was planned: `difference_m` is measured less planned.

    `line_effect_m` is how much standing off the line that the plan means may make of the difference: what the drawn
    outline measures there less what it measures on the line; 0 on it, None where the line stood on misses the outline.
    The radii are 95 % radii: of the position, the tee plate and the grid; None where unknown, which is never 0.
    `edge_slope` is how many metres farther or nearer the drawn edge lies per metre across the shot: an error across it
    is one of the line effect, and so of the difference, as many times over.
    """

    difference_m: float
    tolerance_m: float
    line_effect_m: float | None
    radius95_m: float | None
    tee95_m: float
    grid95_m: float | None
    edge_slope: float = 0.0

    @property
    def range95_m(self) -> float | None:
        """The half-width of the figure's 95 % range; None where that of the position or of the grid is unknown."""
        if self.radius95_m is None or self.grid95_m is None:
            return None
        return straight_range95_m(self.radius95_m * self.slant, self.tee95_m, self.grid95_m * self.slant)

    @property
    def slant(self) -> float:
        """How many times an error of the place counts: once along the shot, and across it by the slope of the edge."""
        return math.hypot(1.0, self.edge_slope)


@dataclass(frozen=True)
class Standing:
    """A reading going on: one-axis sigma of a fix, its first moment, the seconds stood, the check-in applied."""

    sigma_m: float
    first_s: float
    stood_s: float
    check_in: CheckIn | None = None


@dataclass(frozen=True)
class Settling:
    """What would settle a check that cannot tell, supposing that the figure stays what it is.

    `more_s` is how much longer to hold still; `radius95_m` and `accuracy_m` are the 95 % radius that a position must
    have at most, and the accuracy figure (68 % radius) of a receiver that has it.
    """

    kind: SettleKind
    more_s: float | None = None
    radius95_m: float | None = None
    accuracy_m: float | None = None


def check_verdict(
    difference_m: float, range95_m: float | None, tolerance_m: float, line_effect_m: float | None = 0.0
) -> CheckVerdict:
    """Judge a difference by guard bands (JCGM 106:2012): the 95 % range on both sides of the tolerance.

    What standing off the line makes of the difference is no random error, so its whole size is added to the guard. An
    unknown range, or a line that misses the outline: cannot tell.
    """
    if range95_m is None or line_effect_m is None:
        return "cannot tell"
    guard_m = range95_m + abs(line_effect_m)
    if abs(difference_m) + guard_m <= tolerance_m:
        return "agrees"
    return "differs" if abs(difference_m) - guard_m > tolerance_m else "cannot tell"


def needed_radius95_m(compared: CheckedFigure) -> float | None:
    """Return the 95 % radius below which the position would settle the check on the line; None where none would.

    The half-width that settles it is as far as the difference lies from the tolerance; the tee plate and the grid have
    their part of that and never shrink.
    """
    if compared.grid95_m is None:
        return None
    room_m = abs(compared.tolerance_m - abs(compared.difference_m)) * R95_IN_SIGMA / Z95_IN_SIGMA
    left = room_m**2 - compared.tee95_m**2 - (compared.slant * compared.grid95_m) ** 2
    return math.sqrt(left) / compared.slant if left > 0 else None


def radius95_after(standing: Standing, total_s: float, process: ErrorProcess) -> float:
    """Return the 95 % radius of a reading that has stood so long in all, one fix a second."""
    most = MOST_FIXES if standing.check_in is None else MOST_FIXES_WITH_CHECK_IN
    count = min(most, int(total_s) + 1)
    step_s = total_s / (count - 1) if count > 1 else 0.0
    times = [standing.first_s + step_s * index for index in range(count)]
    plain = R95_IN_SIGMA * standing.sigma_m * math.sqrt(worst_variance(times, _even(count), process))
    if standing.check_in is None:
        return plain
    return radius95_with(times, standing.sigma_m, standing.check_in, process)


def _even(count: int) -> Sequence[float]:
    return [1 / count] * count


def more_seconds(standing: Standing, wanted_m: float, process: ErrorProcess) -> float | None:
    """Return how much longer to hold still until the 95 % radius is below `wanted_m`; None if an hour will not do.

    Found by doubling from 15 s on and halving, to a second; the radius is below at the time returned.
    """

    def is_enough(more_s: float) -> bool:
        return radius95_after(standing, standing.stood_s + more_s, process) < wanted_m

    short_s, long_s = 0.0, FIRST_S
    while not is_enough(long_s):
        if long_s >= LONGEST_S:
            return None
        short_s, long_s = long_s, min(2 * long_s, LONGEST_S)
    while long_s - short_s > WITHIN_S:
        middle_s = (short_s + long_s) / 2
        short_s, long_s = (short_s, middle_s) if is_enough(middle_s) else (middle_s, long_s)
    return long_s


def settling(compared: CheckedFigure, standing: Standing | None, process: ErrorProcess) -> Settling:
    """Return what would settle a check: nothing more, knowing the grid, a step onto the line, time, a receiver, a tape.

    `standing` is the reading in hand, None where the receiver gives no figure.
    """
    if compared.grid95_m is None:
        return Settling("know the grid")
    figures = compared.difference_m, compared.range95_m, compared.tolerance_m
    if check_verdict(*figures, compared.line_effect_m) != "cannot tell":
        return Settling("settled")
    if compared.line_effect_m is None or check_verdict(*figures) != "cannot tell":
        return Settling("step onto the line")
    wanted_m = needed_radius95_m(compared)
    if wanted_m is None:
        return Settling("tape")
    more_s = None if standing is None else more_seconds(standing, wanted_m, process)
    if more_s is not None:
        return Settling("hold still", more_s, wanted_m)
    accuracy_m = wanted_m * R68_IN_SIGMA / R95_IN_SIGMA
    if accuracy_m < FINEST_M:
        return Settling("tape", None, wanted_m)
    return Settling("better receiver", None, wanted_m, accuracy_m)
