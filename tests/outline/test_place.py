"""Placing bunkers by play, straight and round a bend."""

import math

import numpy as np
import pytest
import shapely

from fieldapp.errors import NotFoundError, OutlineError
from fieldapp.model import (
    Bunker,
    ControlPoint,
    DrawnShape,
    Ellipse,
    Hole,
    Kidney,
    LocalGrid,
    Outline,
    Placement,
    Site,
    Tee,
)
from fieldapp.outline.measure import angle_to_play_deg, measure
from fieldapp.outline.place import outline_curves
from fieldapp.play.line_of_play import line_of_play

SITE = Site(
    id="bent",
    name="Bent",
    grid=LocalGrid(57.0, -2.0),
    tees=(Tee("back", 1, "Back", 1000.0, 2000.0), Tee("far", 2, "Far", 0.0, 0.0)),
    holes=(
        Hole(1, "Elbow", 1180.0, 2330.0, turning_points=((1040.0, 2220.0),)),
        Hole(2, "Straight", 0.0, 300.0),
    ),
)
SCALE = 1.00025


def placed(shape, place, hole=1):
    return Bunker("b", hole, "Bunker", "A", (Outline("sand", "sand edge", shape),), place)


def curve_of(shape, place=None, scale=1.0):
    return outline_curves(SITE, placed(shape, place), scale)["sand"]


def middle_of(curve):
    return np.array(shapely.Polygon(curve.trace(1e-4)).centroid.coords[0])


def test_on_a_straight_hole_to_the_north_an_ellipse_lies_where_along_and_offset_say():
    curve = curve_of(Ellipse(12, 6), Placement("far", 180, 25, 0))
    assert middle_of(curve) == pytest.approx((25, 180), abs=1e-6)
    assert curve.trace(1e-5).min(axis=0) == pytest.approx((22, 174), abs=1e-5)
    assert curve.trace(1e-5).max(axis=0) == pytest.approx((28, 186), abs=1e-5)


def test_a_skew_of_90_lays_the_long_axis_square_across_play():
    trace = curve_of(Ellipse(12, 6), Placement("far", 180, -25, 90)).trace(1e-5)
    assert np.ptp(trace, axis=0) == pytest.approx((12, 6), abs=1e-5)


def test_a_skew_turns_the_long_axis_clockwise():
    bearing_deg = measure(curve_of(Ellipse(12, 6), Placement("far", 180, 0, 30))).long_axis_bearing_deg
    assert bearing_deg == pytest.approx(30, abs=0.05)


@pytest.mark.parametrize("along_m", [60.0, 150.0, 300.0, 420.0])
@pytest.mark.parametrize("offset_m", [-28.0, 0.0, 31.5])
@pytest.mark.parametrize("skew_deg", [0.0, 40.0, 90.0, -25.0])
@pytest.mark.parametrize("shape", [Ellipse(14, 8), Ellipse(20, 12)])
def test_a_bunker_placed_on_a_dogleg_is_found_where_it_was_put(along_m, offset_m, skew_deg, shape):
    curve = curve_of(shape, Placement("back", along_m, offset_m, skew_deg), SCALE)
    line = line_of_play(SITE, SITE.tee("back"))
    along, offset = line.locate(middle_of(curve))
    assert (along * SCALE, offset * SCALE) == pytest.approx((along_m, offset_m), abs=1e-6)


@pytest.mark.parametrize("along_m", [60.0, 300.0])
@pytest.mark.parametrize("skew_deg", [0.0, 40.0, 90.0, 155.0])
def test_a_bunker_placed_on_a_dogleg_lies_at_its_skew_to_the_play_there(along_m, skew_deg):
    curve = curve_of(Ellipse(14, 8), Placement("back", along_m, 20, skew_deg), SCALE)
    _, play_deg = line_of_play(SITE, SITE.tee("back")).at(along_m / SCALE)
    found_deg = measure(curve).long_axis_bearing_deg
    assert (found_deg - play_deg - skew_deg + 90) % 180 == pytest.approx(90, abs=0.05)
    assert angle_to_play_deg(found_deg, play_deg) == pytest.approx(min(skew_deg, 180 - skew_deg), abs=0.05)


def test_sizes_are_ground_metres_so_the_grid_holds_them_smaller():
    curve = curve_of(Ellipse(14, 8), Placement("back", 100, 0), SCALE)
    assert curve.area_m2 * SCALE**2 == pytest.approx(math.pi * 7 * 4, abs=1e-9)


