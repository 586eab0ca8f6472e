"""A check-in: a reading on a peg of known place, and its worth later. Twin: web/phone/geometry/check_in.js.

The error found at the peg is still there a while later, the less of it the longer ago. Of the shift found, that part is
taken off a later reading which leaves the smallest variance when the time constants are as bad as the process's spread
allows; the radius that remains is of that worst case. For a process that is known (spread 1) it is the best linear
estimate, covariance over variance. The part that helps nothing is 0, so a check-in never makes a radius larger, and it
fades by itself. The peg's own place is taken as without error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.reading.combine import Floats, Reading
from fieldapp.reading.process import ErrorProcess, part_variance, taus_within, worst_variance
from fieldapp.reading.trial import Trial
from fieldapp.reading.verdict import R95_IN_SIGMA

STEPS = 100
"""The part of a shift to be taken off is looked for in hundredths."""


@dataclass(frozen=True)
class CheckIn:
    """The shift found at a peg, reading minus peg in course metres, and from which fixes.

    `sigma_m` is the one-axis sigma of one of them (None: unknown), `times_s` when they were taken, on the clock of
    `made_at_s`. `radius95_m` is that of the reading it was made of.
    """

    shift_x: float
    shift_y: float
    made_at_s: float
    sigma_m: float | None
    radius95_m: float | None
    times_s: tuple[float, ...]


@dataclass(frozen=True)
class Corrected:
    """A reading with a check-in taken into account.

    `applied` is the part of the shift taken off, 0 (nothing) to 1; `age_s` the time from the check-in to the reading's
    last fix.
    """

    x: float
    y: float
    radius95_m: float | None
    applied: float
    age_s: float


@dataclass(frozen=True)
class Worth:
    """The 95 % radius of one fix with a check-in of some age, and without any; metres, None where unknown."""

    radius95_m: float | None
    without95_m: float | None
    applied: float


def lasting_shift95_m(check_in: CheckIn, applied: float) -> float | None:
    """Return how far a shift that never fades, as of a grid, may still hold a corrected reading off; None if unknown.

    It can be as large as the shift found and the radius of what found it together; what is taken off of the shift found
    is taken off of it as well.
    """
    if check_in.radius95_m is None:
        return None
    return (1 - applied) * (math.hypot(check_in.shift_x, check_in.shift_y) + check_in.radius95_m)


def check_in_of(reading: Reading, peg_x: float, peg_y: float, made_at_s: float) -> CheckIn:
    """Return the check-in that a reading on a peg at these course metres is."""
    return CheckIn(
        shift_x=reading.x - peg_x,
        shift_y=reading.y - peg_y,
        made_at_s=made_at_s,
        sigma_m=reading.sigma_m,
        radius95_m=reading.radius95_m,
        times_s=reading.times_s,
    )


def check_in_of_trial(trial: Trial) -> CheckIn:
    """Return the check-in that a trial is: the offset it found, as of its last fix."""
    return CheckIn(
        shift_x=trial.offset_x,
        shift_y=trial.offset_y,
        made_at_s=trial.times_s[-1],
        sigma_m=trial.scatter_m,
        radius95_m=trial.offset_radius95_m,
        times_s=trial.times_s,
    )


def corrected(reading: Reading, check_in: CheckIn, process: ErrorProcess) -> Corrected:
    """Return the reading with the check-in taken into account; as it is where the check-in is worth nothing.

    Also for a reading made before the check-in, or during it. Without a sigma of both nothing is taken off.
    """
    applied, radius95_m = _residual(reading.times_s, reading.sigma_m, check_in, process)
    return Corrected(
        x=reading.x - applied * check_in.shift_x,
        y=reading.y - applied * check_in.shift_y,
        radius95_m=radius95_m if applied > 0 else reading.radius95_m,
        applied=applied,
        age_s=reading.times_s[-1] - check_in.made_at_s,
    )


def worth(check_in: CheckIn, process: ErrorProcess, age_s: float) -> Worth:
    """Return what the check-in is worth to one fix taken `age_s` after it was made, of its own sigma."""
    applied, radius95_m = _residual((check_in.made_at_s + age_s,), check_in.sigma_m, check_in, process)
    without = None if check_in.sigma_m is None else R95_IN_SIGMA * check_in.sigma_m
    return Worth(radius95_m if applied > 0 else without, without, applied)


def radius95_with(
    times_s: Sequence[float], sigma_m: float, check_in: CheckIn, process: ErrorProcess
) -> float:
    """Return the 95 % radius of a mean of fixes at these times once the check-in is taken into account."""
    applied, radius95_m = _residual(times_s, sigma_m, check_in, process)
    if applied > 0 and radius95_m is not None:
        return radius95_m
    return (
        R95_IN_SIGMA
        * sigma_m
        * math.sqrt(worst_variance(times_s, [1 / len(times_s)] * len(times_s), process))
    )


def _residual(
    times_s: Sequence[float], sigma_m: float | None, check_in: CheckIn, process: ErrorProcess
) -> tuple[float, float | None]:
    """Return the part of the shift to take off a mean of fixes at these times, and the 95 % radius that remains."""
    if sigma_m is None or check_in.sigma_m is None:
        return 0.0, None
    parts = [
        (
            share,
            _moments(
                times_s, sigma_m, check_in.times_s, check_in.sigma_m, taus_within(tau_s, process.spread)
            ),
        )
        for share, tau_s in process.parts
    ]

    def remaining(applied: float) -> float:
        left = np.array([1.0, -2 * applied, applied**2])
        return sum(share * float((moments @ left).max()) for share, moments in parts)

    variance, applied = min((remaining(step / STEPS), step / STEPS) for step in range(STEPS + 1))
    return applied, R95_IN_SIGMA * math.sqrt(variance)


def _moments(
    times_s: Sequence[float],
    sigma_m: float,
    shift_times_s: Sequence[float],
    shift_sigma_m: float,
    taus: Sequence[float],
) -> Floats:
    """Return for each time constant the reading's variance, its covariance with the shift, the shift's variance."""
    ours = [sigma_m / len(times_s)] * len(times_s)
    theirs = [shift_sigma_m / len(shift_times_s)] * len(shift_times_s)
    both = sorted(zip((*times_s, *shift_times_s), (*ours, *theirs), strict=True))
    times, weights = [time for time, _ in both], [weight for _, weight in both]
    rows = []
    for tau_s in taus:
        own = part_variance(times_s, ours, tau_s)
        of_shift = part_variance(shift_times_s, theirs, tau_s)
        rows.append((own, (part_variance(times, weights, tau_s) - own - of_shift) / 2, of_shift))
    return np.array(rows)
