"""The error process: variances of sums at real times, and the worst within the spread."""

import math

import numpy as np
import pytest

from fieldapp.errors import ReadingError
from fieldapp.reading.process import (
    DEFAULT_PROCESS,
    ErrorProcess,
    correlation,
    part_variance,
    taus_within,
    variance_of_sum,
    worst_variance,
)

UNEVEN_S = np.cumsum(np.random.default_rng(1).exponential(2.0, 80))


@pytest.mark.parametrize("tau_s", [0.0, 3.0, 60.0, 1800.0])
def test_the_variance_in_one_pass_is_that_of_the_whole_correlation_matrix(tau_s):
    weights = np.random.default_rng(2).normal(size=80)
    lags = np.abs(UNEVEN_S[:, None] - UNEVEN_S)
    matrix = np.exp(-lags / tau_s) if tau_s else np.eye(80)
    assert part_variance(UNEVEN_S, weights, tau_s) == pytest.approx(weights @ matrix @ weights, rel=1e-12)


def test_simulated_means_scatter_as_the_variance_says(simulated):
    errors, _ = simulated(np.random.default_rng(3), UNEVEN_S, 20_000, DEFAULT_PROCESS.parts)
    seen = errors.mean(axis=0).var()
    assert seen == pytest.approx(variance_of_sum(UNEVEN_S, [1 / 80] * 80, DEFAULT_PROCESS), rel=0.02)


def test_a_simulated_error_is_correlated_as_the_process_says(simulated):
    errors, _ = simulated(np.random.default_rng(4), [0.0, 45.0], 40_000, DEFAULT_PROCESS.parts)
    assert np.mean(errors[0] * errors[1]) == pytest.approx(correlation(DEFAULT_PROCESS, 45.0), abs=0.01)
    assert correlation(DEFAULT_PROCESS, 0) == pytest.approx(1)


def test_two_fixes_at_one_time_are_one_fix():
    assert variance_of_sum([0, 0, 9], [0.25, 0.25, 0.5], DEFAULT_PROCESS) == pytest.approx(
        variance_of_sum([0, 9], [0.5, 0.5], DEFAULT_PROCESS)
    )


def test_the_worst_within_the_spread_is_no_better_than_any_time_constants_within_it():
    weights = [1 / 80] * 80
    worst = worst_variance(UNEVEN_S, weights, DEFAULT_PROCESS)
    for short in taus_within(60.0, 3.0):
        for long in taus_within(1800.0, 3.0):
            other = ErrorProcess(((0.1, 0.0), (0.35, short), (0.55, long)), 1)
            assert variance_of_sum(UNEVEN_S, weights, other) <= worst + 1e-12
    known = ErrorProcess(DEFAULT_PROCESS.parts, 1)
    assert worst_variance(UNEVEN_S, weights, known) == pytest.approx(
        variance_of_sum(UNEVEN_S, weights, known)
    )


def test_the_time_constants_within_a_spread_go_from_a_third_to_three_times():
    taus = taus_within(60.0, 3.0)
    assert (taus[0], taus[len(taus) // 2], taus[-1]) == pytest.approx((20, 60, 180))
    assert taus_within(60.0, 1.0) == (60.0,)
    assert taus_within(0.0, 3.0) == (0.0,)


@pytest.mark.parametrize("seconds", [10, 60, 600])
def test_standing_longer_never_beats_the_slow_part(seconds):
    times = np.arange(seconds + 1.0)
    weights = [1 / len(times)] * len(times)
    slow = 0.55 * part_variance(times, weights, 1800.0)
    assert variance_of_sum(times, weights, DEFAULT_PROCESS) > slow


@pytest.mark.parametrize(
    ("parts", "spread"),
    [
        ((), 1.0),
        (((0.5, 0.0),), 1.0),
        (((1.2, 0.0), (-0.2, 60.0)), 1.0),
        (((1.0, -60.0),), 1.0),
        (((1.0, math.nan),), 1.0),
        (((1.0, 60.0),), 0.5),
        (((1.0, 60.0),), math.inf),
    ],
)
def test_a_process_that_cannot_be_is_refused(parts, spread):
    with pytest.raises(ReadingError, match="sum to 1"):
        ErrorProcess(parts, spread)
