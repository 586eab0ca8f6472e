"""The yardage table of a hole, by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from fieldapp.errors import NotFoundError, OutlineError
from fieldapp.model import Ellipse, Placement, Plan
from fieldapp.play.hole_yardages import AimLine, carry_with, hole_yardages
from tests.play.holes import bunker, drawn, one_bunker, rectangle, site_of, table

EXACT_M = 1e-8
"""Coordinates of some hundred metres are rounded to 1e-13 m and crossings refined to 1e-9 m."""
ABEAM_M = 2e-4
"""Distances abeam are those of a trace within 0.1 mm of the curve."""

TURN, GREEN = (0.0, 180.0), (240.0, 180.0)
"""A hole of 180 m, a right angle to the right, and 240 m; straight from tee to green it is 300 m: 3, 4, 5."""


def on_triangle(shape, along_m, offset_m, skew_deg=0.0):
    """The one row of a bunker placed by play on the 3-4-5 hole."""
    place = Placement("plate", along_m, offset_m, skew_deg)
    (row,) = table(one_bunker(shape, place, turning_points=(TURN,), green=GREEN))
    return row


ROUND = Ellipse(10.0, 10.0)


def test_the_straight_line_of_a_3_4_5_hole_is_its_longest_side():
    row = on_triangle(ROUND, 420.0, 0.0)
    assert row.straight_m == pytest.approx(300.0, abs=EXACT_M)
    assert row.along_m == pytest.approx(420.0, abs=EXACT_M)
    assert (row.to_middle.reach_m, row.to_middle.carry_m) == pytest.approx((295, 305), abs=EXACT_M)
    assert (row.on_line.reach_m, row.on_line.carry_m) == pytest.approx((415, 425), abs=EXACT_M)


def test_a_bunker_a_third_of_the_way_straight_to_the_green_lies_beside_the_first_leg():
    row = on_triangle(ROUND, 60.0, 80.0)
    assert (row.straight_m, row.along_m, row.offset_m) == pytest.approx((100, 60, 80), abs=EXACT_M)
    assert (row.to_middle.reach_m, row.to_middle.carry_m) == pytest.approx((95, 105), abs=EXACT_M)
    assert row.to_middle.bearing_deg == pytest.approx(math.degrees(math.atan2(4, 3)), abs=1e-9)
    assert row.on_line.stretches_m == ()
    assert row.on_line.passes_m == pytest.approx(75.0, abs=ABEAM_M)
    assert (row.along_near_m, row.along_far_m) == pytest.approx((55, 65), abs=ABEAM_M)


def test_a_bunker_on_the_second_leg_is_reached_round_the_turn():
    row = on_triangle(ROUND, 280.0, 0.0)
    assert (row.on_line.reach_m, row.on_line.carry_m) == pytest.approx((275, 285), abs=EXACT_M)
    assert row.straight_m == pytest.approx(math.hypot(100, 180), abs=EXACT_M)
    assert row.on_line.bearing_deg == pytest.approx(90.0)


def test_sand_round_the_turning_point_is_one_stretch():
    row = on_triangle(ROUND, 180.0, 0.0)
    assert np.array(row.on_line.stretches_m) == pytest.approx(np.array([(175, 185)]), abs=EXACT_M)


def test_sand_straight_on_beyond_the_turning_point_is_not_on_the_line():
    (row,) = table(one_bunker(rectangle(-5, 5, 210, 220), turning_points=(TURN,), green=GREEN))
    assert row.on_line.stretches_m == ()
    assert row.on_line.passes_m == pytest.approx(-30.0, abs=ABEAM_M)


def test_sand_whose_edge_runs_through_the_turning_point_is_met_there():
    row = on_triangle(ROUND, 175.0, 0.0)
    assert np.array(row.on_line.stretches_m) == pytest.approx(np.array([(170, 180)]), abs=EXACT_M)
    row = on_triangle(ROUND, 185.0, 0.0)
    assert np.array(row.on_line.stretches_m) == pytest.approx(np.array([(180, 190)]), abs=EXACT_M)


@pytest.mark.parametrize(
    ("middle", "along_m", "offset_m", "play_deg"),
    [
        pytest.param((29.0, 150.0), 150, 29, 0, id="nearer to the first leg"),
        pytest.param((30.0, 150.0), 150, 30, 0, id="equally near: the earlier leg"),
        pytest.param((31.0, 150.0), 211, 30, 90, id="nearer to the second leg"),
        pytest.param((-30.0, 220.0), 180, -50, 0, id="outside the bend: the turning point"),
    ],
)
def test_at_a_bend_the_nearest_leg_counts(middle, along_m, offset_m, play_deg):
    x, y = middle
    square = rectangle(x - 2, x + 2, y - 2, y + 2)
    (row,) = table(one_bunker(square, turning_points=(TURN,), green=GREEN))
    assert (row.along_m, row.offset_m) == pytest.approx((along_m, offset_m), abs=EXACT_M)
    assert row.on_line.bearing_deg == pytest.approx(play_deg, abs=1e-9)


def test_in_the_inside_corner_a_line_of_play_that_passes_says_by_how_much_of_the_nearest_leg():
    (row,) = table(one_bunker(rectangle(28, 36, 150, 154), turning_points=(TURN,), green=GREEN))
    assert row.on_line.stretches_m == ()
    assert row.on_line.passes_m == pytest.approx(26.0, abs=ABEAM_M)


def test_sand_is_abeam_as_far_as_its_ellipse_reaches_along_play():
    # At t off its long axis an ellipse of halves a and b reaches sqrt(a^2 cos^2 t + b^2 sin^2 t) along play.
    row = on_triangle(Ellipse(22.0, 10.0), 100.0, 20.0, 37.0)
    half_m = math.hypot(11 * math.cos(math.radians(37)), 5 * math.sin(math.radians(37)))
    assert (row.along_near_m, row.along_far_m) == pytest.approx((100 - half_m, 100 + half_m), abs=ABEAM_M)


def test_in_the_inside_corner_sand_may_lie_abeam_of_both_legs():
    """One corner is 28 m off the first leg at 150 m; another 30 m off the second leg, 36 m along it."""
    (row,) = table(one_bunker(rectangle(28, 36, 150, 154), turning_points=(TURN,), green=GREEN))
    assert (row.along_near_m, row.along_far_m) == pytest.approx((150, 216), abs=ABEAM_M)


def test_the_nearest_and_furthest_sand_is_that_of_any_aim():
    """A triangle beside the line: its nearest place is within its side, its furthest a corner at its very edge."""
    (row,) = table(one_bunker(drawn((30, 40), (50, 40), (40, 200)), green=(40.0, 400.0), tees=((40.0, 0.0),)))
    assert row.to_middle.carry_m == pytest.approx(200.0, abs=EXACT_M)
    assert (row.nearest_m, row.furthest_m) == pytest.approx((40.0, 200.0), abs=EXACT_M)
    (row,) = table(one_bunker(rectangle(30, 40, 40, 60)), scale=2.0)
    assert (row.nearest_m, row.furthest_m) == pytest.approx((100.0, 2 * math.hypot(40, 60)), abs=EXACT_M)


def test_from_a_plate_inside_the_sand_the_nearest_is_nothing():
    (row,) = table(one_bunker(ROUND, Placement("plate", 3.0, 0.0)))
    assert (row.nearest_m, row.furthest_m) == pytest.approx((0.0, 8.0), abs=EXACT_M)


def test_a_plate_inside_the_sand_reaches_it_at_nothing():
    (row,) = table(one_bunker(ROUND, Placement("plate", 3.0, 0.0)))
    assert np.array(row.on_line.stretches_m) == pytest.approx(np.array([(0, 8)]), abs=EXACT_M)
    assert (row.to_middle.reach_m, row.to_middle.carry_m) == pytest.approx((0, 8), abs=EXACT_M)


def test_a_plate_at_the_very_middle_has_no_straight_shot_at_it():
    (row,) = table(one_bunker(ROUND, Placement("plate", 0.0, 0.0)), AimLine(100.0, 0.0))
    assert row.to_middle is None
    assert row.on_aim.carry_m == pytest.approx(5.0, abs=EXACT_M)


def test_rows_go_bunker_by_bunker_and_tee_by_tee_in_the_order_of_the_site():
    bunkers = [
        bunker(ROUND, Placement("plate", along, 10.0), name) for name, along in (("z", 250.0), ("a", 150.0))
    ]
    elsewhere = replace(bunkers[0], id="other", hole=2)
    site = site_of(bunkers, tees=((0, 0), (0, 30)))
    rows = table(site)
    assert [(row.bunker.bunker.id, row.tee.id) for row in rows] == [
        ("z", "plate"), ("z", "plate2"), ("a", "plate"), ("a", "plate2"),
    ]  # fmt: skip
    assert rows[1].along_m == pytest.approx(220.0, abs=EXACT_M)
    others = [replace(row.bunker, bunker=elsewhere) for row in rows[:1]]
    assert hole_yardages(site, others, 1, 1.0) == ()


def test_a_hole_that_is_not_there_is_refused():
    with pytest.raises(NotFoundError, match="no hole of site 's' called '7'"):
        hole_yardages(one_bunker(ROUND), [], 7, 1.0)


def test_an_aim_line_goes_straight_through_its_place_beside_the_line_of_play():
    site = one_bunker(ROUND, Placement("plate", 200.0, 20.0))
    (row,) = table(site, AimLine(100.0, 10.0))
    assert row.on_aim.bearing_deg == pytest.approx(math.degrees(math.atan2(10, 100)), abs=1e-9)
    assert np.array(row.on_aim.stretches_m) == pytest.approx(np.array(row.to_middle.stretches_m), abs=EXACT_M)
    (row,) = table(site, AimLine(100.0, -10.0))
    assert row.on_aim.stretches_m == ()
    assert row.on_aim.passes_m == pytest.approx(
        math.hypot(200, 20) * math.sin(2 * math.atan(0.1)) - 5, abs=EXACT_M
    )


def test_an_aim_line_round_a_bend_is_straight_from_the_plate():
    site = one_bunker(ROUND, Placement("plate", 60.0, 80.0), turning_points=(TURN,), green=GREEN)
    (row,) = table(site, AimLine(420.0, 0.0))
    assert np.array(row.on_aim.stretches_m) == pytest.approx(np.array(row.to_middle.stretches_m), abs=EXACT_M)


def test_an_aim_line_through_the_plate_itself_is_refused():
    with pytest.raises(OutlineError, match="goes through the plate of tee 'plate' itself"):
        table(one_bunker(ROUND, Placement("plate", 200.0, 20.0)), AimLine(0.0, 0.0))


def test_an_aim_line_that_is_not_a_number_is_refused():
    with pytest.raises(OutlineError, match="not a number"):
        table(one_bunker(ROUND, Placement("plate", 200.0, 20.0)), AimLine(math.nan, 0.0))


def test_an_open_sand_edge_has_its_place_but_no_shots():
    line = drawn((10, 200), (12, 205), (10, 212), closed=False)
    site = site_of(
        [bunker(line, level_m=1.0, plan=Plan("plate", reach_m=199.0, along_m=205.0))], levels_m=(3.0,)
    )
    (row,) = table(site, AimLine(200.0, 5.0))
    assert (row.on_line, row.to_middle, row.on_aim, row.slope_more_m) == (None, None, None, None)
    assert (row.nearest_m, row.furthest_m) == (None, None)
    assert (row.along_near_m, row.along_far_m) == pytest.approx((200, 212), abs=EXACT_M)
    assert 10 < row.offset_m < 12
    assert [(one.name, one.computed_m is None) for one in row.compared] == [("reach", True), ("along", False)]
    assert row.compared[0].difference_m is None


def test_a_plan_is_compared_from_its_own_tee_only():
    plan = Plan("plate2", reach_m=164.0, carry_m=176.0, along_m=None, offset_m=1.0, tolerance_m=2.0)
    site = site_of([bunker(ROUND, Placement("plate", 200.0, 0.0), plan=plan)], tees=((0, 0), (0, 30)))
    first, second = table(site)
    assert first.compared == ()
    assert [one.name for one in second.compared] == ["reach", "carry", "offset"]
    assert [one.difference_m for one in second.compared] == pytest.approx([1.0, -1.0, -1.0], abs=EXACT_M)
    assert {one.tolerance_m for one in second.compared} == {2.0}


def test_a_bunker_placed_without_a_plan_is_compared_with_its_place():
    (row,) = table(one_bunker(ROUND, Placement("plate", 200.0, -12.0)))
    assert [(one.name, one.planned_m) for one in row.compared] == [("along", 200.0), ("offset", -12.0)]
    assert [one.difference_m for one in row.compared] == pytest.approx([0.0, 0.0], abs=EXACT_M)


def test_a_rangefinder_reads_the_slope_which_is_longer():
    """Front edge 80 m out and 60 m up: 100 m of slope. 3, 4, 5 again."""
    site = site_of([bunker(ROUND, Placement("plate", 85.0, 0.0), level_m=70.0)], levels_m=(10.0,))
    (row,) = table(site)
    assert row.slope_more_m == pytest.approx(20.0, abs=EXACT_M)


@pytest.mark.parametrize(("tee_level_m", "sand_level_m"), [(None, 4.0), (4.0, None)])
def test_without_both_levels_nothing_is_said_of_the_slope(tee_level_m, sand_level_m):
    site = site_of(
        [bunker(ROUND, Placement("plate", 85.0, 0.0), level_m=sand_level_m)], levels_m=(tee_level_m,)
    )
    assert table(site)[0].slope_more_m is None


def test_distances_are_on_the_ground_and_the_grids_excess_is_told():
    """On a grid whose metre is 0.9985 m on the ground, 300 m on the ground are 300.4507 m of grid."""
    (row,) = table(one_bunker(ROUND, Placement("plate", 300.0, 0.0)), scale=0.9985)
    assert row.straight_m == pytest.approx(300.0, abs=EXACT_M)
    assert (row.on_line.reach_m, row.on_line.carry_m) == pytest.approx((295, 305), abs=EXACT_M)
    assert row.to_middle.width_m == pytest.approx(10.0, abs=EXACT_M)
    assert row.grid_more_m == pytest.approx(300 / 0.9985 - 300, abs=EXACT_M)


@pytest.mark.parametrize(
    ("skew_deg", "slant_deg", "far_end", "words"),
    [
        (0, 0, None, "runs along play"),
        (-6, 6, None, "runs along play"),
        (35, 35, "right", "at a slant, far end right"),
        (-35, 35, "left", "at a slant, far end left"),
        (145, 35, "left", "at a slant, far end left"),
        (85, 85, None, "lies square across"),
        (90, 90, None, "lies square across"),
    ],
)
def test_a_slant_is_told_by_its_angle_and_in_words(skew_deg, slant_deg, far_end, words):
    row = on_triangle(Ellipse(14.0, 6.0), 300.0, -15.0, skew_deg)
    # The axes are found to about 0.003 degrees.
    assert row.slant_deg == pytest.approx(slant_deg, abs=0.004)
    assert (row.far_end, row.slant_words) == (far_end, words)


def test_a_round_bunker_has_no_slant_to_speak_of():
    row = on_triangle(Ellipse(10.0, 9.8), 300.0, -15.0, 40.0)
    assert (row.far_end, row.slant_words) == (None, "is nearly round")


def test_a_landing_allowance_is_added_to_a_carry_that_is_there():
    (row,) = table(one_bunker(ROUND, Placement("plate", 200.0, 0.0)))
    assert carry_with(row.to_middle, 4.5) == pytest.approx(209.5, abs=EXACT_M)
    (row,) = table(one_bunker(ROUND, Placement("plate", 200.0, 20.0)))
    assert carry_with(row.on_line, 4.5) is None
    assert carry_with(None, 4.5) is None
