"""The practice receiver's error: an Ornstein-Uhlenbeck process in two parts, stepped exactly."""

import itertools
import math

import pytest

pytestmark = pytest.mark.browser

SIGMA_OF_4_M = 4 / 1.5096


@pytest.fixture(scope="module")
def phone_walk(blank):
    """20,000 errors of a phone-grade receiver, 300 s apart, [east, north]."""
    return blank.evaluate(
        """async () => {
          const m = await import('/phone/session/practice_error.js');
          const error = m.createPracticeError(4, 11);
          return Array.from({length: 20000}, () => error.step(300));
        }"""
    )


def deviation(values):
    middle = sum(values) / len(values)
    return math.sqrt(sum((value - middle) ** 2 for value in values) / (len(values) - 1))


@pytest.mark.parametrize("axis", [0, 1])
def test_each_axis_has_the_standard_deviation_behind_the_accuracy_figure(phone_walk, axis):
    assert deviation([error[axis] for error in phone_walk]) == pytest.approx(SIGMA_OF_4_M, rel=0.03)


def test_the_accuracy_figure_holds_68_of_100_positions(phone_walk):
    within = sum(math.hypot(*error) <= 4 for error in phone_walk) / len(phone_walk)
    assert within == pytest.approx(0.68, abs=0.02)


def test_neighbours_in_time_are_as_alike_as_the_two_parts_say(ask):
    east = ask(
        "practice_error",
        """m => { const e = m.createPracticeError(4, 3);
          return Array.from({length: 60000}, () => e.step(60)[0]); }""",
    )
    middle = sum(east) / len(east)
    pairs = itertools.pairwise(east)
    alike = sum((a - middle) * (b - middle) for a, b in pairs) / sum((a - middle) ** 2 for a in east)
    assert alike == pytest.approx(0.6 * math.exp(-1) + 0.4 * math.exp(-0.1), abs=0.03)


def test_the_shares_of_the_variance_add_up_to_one(ask):
    assert ask("practice_error", "m => m.PARTS.reduce((sum, part) => sum + part.share, 0)") == 1


def test_one_long_step_forgets_as_much_as_many_short_ones(ask):
    once, often = ask(
        "practice_error",
        """m => { let v = 5; for (let i = 0; i < 10; i += 1) v = m.stepProcess(v, 1, 60, 2, 0);
          return [m.stepProcess(5, 10, 60, 2, 0), v]; }""",
    )
    assert once == pytest.approx(often, abs=1e-12)


def test_one_long_step_gains_as_much_variance_as_many_short_ones(ask):
    once, often = ask(
        "practice_error",
        """m => { const gain = seconds => m.stepProcess(0, seconds, 60, 2, 1) ** 2;
          const kept = Math.exp(-2 / 60);
          let variance = 0; for (let i = 0; i < 10; i += 1) variance = variance * kept + gain(1);
          return [gain(10), variance]; }""",
    )
    assert once == pytest.approx(often, abs=1e-12)


def test_the_same_start_gives_the_same_errors_and_another_start_gives_others(ask):
    first, again, other = ask(
        "practice_error",
        """m => [7, 7, 8].map(start => { const e = m.createPracticeError(4, start);
          return Array.from({length: 5}, () => e.step(1)); })""",
    )
    assert first == again
    assert first != other


def test_a_centimetre_grade_receiver_stays_within_centimetres(ask):
    largest = ask(
        "practice_error",
        """m => { const e = m.createPracticeError(m.GRADES.centimetre.accuracyM, 1);
          return Math.max(...Array.from({length: 5000}, () => Math.hypot(...e.step(60)))); }""",
    )
    assert 0.014 < largest < 0.06


def test_a_practice_walk_begins_25_m_off_toward_the_tee(ask):
    start = ask("practice_setting", "m => m.practiceStart({x: 100, y: 200}, 0, 1)")
    assert math.hypot(start["x"] - 100, start["y"] - 200) == pytest.approx(25)
    assert start["y"] < 200
