"""Measures of outlines by hand."""

import math

import pytest

from fieldapp.model import ControlPoint, DrawnShape, Ellipse, Placement
from fieldapp.outline.curve import build_curve
from fieldapp.outline.measure import angle_to_play_deg, measure
from fieldapp.outline.place import outline_curves
from tests.play.holes import one_bunker


def drawn(points, closed=True):
    return build_curve(DrawnShape(tuple(ControlPoint(*point) for point in points), "straight", closed))


def test_a_rectangle_on_the_skew_has_its_sides_for_axes():
    measures = measure(
        drawn([(600_000, 6_500_000), (600_004, 6_500_008), (600_002, 6_500_009), (599_998, 6_500_001)])
    )
    assert (measures.long_axis_m, measures.short_axis_m) == pytest.approx(
        (math.sqrt(80), math.sqrt(5)), abs=1e-6
    )
    assert measures.long_axis_bearing_deg == pytest.approx(math.degrees(math.atan2(4, 8)), abs=1e-6)
    assert (measures.area_m2, measures.perimeter_m) == pytest.approx((20, 10 * math.sqrt(5)), abs=1e-6)


def test_an_open_outline_has_no_area():
    assert measure(drawn([(0, 0), (5, 0), (9, 3)], closed=False)).area_m2 is None


def test_a_straight_open_outline_has_its_length_for_long_axis_and_no_width():
    measures = measure(drawn([(0, 0), (-3, 4)], closed=False))
    assert (measures.long_axis_m, measures.short_axis_m) == pytest.approx((5, 0), abs=1e-9)
    assert measures.long_axis_bearing_deg == pytest.approx(180 - math.degrees(math.atan2(3, 4)), abs=1e-9)


@pytest.mark.parametrize(
    ("axis_deg", "play_deg", "between_deg"),
    [(0, 0, 0), (90, 0, 90), (10, 350, 20), (170, 10, 20), (100, 280, 0), (45, 181, 44), (179.5, 0.5, 1)],
)
def test_the_angle_to_play_is_the_smaller_one(axis_deg, play_deg, between_deg):
    assert angle_to_play_deg(axis_deg, play_deg) == pytest.approx(between_deg, abs=1e-12)


@pytest.mark.parametrize("width_m", [3.0, 9.0, 11.5])
@pytest.mark.parametrize("skew_deg", [0.0, 31.7, 90.0, 148.2])
def test_an_ellipse_has_its_own_axes_even_where_it_is_nearly_round(width_m, skew_deg):
    """At the angle f off its axes a rectangle round an ellipse is larger by (a^2 - b^2)^2 f^2 / (2 a^2 b^2)."""
    site = one_bunker(Ellipse(12.0, width_m), Placement("plate", 200.0, 15.0, skew_deg))
    measures = measure(outline_curves(site, site.bunkers[0], 1.0)["sand"])
    off_deg = (measures.long_axis_bearing_deg - skew_deg + 90.0) % 180.0 - 90.0
    assert off_deg == pytest.approx(0.0, abs=0.004)
    assert (measures.long_axis_m, measures.short_axis_m) == pytest.approx((12.0, width_m), abs=1e-6)
