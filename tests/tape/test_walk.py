"""A walked line: its curve, its rounds, its strays, its band, and walks that make no line."""

import numpy as np
import pytest

from fieldapp.errors import ReadingError
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess
from fieldapp.tape import walk
from fieldapp.tape.rounds import phases
from fieldapp.tape.walk import smooth_walk
from tests.tape.walks import errors, off_ring

WHITE = ErrorProcess(((1.0, 0.0),), spread=1.0)
RADIUS_M = 8.0


def circle(count, rounds=1.0, radius=RADIUS_M):
    """Fixes `(count, 2)` once a second round a circle, the last where the first was."""
    angle = np.linspace(0.0, 2 * np.pi * rounds, count)
    return np.arange(count, dtype=float), radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)


def smooth(t_s, xy, sigma_m=0.02, process=WHITE, closed=True, **more):
    return smooth_walk(t_s, xy, np.full(len(t_s), sigma_m), process, closed, **more)


@pytest.mark.parametrize("rounds", [1, 2, 3])
def test_a_circle_walked_without_error_is_that_circle_and_its_rounds_are_counted(rounds):
    line = smooth(*circle(60 * rounds, rounds))
    assert np.hypot(*line.xy.T) == pytest.approx(RADIUS_M, abs=0.01)
    assert line.rounds == pytest.approx(rounds, abs=0.02)
    assert (line.left_out, line.fixes) == (0, 60 * rounds)


def test_walking_clockwise_makes_no_difference():
    t_s, xy = circle(60, 2)
    assert smooth(t_s, xy[::-1]).rounds == pytest.approx(2.0, abs=0.05)


def test_an_open_line_keeps_its_ends():
    xy = np.stack([np.linspace(0, 30, 40), 2 * np.sin(np.linspace(0, 3, 40))], axis=1)
    line = smooth(np.arange(40.0), xy, closed=False)
    assert line.xy[[0, -1]] == pytest.approx(xy[[0, -1]], abs=0.05)
    assert line.rounds == 1.0


def test_standing_still_on_the_way_does_not_bend_the_line():
    _, xy = circle(60)
    rest = np.repeat(xy[20:21], 30, axis=0)
    xy = np.vstack([xy[:20], rest, xy[20:]])
    rng = np.random.default_rng(5)
    line = smooth(np.arange(float(len(xy))), xy + rng.normal(0, 0.05, xy.shape), 0.05)
    assert np.hypot(*line.xy.T) == pytest.approx(RADIUS_M, abs=0.12)


def test_strays_are_left_out_and_nothing_else():
    t_s, xy = circle(80)
    xy = xy + np.random.default_rng(3).normal(0, 0.02, xy.shape)
    xy[[17, 50]] += [[6.0, -4.0], [0.0, 9.0]]
    line = smooth(t_s, xy)
    assert line.left_out == 2
    assert np.hypot(*line.xy.T) == pytest.approx(RADIUS_M, abs=0.15)


@pytest.mark.parametrize(("count", "share"), [(300, 0.06), (500, 0.15)])
def test_many_strays_are_found_in_few_fits(monkeypatch, count, share):
    """One fit for each stray would take a minute where a receiver is bad; so few are the rounds that halve them."""
    rng = np.random.default_rng(11)
    t_s, xy = circle(count, 4)
    xy = xy + rng.normal(0, 0.02, xy.shape)
    strays = rng.choice(count, int(share * count), replace=False)
    xy[strays] += rng.normal(0, 9.0, (len(strays), 2)) + 3.0
    fits, fitted = [], walk._aligned
    monkeypatch.setattr(walk, "_aligned", lambda *args: fits.append(args) or fitted(*args))
    line = smooth(t_s, xy)
    assert len(fits) <= walk.MOST_REFITS + 1
    assert len(strays) <= line.left_out <= 1.05 * len(strays) + 1
    assert np.hypot(*line.xy.T) == pytest.approx(RADIUS_M, abs=0.05)


def test_an_error_that_stays_moves_the_whole_and_leaves_the_shape():
    """One that lasts a day is the same all round: it is all position, and no shape."""
    lasting = ErrorProcess(((1.0, 86_400.0),), spread=1.0)
    t_s, xy = circle(90)
    line = smooth(t_s, xy + np.array([3.0, -2.0]), 2.0, lasting)
    assert line.position_sigma_m == pytest.approx(2.0, rel=0.01)
    assert line.shape_sigma_m.max() < 0.2
    assert line.xy.mean(axis=0) == pytest.approx([3.0, -2.0], abs=0.15)


def test_walking_again_helps_a_quick_error_and_hardly_a_slow_one():
    """White noise: half the variance in twice the fixes. Of the usual process most of it stays."""
    for process, most, least in ((WHITE, 0.80, 0.6), (ErrorProcess(DEFAULT_PROCESS.parts, 1.0), 1.0, 0.85)):
        once = smooth(*circle(60), 1.0, process).band95_m.mean()
        twice = smooth(*circle(120, 2), 1.0, process).band95_m.mean()
        assert least < twice / once < most


def test_the_place_of_the_whole_is_that_of_a_check_in_where_there_is_one():
    line = smooth(*circle(60), 1.0, DEFAULT_PROCESS, position_sigma_m=0.4)
    assert line.position_sigma_m == 0.4
    assert line.band95_m == pytest.approx(1.959964 * np.hypot(line.shape_sigma_m, 0.4), rel=1e-6)


def test_without_figures_of_the_receiver_there_is_a_line_and_no_band():
    t_s, xy = circle(60)
    line = smooth_walk(t_s, xy, np.full(60, np.nan), DEFAULT_PROCESS, closed=True)
    assert (line.band95_m, line.shape95_m, line.position_sigma_m) == (None, None, None)
    assert np.hypot(*line.xy.T) == pytest.approx(RADIUS_M, abs=0.05)


def test_a_receiver_that_boasts_is_not_believed():
    t_s, xy = circle(80)
    xy = xy + np.random.default_rng(8).normal(0, 1.5, xy.shape)
    honest, boasting = smooth(t_s, xy, 1.5), smooth(t_s, xy, 0.05)
    assert boasting.band95_m.mean() > 0.5 * honest.band95_m.mean()


def test_a_long_record_is_thinned_and_still_the_same_line():
    t_s, xy = circle(4_000, 8)
    rng = np.random.default_rng(2)
    line = smooth(t_s, xy + errors(rng, t_s[:1], (), 0.0)[0], 0.05)
    assert line.fixes <= 500
    assert off_ring(line.xy, circle(50)[1])[0].max() < 0.3


def test_phases_of_a_single_round_end_at_one():
    assert phases(*circle(60), closed=True)[-1] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("t_s", "xy", "words"),
    [
        (*circle(8), "12 fixes at least"),
        (circle(30)[0][::-1], circle(30)[1], "backwards in time"),
        (circle(30)[0], np.full((30, 2), np.nan), "no numbers"),
        (circle(30)[0], np.zeros((30, 2)), "stays in one place"),
        (*circle(30, 0.5), "until you stand where you began"),
    ],
)
def test_what_makes_no_line_is_refused_in_words(t_s, xy, words):
    with pytest.raises(ReadingError, match=words):
        smooth(t_s, xy)
