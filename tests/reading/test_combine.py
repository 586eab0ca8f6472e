"""Fixes combined into one reading."""

import math

import numpy as np
import pytest

from fieldapp.errors import ReadingError
from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess, part_variance
from fieldapp.reading.verdict import R95_IN_SIGMA

WHITE = ErrorProcess(((1.0, 0.0),), 1)


def ring(count, sigma=1.0):
    """Places about (500, 800) as a white error of this sigma would leave them."""
    return np.array([500.0, 800.0]) + np.random.default_rng(5).normal(0, sigma, (count, 2))


def combined(xy, sigma=1.0, process=DEFAULT_PROCESS, times=None):
    return combine(np.arange(len(xy)) if times is None else times, xy, np.full(len(xy), sigma), process)


def test_one_fix_is_the_fix_with_its_own_radius():
    reading = combined([[500.0, 800.0]], 2.6)
    assert (reading.x, reading.y, reading.fixes, reading.left_out, reading.seconds) == (500, 800, 1, 0, 0)
    assert reading.radius95_m == pytest.approx(2.6 * R95_IN_SIGMA)
    assert reading.radius95_m == reading.plain_radius95_m


def test_white_noise_averages_plainly():
    reading = combined(ring(100), process=WHITE)
    assert reading.radius95_m == pytest.approx(R95_IN_SIGMA / 10)
    assert (reading.x, reading.y) == pytest.approx(tuple(ring(100).mean(axis=0)))


def test_ten_minutes_of_an_unknown_receiver_gain_no_more_than_the_slow_part_allows():
    reading = combined(ring(600))
    slow = 0.55 * part_variance(range(600), [1 / 600] * 600, 5400.0)
    assert reading.radius95_m > R95_IN_SIGMA * math.sqrt(slow)
    assert reading.radius95_m < 0.9 * R95_IN_SIGMA


def test_a_fix_thrown_ten_sigma_away_is_left_out_and_moves_nothing():
    xy = ring(30)
    xy[11] += 10
    reading = combined(xy)
    assert reading.left_out == 1
    assert reading.fixes == 29
    assert 11.0 not in reading.times_s
    assert (reading.x, reading.y) == pytest.approx(tuple(np.delete(xy, 11, axis=0).mean(axis=0)))


def test_fixes_that_clump_and_then_drift_honestly_all_belong():
    clump = np.concatenate([np.full((20, 2), 500.0), 500.0 + np.linspace(0, 1.5, 10)[:, None] * [1, 0]])
    clump[:, 1] += np.linspace(0, 0.01, 30)
    assert combined(clump).left_out == 0


def test_a_receiver_that_scatters_more_than_it_says_is_not_believed():
    """All bad: what it says is 1 m, what is seen is 8 m."""
    reading = combined(ring(40, sigma=8.0), sigma=1.0)
    assert reading.sigma_m == pytest.approx(8, rel=0.2)
    assert reading.left_out == 0


def test_two_fixes_that_contradict_each_other_are_both_kept_with_a_radius_that_says_so():
    reading = combined([[0.0, 0.0], [30.0, 0.0]], sigma=1.0)
    assert reading.left_out == 0
    assert reading.x == 15
    assert reading.radius95_m > 15


def test_a_steady_scatter_within_what_the_receiver_says_leaves_its_figure():
    assert combined(ring(40, sigma=0.1), sigma=1.0).sigma_m == pytest.approx(1.0)


def test_sigma_is_the_root_mean_square_of_the_fixes_own():
    reading = combine([0, 1], [[0, 0], [0.1, 0]], [1.0, 2.0], DEFAULT_PROCESS)
    assert reading.sigma_m == pytest.approx(math.sqrt(2.5))


@pytest.mark.parametrize("unknown", [math.nan, 0.0, -1.0, math.inf])
def test_a_fix_without_a_figure_leaves_the_radius_unknown_but_the_place_stands(unknown):
    reading = combine([0, 1, 2], [[0, 0], [1, 0], [2, 0]], [1.0, unknown, 1.0], DEFAULT_PROCESS)
    assert (reading.radius95_m, reading.plain_radius95_m, reading.sigma_m) == (None, None, None)
    assert reading.x == 1


def test_a_stray_fix_without_a_figure_does_not_make_the_radius_unknown():
    xy = ring(30)
    xy[4] += 300
    sigmas = np.full(30, 1.0)
    sigmas[4] = math.nan
    assert combine(np.arange(30), xy, sigmas, DEFAULT_PROCESS).radius95_m is not None


def test_strays_are_told_without_any_figure_too():
    xy = ring(30, sigma=0.5)
    xy[4] += 300
    assert combined(xy, math.nan).left_out == 1
    assert combined(np.full((5, 2), 3.0), math.nan).left_out == 0


def test_a_fix_given_twice_counts_once_for_the_radius():
    once = combined([[0, 0], [1, 0]], times=[0, 30], process=DEFAULT_PROCESS)
    twice = combined([[0, 0], [0, 0], [1, 0], [1, 0]], times=[0, 0, 30, 30], process=DEFAULT_PROCESS)
    assert twice.radius95_m == pytest.approx(once.radius95_m)


@pytest.mark.parametrize(
    ("times", "xy", "words"),
    [
        ([], np.zeros((0, 2)), "no fix"),
        ([0, 1], [[0, 0]], "no fix"),
        ([1, 0], [[0, 0], [1, 1]], "backwards"),
        ([0, math.nan], [[0, 0], [1, 1]], "no number"),
        ([0, 1], [[0, 0], [1, math.inf]], "no number"),
    ],
)
def test_fixes_that_cannot_be_combined_are_refused(times, xy, words):
    with pytest.raises(ReadingError, match=words):
        combine(times, xy, np.ones(len(times)), DEFAULT_PROCESS)
