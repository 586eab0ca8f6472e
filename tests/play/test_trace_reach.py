"""Reach and carry over a traced outline, against closed forms and against polygons."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.play.trace_reach import edge_slopes, reach_over_trace

SQUARE = [(-5.0, 100.0), (5.0, 100.0), (5.0, 110.0), (-5.0, 110.0), (-5.0, 100.0)]
HORSESHOE = [(-5, 100), (5, 100), (5, 120), (-5, 120), (-5, 116), (1, 116), (1, 104), (-5, 104), (-5, 100)]
KIDNEY = ((0, 200), (6, 198), (11, 201), (12, 207), (7, 209), (5, 206), (1, 208), (-2, 204))
KIDNEY_TRACE = build_curve(DrawnShape(tuple(ControlPoint(*xy) for xy in KIDNEY), "smooth", True)).trace(0.01)


def both(found):
    return found.reach_m, found.carry_m


def test_a_square_across_the_line_is_reached_at_its_front_and_carried_at_its_back():
    assert both(reach_over_trace(SQUARE, (0, 0), (1, 105))) == pytest.approx(
        (100 * math.hypot(1, 105) / 105, 110 * math.hypot(1, 105) / 105)
    )


def test_two_arms_of_sand_on_one_line_are_carried_past_the_second():
    assert both(reach_over_trace(HORSESHOE, (0, 0), (0, 1))) == pytest.approx((100.0, 120.0))


def test_a_line_that_misses_has_no_reach_nor_has_the_tee_itself():
    assert reach_over_trace(SQUARE, (0, 0), (50, 100)) is None
    assert reach_over_trace(SQUARE, (0, 0), (0, 0)) is None
    assert reach_over_trace(SQUARE, (0, 0), (0, -1)) is None


def test_an_edge_has_the_slope_at_which_it_lies_and_a_corner_that_of_its_steeper_side():
    slanted = [(-5.0, 95.0), (5.0, 105.0), (5.0, 120.0), (-5.0, 120.0), (-5.0, 95.0)]
    found = edge_slopes(slanted, (0, 0), (0, 100))
    assert (found.reach, found.carry) == (pytest.approx(1.0, abs=2e-3), pytest.approx(0.0, abs=2e-3))
    wedge = [(0.0, 100.0), (5.0, 110.0), (5.0, 120.0), (-5.0, 120.0), (-5.0, 105.0), (0.0, 100.0)]
    assert edge_slopes(wedge, (0, 0), (0, 100)).reach == pytest.approx(2.0, abs=1e-2)


def test_a_side_that_misses_the_outline_has_no_part_in_its_slope():
    assert edge_slopes(SQUARE, (0, 0), (50, 100)) is None
    assert edge_slopes(SQUARE, (0, 0), (5.0, 105.0)).reach == pytest.approx(5 / 105, abs=1e-2)
    needle = [(-0.02, 100.0), (0.02, 100.0), (0.0, 110.0), (-0.02, 100.0)]
    assert edge_slopes(needle, (0, 0), (0, 100)).carry == 0.0


def test_a_tee_inside_the_sand_has_a_reach_of_nothing():
    assert both(reach_over_trace(SQUARE, (0, 105), (0, 200))) == pytest.approx((0.0, 5.0))
    assert both(reach_over_trace(HORSESHOE, (3, 110), (3, 200))) == pytest.approx((0.0, 10.0))


def test_a_tee_between_two_arms_is_not_inside():
    assert both(reach_over_trace(HORSESHOE, (0, 110), (0, 200))) == pytest.approx((6.0, 10.0))


def test_a_line_along_an_edge_has_its_two_ends():
    assert both(reach_over_trace(SQUARE, (5, 0), (5, 1))) == pytest.approx((100.0, 110.0))
    assert both(reach_over_trace(SQUARE, (-5, 0), (-5, 1))) == pytest.approx((100.0, 110.0))


def polygon_reach(trace, tee, through):
    aim = np.subtract(through, tee) / math.dist(tee, through)
    ray = shapely.LineString([tee, np.asarray(tee) + 5000 * aim])
    met = shapely.get_coordinates(shapely.Polygon(trace).intersection(ray))
    away = np.hypot(*(met - tee).T)
    return None if len(met) == 0 else (away.min(), away.max())


@settings(deadline=None)
@given(
    tee=st.tuples(st.floats(-40, 40), st.floats(-60, 230)),
    bearing_deg=st.floats(-30, 30),
)
def test_it_agrees_with_polygons_to_a_hundredth_of_a_millimetre(tee, bearing_deg):
    turned = math.radians(bearing_deg)
    through = tee[0] + 100 * math.sin(turned), tee[1] + 100 * math.cos(turned)
    found = reach_over_trace(KIDNEY_TRACE, tee, through)
    want = polygon_reach(KIDNEY_TRACE, tee, through)
    if found is None or want is None:
        assert found is want
    else:
        assert both(found) == pytest.approx(want, abs=1e-5)
