"""Reach and carry on straight shots."""

import math

import numpy as np
import pytest

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape, Kidney, Placement
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.outline.pieces import arc_pieces
from fieldapp.outline.place import outline_curves
from fieldapp.play.carry import aim_fan, nearest_and_furthest, shot
from tests.play.holes import one_bunker


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


FAR_M, RADIUS_M = 230.0, 7.5
CIRCLE = circle(0.0, FAR_M, RADIUS_M)


def test_a_fan_over_a_circle_agrees_with_its_closed_form_at_each_of_181_aims():
    # D cos t -+ sqrt(r^2 - D^2 sin^2 t), as above. The outermost aims all but touch: there a float's rounding of the
    # bearing (4e-17 of a turn) moves the ends of the chord by some micrometres, elsewhere by less than 1e-9 m.
    fan = aim_fan(CIRCLE, (0, 0), (0, FAR_M), 1.0)
    t = np.deg2rad(fan.off_line_deg)
    half = np.sqrt(np.maximum(RADIUS_M**2 - (FAR_M * np.sin(t)) ** 2, 0.0))
    assert len(fan.bearing_deg) == 181
    assert fan.reach_m[1:-1] == pytest.approx((FAR_M * np.cos(t) - half)[1:-1], abs=1e-9)
    assert fan.carry_m[1:-1] == pytest.approx((FAR_M * np.cos(t) + half)[1:-1], abs=1e-9)
    assert fan.reach_m[[0, -1]] == pytest.approx((FAR_M * np.cos(t) - half)[[0, -1]], abs=1e-5)
    assert fan.carry_m[[0, -1]] == pytest.approx((FAR_M * np.cos(t) + half)[[0, -1]], abs=1e-5)


def test_a_fan_runs_evenly_from_the_left_edge_to_the_right_edge():
    fan = aim_fan(CIRCLE, (0, 0), (0, FAR_M), 1.0, 41)
    edge_deg = math.degrees(math.asin(RADIUS_M / FAR_M))
    assert fan.off_line_deg == pytest.approx(np.linspace(-edge_deg, edge_deg, 41), abs=1e-7)
    assert (fan.bearing_deg - fan.off_line_deg) % 360 == pytest.approx(np.zeros(41), abs=1e-9)


def test_a_fan_counts_from_the_straight_line_at_the_middle_wherever_that_is():
    fan = aim_fan(SQUARE, (0, 0), (5, 110), 1.0, 3)
    middle_deg = math.degrees(math.atan2(5, 110))
    edge_deg = math.degrees(math.atan2(5, 100))
    assert fan.off_line_deg == pytest.approx(
        [-edge_deg - middle_deg, -middle_deg, edge_deg - middle_deg], abs=1e-7
    )
    assert fan.bearing_deg[0] == pytest.approx(360 - edge_deg, abs=1e-7)


def test_a_fan_is_in_ground_metres():
    on_grid, on_ground = (aim_fan(CIRCLE, (0, 0), (0, FAR_M), scale, 9) for scale in (1.0, 1.0004))
    assert on_ground.carry_m == pytest.approx(on_grid.carry_m * 1.0004, abs=1e-9)
    assert on_ground.off_line_deg == pytest.approx(on_grid.off_line_deg, abs=1e-12)


def test_a_tee_inside_the_sand_has_sand_all_round_from_nothing_on():
    fan = aim_fan(circle(0, 0, 8.0), (3.0, 0.0), (0, 0), 1.0, 9)
    assert fan.off_line_deg[[0, -1]] == pytest.approx([-180, 180], abs=1e-6)
    assert fan.reach_m.tolist() == [0.0] * 9
    assert fan.carry_m[[0, 4]] == pytest.approx([5, 11], abs=1e-6)


