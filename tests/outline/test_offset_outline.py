"""An outline at a distance from another: where that is known by hand, and against places on the true line."""

import math

import numpy as np
import pytest
import shapely

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.offset_outline import offset_shape


def straight(*places):
    return DrawnShape(tuple(ControlPoint(*place) for place in places), "straight")


SQUARE = straight((0, 0), (0, 6), (10, 6), (10, 0))
WAISTED = straight((0, 0), (0, 6), (8, 3.5), (16, 6), (16, 0), (8, 2.5))
CLAW = straight(
    (0, 0),
    (0, 10),
    (10, 10),
    (10, 5.5),
    (9, 5.5),
    (9, 9),
    (1, 9),
    (1, 1),
    (9, 1),
    (9, 4.5),
    (10, 4.5),
    (10, 0),
)


def circle(radius, count=24, middle=(500_000.0, 4_000_000.0)):
    turns = [2 * math.pi * step / count for step in range(count)]
    points = ((middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn)) for turn in turns)
    return DrawnShape(tuple(ControlPoint(*point) for point in points))


def round_arc(radius):
    """A true circle, of two arcs."""
    places = ((-radius, 0, "plain"), (0, radius, "through"), (radius, 0, "plain"), (0, -radius, "through"))
    return DrawnShape(tuple(ControlPoint(*place) for place in places), "straight")


@pytest.mark.parametrize("by_m", [2.0, 0.5, -1.0, -4.5])
def test_off_a_circle_lies_a_circle(by_m):
    made = offset_shape(round_arc(5.0), by_m)
    trace = build_curve(made.shape).vertices(0.0005)
    radii = np.hypot(*trace.T)
    assert np.abs(radii - (5.0 + by_m)).max() <= 0.005
    assert np.abs(radii - (5.0 + by_m)).max() <= made.off_m + 0.0005
    assert len(made.shape.points) <= 24


def test_large_course_coordinates_lose_nothing():
    near, far = offset_shape(circle(5.0, middle=(0.0, 0.0)), 1.0), offset_shape(circle(5.0), 1.0)
    assert len(near.shape.points) == len(far.shape.points)
    assert far.off_m == pytest.approx(near.off_m, abs=0.0005)


def test_inside_straight_lines_lie_straight_lines():
    made = offset_shape(SQUARE, -1.0)
    assert made.shape.curve == "straight"
    assert {(point.x, point.y) for point in made.shape.points} == {(1, 1), (1, 5), (9, 5), (9, 1)}
    assert made.off_m < 1e-4


def test_outside_a_corner_the_line_goes_round_in_an_arc():
    made = offset_shape(SQUARE, 2.0)
    curve = build_curve(made.shape)
    assert curve.area_m2 == pytest.approx(10 * 6 + 2 * 2 * (10 + 6) + math.pi * 2**2, abs=0.05)
    away = shapely.distance(shapely.points(curve.vertices(0.001)), shapely.box(0, 0, 10, 6))
    assert np.abs(away - 2.0).max() <= 0.005
    straight = [point for point in made.shape.points if point.role == "corner"]
    assert len(straight) >= 8, "the lines between the arcs are straight"


@pytest.mark.parametrize("by_m", [1.5, 0.4, -0.4, -1.5])
def test_every_place_off_a_bent_outline_is_that_far_from_it(by_m):
    places = ((-5, 0, "corner"), (-2, 3), (2, 1.2), (5, 3), (6, 0), (3, -3), (-3, -2.5))
    bent = DrawnShape(tuple(ControlPoint(*place) for place in places))
    made = offset_shape(bent, by_m)
    line = build_curve(bent).vertices(0.0001)
    away = shapely.distance(shapely.points(build_curve(made.shape).vertices(0.001)), shapely.LineString(line))
    assert np.abs(away - abs(by_m)).max() <= 0.005
    assert made.off_m <= 0.005
    assert len(made.shape.points) <= 40


@pytest.mark.parametrize(
    ("shape", "by_m", "words"),
    [
        (SQUARE, -3.1, "Nothing is left 3.10 m inside this outline; choose a shorter distance."),
        (WAISTED, -0.8, "It falls apart into 2 pieces 0.80 m inside; choose a shorter distance."),
        (CLAW, 0.7, "It meets itself round a gap 0.70 m outside; choose a shorter distance."),
        (DrawnShape(SQUARE.points, "straight", closed=False), 1.0, "An open line has no inside and no outside"),
        (SQUARE, 0.0, "between 1 mm and 200 m"),
        (straight((0, 0), (0, 900), (900, 900), (900, 0)), 1.0, "The outline is 3.6 km long"),
        (DrawnShape(SQUARE.points[:2]), 1.0, "needs at least 3 different points"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said(shape, by_m, words):
    with pytest.raises(OutlineError) as told:
        offset_shape(shape, by_m)
    assert words in str(told.value)
