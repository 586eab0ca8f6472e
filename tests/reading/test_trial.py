"""A receiver trial: what it finds, what it refuses, and how a later fix is judged by it."""

import math

import numpy as np
import pytest

from fieldapp.errors import ReadingError
from fieldapp.reading.check_in import check_in_of_trial, corrected, worth
from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS
from fieldapp.reading.trial import sigma_of, trial_of
from fieldapp.reading.verdict import R68_IN_SIGMA, R95_IN_SIGMA

PEG = (120.0, 340.0)
TIMES_S = np.arange(601.0)


def tried(errors, accuracy_m=R68_IN_SIGMA, times=TIMES_S):
    return trial_of(times, np.add(PEG, errors), np.full(len(times), accuracy_m), PEG)


@pytest.fixture(name="errors")
def _errors(simulated):
    """Ten minutes of a receiver whose one-axis sigma is 1 m."""
    return simulated(np.random.default_rng(11), TIMES_S, 1, DEFAULT_PROCESS.parts)[0][:, 0]


def test_the_offset_is_the_mean_error_and_its_radius_is_that_of_slow_error(errors):
    trial = tried(errors)
    assert (trial.offset_x, trial.offset_y) == pytest.approx(tuple(errors.mean(axis=0)))
    assert 0.5 < trial.offset_radius95_m / (R95_IN_SIGMA * trial.scatter_m) < 1
    assert (trial.fixes, trial.left_out, trial.seconds) == (601, 0, 600)
    assert trial.accuracy_m == pytest.approx(R68_IN_SIGMA)
    assert trial.sigma_per_accuracy == pytest.approx(trial.scatter_m)


def test_the_long_time_constant_and_the_spread_stay_the_default_ones(errors):
    process = tried(errors).process
    assert process.spread == DEFAULT_PROCESS.spread
    assert process.parts[2][1] == DEFAULT_PROCESS.parts[2][1]
    assert sum(share for share, _ in process.parts) == pytest.approx(1)


@pytest.mark.parametrize(
    ("parts", "largest"), [(((1.0, 0.0),), 0), (((1.0, 40.0),), 1), (((0.02, 0.0), (0.98, 1800.0)), 2)]
)
def test_the_largest_part_is_found(parts, largest, simulated):
    shares = []
    for start in range(5):
        errors = simulated(np.random.default_rng(start), TIMES_S, 1, parts)[0][:, 0]
        shares.append([share for share, _ in tried(errors).process.parts])
    assert np.argmax(np.mean(shares, axis=0)) == largest


@pytest.mark.parametrize("tau_s", [15.0, 60.0, 150.0])
def test_the_short_time_constant_is_found_within_the_spread_in_four_of_five_trials(tau_s, simulated):
    found = []
    for start in range(20):
        errors = simulated(np.random.default_rng(start), TIMES_S, 1, ((0.1, 0.0), (0.9, tau_s)))[0][:, 0]
        found.append(tried(errors).process.parts[1][1])
    print(f"\n  short time constant {tau_s:.0f} s found as {np.median(found):.0f} s (median of 20 trials)")
    assert sum(tau_s / 3 <= one <= tau_s * 3 for one in found) >= 16


def test_a_white_receiver_that_says_half_its_scatter_is_found_out(simulated):
    errors = simulated(np.random.default_rng(12), TIMES_S, 1, ((1.0, 0.0),))[0][:, 0]
    assert tried(errors, R68_IN_SIGMA / 2).sigma_per_accuracy == pytest.approx(2, rel=0.15)


def test_scale_and_place_do_not_matter(errors):
    """A receiver a hundred times finer, on a grid with large numbers, gives the same answer a hundred times smaller."""
    large, small = (
        tried(errors),
        trial_of(TIMES_S, errors / 100 + 6e6, np.full(601, R68_IN_SIGMA / 100), (6e6, 6e6)),
    )
    assert small.scatter_m == pytest.approx(large.scatter_m / 100, rel=1e-5)
    assert small.process.parts[1] == pytest.approx(large.process.parts[1], rel=1e-4)