def test_a_tee_in_the_mouth_of_a_horseshoe_has_sand_through_more_than_half_a_turn():
    fan = aim_fan(HORSESHOE, (-2.0, 110.0), (3.0, 110.0), 1.0, 181)
    edge_deg = 90 + math.degrees(math.atan2(3, 6))
    assert fan.off_line_deg[[0, -1]] == pytest.approx([-edge_deg, edge_deg], abs=1e-6)
    assert fan.reach_m[90] == pytest.approx(3.0, abs=1e-9)
    assert not np.isnan(fan.reach_m).any()


def ellipse(x, y, half_long, half_short, long_bearing_deg):
    turn = math.radians(long_bearing_deg)
    axes = np.array([(math.sin(turn), math.cos(turn)), (math.cos(turn), -math.sin(turn))])
    quarters = np.linspace(0, 2 * math.pi, 5)
    halves = np.array([[half_long], [half_short]])
    return Curve(arc_pieces(np.array([x, y]), np.zeros(2), axes * halves, quarters), closed=True)


@pytest.mark.parametrize("aim_off_m", [-6.0, -2.0, 0.0, 3.0, 6.5])
def test_an_ellipse_at_45_degrees_agrees_with_its_closed_form(aim_off_m):
    # In the ellipse's own axes (along, across), halves a and b, the ray p + s d meets it where
    # (p_u + s d_u)^2 / a^2 + (p_v + s d_v)^2 / b^2 = 1, a quadratic in s.
    a, b, far = 11.0, 5.0, 220.0
    curve = ellipse(0.0, far, a, b, 45.0)
    bearing = math.atan2(aim_off_m, far)
    along, across = np.array([1, 1]) / math.sqrt(2), np.array([1, -1]) / math.sqrt(2)
    d, p = np.array([math.sin(bearing), math.cos(bearing)]), np.array([0.0, -far])
    du, dv, pu, pv = d @ along / a, d @ across / b, p @ along / a, p @ across / b
    mean = -(pu * du + pv * dv) / (du**2 + dv**2)
    half = math.sqrt(mean**2 - (pu**2 + pv**2 - 1) / (du**2 + dv**2))
    found = shot(curve, (0, 0), math.degrees(bearing), 1.0)
    assert (found.reach_m, found.carry_m) == pytest.approx((mean - half, mean + half), abs=1e-9)


@pytest.mark.parametrize("turned_deg", [0.0, 17.0, 45.0, 80.0, 90.0, 133.0])
def test_the_width_of_an_ellipse_square_to_a_shot_agrees_with_its_closed_form(turned_deg):
    # Its extent in the direction at t off the long axis is 2 sqrt(a^2 cos^2 t + b^2 sin^2 t), and square to a shot at
    # 45 degrees to the axis 2 sqrt(a^2 sin^2 t + b^2 cos^2 t).
    a, b, t = 11.0, 5.0, math.radians(turned_deg)
    found = shot(ellipse(0, 220, a, b, turned_deg), (0, 0), 0.0, 1.0)
    assert found.width_m == pytest.approx(2 * math.hypot(a * math.sin(t), b * math.cos(t)), abs=1e-9)


def test_a_shot_over_both_ends_of_a_kidney_meets_two_stretches_of_sand():
    # Half its length along the axis, and right of it: a cos t and b sin t - waist sin^4 t. Here it lies square across
    # play, pressed in toward the tee; 1 m nearer than the axis the shot meets it where 4 s - 5 s^4 = 1, s = sin t.
    site = one_bunker(Kidney(20.0, 8.0, 5.0), Placement("plate", 200.0, 0.0, 90.0))
    curve = outline_curves(site, site.bunkers[0], 1.0)["sand"]
    roots = np.roots([-5.0, 0.0, 0.0, 4.0, -1.0])
    sines = np.sort(roots[np.isreal(roots)].real)
    outer, inner = 10 * np.sqrt(1 - sines**2)
    found = shot(curve, (-30.0, 199.0), 90.0, 1.0)
    # The cubics leave the kidney by less than (pi/64)^4 / 384 (b + 40 waist) = 3 micrometres; it is met at a slope.
    assert np.array(found.stretches_m) == pytest.approx(
        np.array([(30 - outer, 30 - inner), (30 + inner, 30 + outer)]), abs=1e-5
    )
    assert found.width_m == pytest.approx(4.0 + 4 * 0.2 ** (1 / 3) - 5 * 0.2 ** (4 / 3), abs=1e-5)