def test_a_drawn_shape_is_placed_with_x_along_the_long_axis_and_y_to_its_right():
    marks = [(3, 0), (0, 2), (-3, 0), (0, -2)]
    shape = DrawnShape(tuple(ControlPoint(x, y) for x, y in marks), "straight")
    curve = curve_of(shape, Placement("far", 100, 10, 90))
    there = {(round(x, 6), round(y, 6)) for x, y in curve.trace(0.01)}
    assert there == {(13.0, 100.0), (10.0, 98.0), (7.0, 100.0), (10.0, 102.0)}


def test_roles_of_points_survive_the_placing():
    points = (ControlPoint(5, 0, "corner"), ControlPoint(0, 3), ControlPoint(-5, 0), ControlPoint(0, -3))
    curve = curve_of(DrawnShape(points), Placement("far", 100, 0, 0))
    assert curve.points_at(curve.corners_m) == pytest.approx(np.array([(0, 105)]), abs=1e-9)


def test_a_drawn_shape_without_a_place_is_in_course_coordinates():
    shape = DrawnShape(tuple(ControlPoint(*xy) for xy in [(7, 7), (9, 7), (9, 9)]), "straight")
    assert curve_of(shape, scale=SCALE).area_m2 == pytest.approx(2, abs=1e-12)


@pytest.mark.parametrize("shape", [Ellipse(12, 6), Kidney(16, 9, 3), Kidney(16, 9, 0)])
def test_an_ellipse_or_kidney_runs_clockwise_and_has_no_corner(shape):
    curve = curve_of(shape, Placement("back", 100, 0, 33))
    assert curve.signed_area_m2 < 0
    assert len(curve.corners_m) == 0


def test_a_kidney_is_pressed_in_on_its_right_by_exactly_its_waist():
    curve = curve_of(Kidney(16, 9, 3), Placement("far", 100, 0, 0))
    across = shapely.LineString([(-20, 100), (20, 100)]).intersection(shapely.Polygon(curve.trace(1e-6)))
    assert across.bounds == pytest.approx((-4.5, 100, 1.5, 100), abs=1e-5)


def test_a_kidney_has_the_area_of_its_formula():
    """Ellipse less the integral of waist sin^4 t over the pressed side: 16/15 a waist."""
    curve = curve_of(Kidney(16, 9, 3), Placement("far", 100, 0, 0))
    assert curve.area_m2 == pytest.approx(math.pi * 8 * 4.5 - 16 / 15 * 8 * 3, abs=1e-5)


def test_a_kidney_without_a_waist_is_the_ellipse():
    place = Placement("far", 100, 0, 0)
    kidney, ellipse = curve_of(Kidney(16, 9, 0), place), curve_of(Ellipse(16, 9), place)
    assert (kidney.length_m, kidney.area_m2) == pytest.approx((ellipse.length_m, ellipse.area_m2), abs=1e-5)


@pytest.mark.parametrize(
    ("shape", "says"),
    [
        (Ellipse(0, 6), "Its length is 0 m; it must be from 0.01 to 10000 m."),
        (Ellipse(12, -1), "Its width is -1 m"),
        (Ellipse(12, math.nan), "Its width is nan m"),
        (Ellipse(math.inf, 6), "Its length is inf m"),
        (Kidney(16, 9, 9.5), "Its waist is pressed in by 9.5 m but it is only 9 m wide"),
        (Kidney(16, 9, -1), "the waist must be at least 0 and less than the width"),
    ],
)
def test_a_shape_of_impossible_size_is_refused_with_bunker_and_outline_named(shape, says):
    with pytest.raises(OutlineError) as refused:
        curve_of(shape, Placement("back", 100, 0))
    assert str(refused.value).startswith("Bunker 'b', outline 'sand': ")
    assert says in str(refused.value)


def test_an_ellipse_without_a_place_is_refused():
    with pytest.raises(OutlineError, match="give the bunker a place"):
        curve_of(Ellipse(12, 6))


def test_a_bad_drawn_outline_is_refused_with_bunker_and_outline_named():
    with pytest.raises(OutlineError, match="Bunker 'b', outline 'sand': A closed outline needs at least 3"):
        curve_of(DrawnShape((ControlPoint(0, 0), ControlPoint(1, 1))))


def test_a_place_that_is_not_a_number_is_refused():
    with pytest.raises(OutlineError, match="place has a figure that is not a number"):
        curve_of(Ellipse(12, 6), Placement("back", math.nan, 0))


def test_a_place_from_a_tee_that_is_not_there_is_refused():
    with pytest.raises(NotFoundError, match="There is no tee of site 'bent' called 'gold'"):
        curve_of(Ellipse(12, 6), Placement("gold", 100, 0))
