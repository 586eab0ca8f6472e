"""What a check-in takes off a walked line, and how well the whole line's place is known then."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from fieldapp.model import Capture, HeldRecord, Trial
from fieldapp.model import CheckIn as CheckInRecord
from fieldapp.reading import check_in as pegs
from fieldapp.reading.combine import Reading
from fieldapp.reading.process import ErrorProcess, worst_variance_of_mean
from fieldapp.reading.verdict import R95_IN_SIGMA

MOST_TIMES = 60
"""So many moments of a walk, evenly over it, stand for all when its mean is weighed against a check-in."""


@dataclass(frozen=True)
class Shift:
    """What is taken off every fix, course metres, and one sigma of the whole line's place then, ground metres.

    `position_sigma_m` is None where no check-in helps; `words` says what was done.
    """

    x_m: float = 0.0
    y_m: float = 0.0
    position_sigma_m: float | None = None
    words: str = ""


@dataclass(frozen=True)
class _Stood:
    """What standing on a peg found, course metres, and how."""

    peg: str
    x_m: float
    y_m: float
    radius95_m: float | None
    seconds: float
    fixes: int
    made_at: datetime


def shift_of(capture: Capture, process: ErrorProcess, held: Sequence[HeldRecord]) -> Shift:
    """Return what the capture's check-in takes off it; `held` are the site's records."""
    if capture.check_in is None:
        return Shift(
            words="No check-in on a peg was taken off, so the whole may lie as far off as the receiver errs."
        )
    stood = _stood_of(capture, held)
    sigmas = [fix.sigma_m for fix in capture.fixes if fix.sigma_m]
    if stood is None or not sigmas:
        return Shift(
            words="Its check-in is not held here or was taken back, so nothing was taken off for it."
        )
    found = pegs.corrected(_mean_of(capture, sigmas), _check_in_of(stood, process, capture), process)
    if found.applied == 0.0 or found.radius95_m is None:
        return Shift(
            words=f"Its check-in on peg {stood.peg} was too old to help, so nothing was taken off for it."
        )
    return Shift(
        x_m=found.applied * stood.x_m,
        y_m=found.applied * stood.y_m,
        position_sigma_m=found.radius95_m / R95_IN_SIGMA,
        words=f"{found.applied:.0%} of what the check-in on peg {stood.peg} showed was taken off.".replace(
            "%", " %"
        ),
    )


def _stood_of(capture: Capture, held: Sequence[HeldRecord]) -> _Stood | None:
    """Return what the capture's check-in, or the trial that counts as one, found; None where it does not stand here."""
    for item in held:
        record = item.record
        if record.id != capture.check_in or record.practice or item.undone_by is not None:
            continue
        if isinstance(record, CheckInRecord):
            own = record.reading
            shift = record.shift_x_m, record.shift_y_m
            return _Stood(record.peg, *shift, own.radius95_m, own.seconds, own.fixes, record.made_at)
        if isinstance(record, Trial):
            shift, within_m = (record.offset_x_m, record.offset_y_m), record.offset_radius95_m
            return _Stood(record.peg, *shift, within_m, record.seconds, record.fixes, record.made_at)
    return None


def _mean_of(capture: Capture, sigmas: Sequence[float]) -> Reading:
    """Return the mean of the walk as a reading about no place; its clock is that of the capture's own moment."""
    last = capture.fixes[-1].t_s
    moments = np.linspace(capture.fixes[0].t_s - last, 0.0, min(len(capture.fixes), MOST_TIMES))
    return Reading(
        x=0.0,
        y=0.0,
        radius95_m=None,
        plain_radius95_m=None,
        fixes=len(capture.fixes),
        left_out=0,
        seconds=-float(moments[0]),
        sigma_m=float(np.median(sigmas)),
        times_s=tuple(moments.tolist()),
    )


def _check_in_of(stood: _Stood, process: ErrorProcess, capture: Capture) -> pegs.CheckIn:
    """Return the check-in on the clock of the walk; one fix's sigma follows from the radius of its mean."""
    made_at_s = (stood.made_at - capture.made_at) / timedelta(seconds=1)
    moments = np.linspace(made_at_s - stood.seconds, made_at_s, max(min(stood.fixes, MOST_TIMES), 1))
    times = tuple(moments.tolist())
    share = math.sqrt(worst_variance_of_mean(times, process))
    return pegs.CheckIn(
        shift_x=stood.x_m,
        shift_y=stood.y_m,
        made_at_s=made_at_s,
        sigma_m=None if stood.radius95_m is None else stood.radius95_m / (R95_IN_SIGMA * share),
        radius95_m=stood.radius95_m,
        times_s=times,
    )