def test_how_far_a_missing_shot_passes_is_positive_where_the_sand_lies_right():
    assert shot(CIRCLE, (-10, 0), 0.0, 1.0).passes_m == pytest.approx(10 - RADIUS_M, abs=1e-9)
    assert shot(CIRCLE, (10, 0), 0.0, 1.0).passes_m == pytest.approx(-(10 - RADIUS_M), abs=1e-9)
    assert shot(CIRCLE, (10, 0), 0.0, 1.0005).passes_m == pytest.approx(-(10 - RADIUS_M) * 1.0005, abs=1e-9)


def test_a_shot_away_from_the_sand_passes_it_by_the_distance_from_the_plate():
    assert shot(CIRCLE, (0, 0), 170.0, 1.0).passes_m == pytest.approx(-(FAR_M - RADIUS_M), abs=1e-9)
    assert shot(CIRCLE, (0, 0), 190.0, 1.0).passes_m == pytest.approx(FAR_M - RADIUS_M, abs=1e-9)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_shot_from_beside_the_sand_passes_it_by_what_is_abeam_or_ahead(side):
    beyond, before = (shot(CIRCLE, (side * 10.0, FAR_M + y), 0.0, 1.0).passes_m for y in (2.0, -2.0))
    assert beyond == pytest.approx(-side * (10 - math.sqrt(RADIUS_M**2 - 4)), abs=1e-9)
    assert before == pytest.approx(-side * (10 - RADIUS_M), abs=1e-9)


def test_a_shot_that_meets_sand_passes_none():
    assert shot(CIRCLE, (0, 0), 0.0, 1.0).passes_m is None


@pytest.mark.parametrize(
    ("sector_deg", "wanted_m"),
    [
        pytest.param((-5, 5), (FAR_M - RADIUS_M, FAR_M + RADIUS_M), id="all of it"),
        pytest.param((355, 5), (FAR_M - RADIUS_M, FAR_M + RADIUS_M), id="all of it, through north"),
        pytest.param((3, 363), (FAR_M - RADIUS_M, FAR_M + RADIUS_M), id="all round"),
        pytest.param((90, 270), None, id="none of it"),
        pytest.param((5, 355), None, id="the sector the other way round"),
    ],
)
def test_a_sector_holds_the_sand_in_it(sector_deg, wanted_m):
    found = nearest_and_furthest(CIRCLE, (0, 0), *sector_deg, 1.0)
    assert found == (None if wanted_m is None else pytest.approx(wanted_m, abs=1e-9))


def test_a_sector_that_begins_beside_the_middle_is_cut_at_its_side():
    t = math.radians(1.0)
    half = math.sqrt(RADIUS_M**2 - (FAR_M * math.sin(t)) ** 2)
    found = nearest_and_furthest(CIRCLE, (0, 0), 1.0, 20.0, 1.0002)
    wanted = (FAR_M * math.cos(t) - half, FAR_M * math.cos(t) + half)
    assert found == pytest.approx(np.array(wanted) * 1.0002, abs=1e-9)


def test_the_nearest_sand_in_a_sector_may_lie_on_no_side_of_it():
    found = nearest_and_furthest(SQUARE, (0, 0), -10, 10, 1.0)
    assert found == pytest.approx((100, math.hypot(5, 110)), abs=1e-9)


def test_from_inside_the_sand_the_nearest_in_any_sector_is_nothing():
    assert nearest_and_furthest(CIRCLE, (0, FAR_M), 30, 40, 1.0) == pytest.approx((0, RADIUS_M), abs=1e-9)
