"""Reach and carry on a straight aim."""

import math

import numpy as np
import pytest

from fieldapp.play.reach import reach_and_carry

SQUARE = [(-5.0, 100.0), (5.0, 100.0), (5.0, 110.0), (-5.0, 110.0)]


def circle(x: float, y: float, radius: float, corners: int = 20_000) -> np.ndarray:
    angle = np.linspace(0, 2 * math.pi, corners, endpoint=False)
    return np.column_stack([x + radius * np.sin(angle), y + radius * np.cos(angle)])


def test_a_square_across_the_aim_is_reached_at_its_front_and_carried_at_its_back():
    found = reach_and_carry((0, 0), (0, 105), SQUARE, 1.0)
    assert (found.reach_m, found.carry_m) == pytest.approx((100.0, 110.0))


@pytest.mark.parametrize("aim_off_m", [0.0, 2.0, 4.0, 5.9])
def test_a_circle_agrees_with_its_closed_form_at_every_aim(aim_off_m):
    # At angle t off the line to its centre, D away, a ray crosses a circle of radius r at
    # D cos t -+ sqrt(r^2 - D^2 sin^2 t).
    distance, radius = 200.0, 6.0
    angle = math.atan2(aim_off_m, distance)
    half = math.sqrt(radius**2 - (distance * math.sin(angle)) ** 2)
    found = reach_and_carry((0, 0), (aim_off_m, distance), circle(0, distance, radius), 1.0)
    assert found.reach_m == pytest.approx(distance * math.cos(angle) - half, abs=1e-5)
    assert found.carry_m == pytest.approx(distance * math.cos(angle) + half, abs=1e-5)


def test_an_aim_that_misses_has_no_reach():
    assert reach_and_carry((0, 0), (50, 100), SQUARE, 1.0) is None


def test_a_tee_inside_the_sand_has_a_reach_of_nothing():
    assert reach_and_carry((0, 105), (0, 200), SQUARE, 1.0).reach_m == pytest.approx(0.0)


def test_two_arms_of_sand_on_one_aim_are_carried_past_the_second():
    horseshoe = [(-5, 100), (5, 100), (5, 120), (-5, 120), (-5, 116), (1, 116), (1, 104), (-5, 104)]
    found = reach_and_carry((0, 0), (0, 110), horseshoe, 1.0)
    assert (found.reach_m, found.carry_m) == pytest.approx((100.0, 120.0))


def test_course_metres_become_ground_metres():
    found = reach_and_carry((0, 0), (0, 105), SQUARE, 1.0004)
    assert found.reach_m == pytest.approx(100.04)
