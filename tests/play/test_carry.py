"""Reach and carry on straight shots."""

import math

import numpy as np
import pytest

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.outline.pieces import arc_pieces
from fieldapp.play.carry import aim_fan, nearest_and_furthest, shot


def straight_sided(*corners, closed=True):
    return build_curve(DrawnShape(tuple(ControlPoint(*corner) for corner in corners), "straight", closed))


def circle(x: float, y: float, radius: float) -> Curve:
    quarters = np.linspace(0, 2 * math.pi, 5)
    return Curve(arc_pieces(np.array([x, y]), np.zeros(2), radius * np.eye(2)[::-1], quarters), closed=True)


SQUARE = straight_sided((-5.0, 100.0), (5.0, 100.0), (5.0, 110.0), (-5.0, 110.0))
HORSESHOE = straight_sided(
    (-5, 100), (5, 100), (5, 120), (-5, 120), (-5, 116), (1, 116), (1, 104), (-5, 104)
)  # fmt: skip


def test_a_square_across_the_aim_is_reached_at_its_front_and_carried_at_its_back():
    found = shot(SQUARE, (0, 0), 0.0, 1.0)
    assert (found.reach_m, found.carry_m) == pytest.approx((100.0, 110.0), abs=1e-9)


@pytest.mark.parametrize("aim_off_m", [0.0, 2.0, 4.0, 5.9])
def test_a_circle_agrees_with_its_closed_form_at_every_aim(aim_off_m):
    # At angle t off the line to its centre, D away, a ray crosses a circle of radius r at
    # D cos t -+ sqrt(r^2 - D^2 sin^2 t).
    distance, radius = 200.0, 6.0
    angle = math.atan2(aim_off_m, distance)
    half = math.sqrt(radius**2 - (distance * math.sin(angle)) ** 2)
    found = shot(circle(0, distance, radius), (0, 0), math.degrees(angle), 1.0)
    assert found.reach_m == pytest.approx(distance * math.cos(angle) - half, abs=1e-9)
    assert found.carry_m == pytest.approx(distance * math.cos(angle) + half, abs=1e-9)


def test_an_aim_that_misses_has_no_reach():
    found = shot(SQUARE, (0, 0), math.degrees(math.atan2(50, 100)), 1.0)
    assert (found.stretches_m, found.reach_m, found.carry_m) == ((), None, None)


def test_a_tee_inside_the_sand_has_a_reach_of_nothing():
    found = shot(SQUARE, (0, 105), 0.0, 1.0)
    assert found.reach_m == 0.0
    assert found.carry_m == pytest.approx(5.0, abs=1e-9)


def test_two_arms_of_sand_on_one_aim_are_carried_past_the_second():
    found = shot(HORSESHOE, (0, 0), 0.0, 1.0)
    assert np.array(found.stretches_m) == pytest.approx(np.array([(100, 104), (116, 120)]), abs=1e-9)
    assert (found.reach_m, found.carry_m) == pytest.approx((100.0, 120.0), abs=1e-9)


def test_course_metres_become_ground_metres():
    found = shot(SQUARE, (0, 0), 0.0, 1.0004)
    assert (found.reach_m, found.carry_m) == pytest.approx((100.04, 110.044), abs=1e-9)
    assert found.width_m == pytest.approx(10.004, abs=1e-9)


@pytest.mark.parametrize(
    ("measured"),
    [
        lambda curve: shot(curve, (0, 0), 0.0, 1.0),
        lambda curve: aim_fan(curve, (0, 0), (0, 105), 1.0),
        lambda curve: nearest_and_furthest(curve, (0, 0), -5.0, 5.0, 1.0),
    ],
    ids=["shot", "fan", "sector"],
)
def test_an_open_sand_edge_has_no_reach_and_says_so(measured):
    with pytest.raises(OutlineError, match="open line, which has no reach and no carry"):
        measured(straight_sided((-5, 100), (5, 100), closed=False))