def test_strays_are_left_out_and_change_little(errors):
    thrown = errors.copy()
    thrown[::40] += 15
    assert tried(thrown).left_out == 16
    assert tried(thrown).scatter_m == pytest.approx(tried(errors).scatter_m, rel=0.1)


def test_uneven_times_with_gaps_are_taken_as_they_are(errors):
    some = np.sort(np.random.default_rng(13).choice(np.r_[0:200, 330:601], 240, replace=False))
    even, uneven = tried(errors), tried(errors[some], times=TIMES_S[some])
    assert uneven.scatter_m == pytest.approx(even.scatter_m, rel=0.35)


def test_a_shorter_trial_is_guarded_more(simulated):
    """The same receivers, tried for one minute and for ten, without a figure of their own."""
    errors = simulated(np.random.default_rng(14), TIMES_S, 15, DEFAULT_PROCESS.parts)[0]
    long = [tried(errors[:, case], math.nan).scatter_m for case in range(15)]
    short = [tried(errors[:61, case], math.nan, TIMES_S[:61]).scatter_m for case in range(15)]
    assert np.quantile(short, 0.8) > np.quantile(long, 0.8)


def test_it_counts_as_a_check_in_and_fades_as_one(errors):
    trial = tried(errors)
    check_in = check_in_of_trial(trial)
    assert (check_in.shift_x, check_in.shift_y, check_in.made_at_s) == (trial.offset_x, trial.offset_y, 600.0)
    soon, late = (worth(check_in, trial.process, age_s) for age_s in (30.0, 6 * 3600.0))
    assert soon.radius95_m < soon.without95_m
    assert late.applied == 0
    reading = combine([630.0], [[0.0, 0.0]], [trial.scatter_m], trial.process)
    assert corrected(reading, check_in, trial.process).radius95_m == pytest.approx(soon.radius95_m)


def test_a_receiver_without_a_figure_is_judged_by_its_scatter(errors):
    trial = tried(errors, math.nan)
    assert (trial.accuracy_m, trial.sigma_per_accuracy) == (None, None)
    assert sigma_of(None, trial) == sigma_of(4.0, trial) == trial.scatter_m


def test_a_later_fix_is_judged_by_its_own_figure_times_the_trial_s_factor(errors):
    trial = tried(errors)
    assert sigma_of(4.0, None) == pytest.approx(4.0 / R68_IN_SIGMA)
    assert sigma_of(4.0, trial) == pytest.approx(4.0 / R68_IN_SIGMA * trial.sigma_per_accuracy)
    for nothing in (None, 0.0, -1.0, math.nan, math.inf):
        assert sigma_of(nothing, None) is None
        assert sigma_of(nothing, trial) is None


@pytest.mark.parametrize(
    ("times", "places", "words"),
    [
        ([], np.zeros((0, 2)), "at least 60 seconds"),
        (np.arange(50.0), np.random.default_rng(1).normal(size=(50, 2)), "at least 60 seconds"),
        (np.arange(0, 100, 10.0), np.random.default_rng(1).normal(size=(10, 2)), "at least 20 fixes"),
        (np.repeat([0.0, 70.0], 15), np.random.default_rng(1).normal(size=(30, 2)), "at least 20 fixes"),
        (np.arange(100.0), np.full((100, 2), 7.0), "holds its position"),
        (-np.arange(100.0), np.random.default_rng(1).normal(size=(100, 2)), "backwards"),
        (np.arange(100.0), np.full((100, 2), math.nan), "no number"),
    ],
)
def test_what_makes_no_trial_is_refused_in_words(times, places, words):
    with pytest.raises(ReadingError, match=words):
        trial_of(times, places, np.full(len(times), 2.0), PEG)
