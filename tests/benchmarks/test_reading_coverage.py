"""Standing still: how often the 95 % radius holds the truth, beside what plain averaging would claim; and its cost."""

import time

import numpy as np
import pytest

from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS
from fieldapp.reading.verdict import R95_IN_SIGMA

CASES = 20_000
SECONDS = (5, 30, 120, 300, 600)
ROUNDS = 200
MOST_MS = 20.0


def means_of_white_and_slow(rng, seconds, factor):
    """Means `(CASES, 2)` of fixes a second apart, by the exact step of every part of the default process."""
    total = np.zeros((CASES, 2))
    for share, tau_s in DEFAULT_PROCESS.parts:
        kept = np.exp(-1 / (tau_s * factor)) if tau_s else 0.0
        value = rng.normal(size=(CASES, 2))
        summed = value.copy()
        for _ in range(seconds):
            value = kept * value + np.sqrt(1 - kept**2) * rng.normal(size=(CASES, 2))
            summed += value
        total += np.sqrt(share) * summed / (seconds + 1)
    return total


@pytest.mark.benchmark
@pytest.mark.parametrize("factor", [1 / 3, 1, 3])
def test_the_radius_of_an_untried_receiver_beside_plain_averaging(factor, capsys):
    rng = np.random.default_rng(21)
    rows = []
    for seconds in SECONDS:
        times = np.arange(seconds + 1.0)
        reading = combine(times, np.zeros((seconds + 1, 2)), np.ones(seconds + 1), DEFAULT_PROCESS)
        away = np.hypot(*means_of_white_and_slow(rng, seconds, factor).T)
        ours, plain = (
            100 * float(np.mean(away <= r)) for r in (reading.radius95_m, reading.plain_radius95_m)
        )
        rows.append((seconds, reading.radius95_m / R95_IN_SIGMA, ours, plain))
        assert ours >= 90
    with capsys.disabled():
        print(f"\n  untried receiver, true time constants x {factor:.2f}; radius against that of one fix:")
        for seconds, share, ours, plain in rows:
            print(
                f"    {seconds:4d} s: x {share:.2f} holds {ours:5.1f} %, plain averaging's radius {plain:4.1f} %"
            )


@pytest.mark.benchmark
def test_combining_ten_minutes_costs_milliseconds(capsys):
    times, places = np.arange(601.0), np.random.default_rng(22).normal(size=(601, 2))
    taken = []
    for shift in range(ROUNDS):
        start = time.perf_counter()
        combine(times + shift, places, np.ones(601), DEFAULT_PROCESS)
        taken.append(1000 * (time.perf_counter() - start))
    with capsys.disabled():
        print(
            f"\n  601 fixes combined: {min(taken):.2f} ms (best), {np.median(taken):.2f} ms (median), at most {MOST_MS}"
        )
    assert min(taken) <= MOST_MS
