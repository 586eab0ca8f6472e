"""How alike two outlines are: known answers, and shapely's own Hausdorff distance and areas beside it."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.outline.curve import build_curve
from fieldapp.tape.captured import shape_through
from fieldapp.tape.likeness import likeness
from tests.tape.walks import lobed

SQUARE = [(0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (10.0, 0.0)]


def straight(points, closed=True):
    return build_curve(shape_through(points, closed, "straight"))


def moved(points, x=0.0, y=0.0):
    return [(px + x, py + y) for px, py in points]


def test_an_outline_is_like_itself():
    alike = likeness(straight(SQUARE), straight(SQUARE))
    assert alike.hausdorff_m == pytest.approx(0.0, abs=1e-9)
    assert (alike.out_m, alike.in_m) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert (alike.area_more_m2, alike.changed_m2) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_a_square_moved_aside_reaches_out_on_one_side_and_in_on_the_other():
    alike = likeness(straight(SQUARE), straight(moved(SQUARE, x=1.5)))
    assert (alike.out_m, alike.in_m, alike.hausdorff_m) == pytest.approx((1.5, 1.5, 1.5), abs=1e-6)
    assert alike.out_at[0] == pytest.approx(11.5)
    assert alike.in_at[0] == pytest.approx(1.5)
    assert (alike.area_more_m2, alike.changed_m2) == pytest.approx((0.0, 30.0), abs=1e-6)


def test_the_two_directions_are_not_the_same():
    """A spike of the old outline that the new one lacks is in no place of the new one, but it is in Hausdorff's."""
    spiked = [*SQUARE[:2], (5.0, 14.0), *SQUARE[2:]]
    shorn = likeness(straight(spiked), straight(SQUARE))
    grown = likeness(straight(SQUARE), straight(spiked))
    assert shorn.hausdorff_m == pytest.approx(4.0, abs=1e-3)
    assert grown.hausdorff_m == pytest.approx(4.0, abs=1e-3)
    assert grown.out_m == pytest.approx(4.0, abs=1e-3)
    assert grown.out_at == pytest.approx((5.0, 14.0), abs=1e-2)
    assert shorn.in_m < 4.0
    assert (shorn.area_more_m2, grown.area_more_m2) == pytest.approx((-20.0, 20.0), abs=1e-6)


def test_open_lines_have_no_area_and_right_is_out():
    old, new = (
        straight([(0.0, 0.0), (0.0, 20.0)], closed=False),
        straight([(0.0, 0.0), (2.0, 10.0), (0.0, 20.0)], closed=False),
    )
    alike = likeness(old, new)
    assert (alike.out_m, alike.in_m) == pytest.approx((2.0, 0.0), abs=1e-6)
    assert (alike.area_more_m2, alike.changed_m2) == (None, None)


@given(seed=st.integers(0, 10_000))
@settings(max_examples=6, deadline=None)
def test_it_agrees_with_shapely(seed):
    """Independent: shapely's discrete Hausdorff distance and symmetric difference of fine traces."""
    rng = np.random.default_rng(seed)
    old, new = (
        build_curve(shape_through(lobed(rng, 24) + rng.normal(0, 1, 2), True, "smooth")) for _ in range(2)
    )
    alike = likeness(old, new)
    one, other = (shapely.Polygon(curve.trace(1e-4)) for curve in (old, new))
    apart = shapely.hausdorff_distance(one.exterior, other.exterior)
    assert alike.hausdorff_m == pytest.approx(apart, abs=0.01)
    assert alike.changed_m2 == pytest.approx(one.symmetric_difference(other).area, rel=1e-3)
    assert alike.area_more_m2 == pytest.approx(other.area - one.area, abs=1e-2)
    assert max(alike.out_m, alike.in_m) <= alike.hausdorff_m + 1e-9
