"""How near a bunker comes to what it must keep clear of, by hand."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.model import ControlPoint, DrawnShape, Outline, Peg
from fieldapp.model.keep_clear import KeepClear
from fieldapp.outline.clearance import nearest_peg, nearnesses
from fieldapp.outline.laid_out import lay_out_bunker

SQUARE = ((10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0))


@pytest.fixture(scope="module")
def site():
    return load_checked_site(Path(__file__).parents[2] / "sample_sites" / "skerry-bank")[0]


def laid_out(site, points=SQUARE, closed=True, scale=1.0):
    shape = DrawnShape(tuple(ControlPoint(x, y) for x, y in points), "straight", closed)
    bunker = replace(site.bunkers[0], place=None, plan=None, outlines=(Outline("edge", "sand edge", shape),))
    return lay_out_bunker(site, bunker, scale)


def thing(extent, *points, clearance_m=2.0, name="one"):
    return KeepClear(name, "drain", "Drain", extent, tuple(points), clearance_m)


@pytest.mark.parametrize(
    ("extent", "points", "distance"),
    [
        ("point", [(23.0, 24.0)], 5.0),
        ("point", [(15.0, 15.0)], 0.0),
        ("line", [(0.0, 5.0), (40.0, 5.0)], 5.0),
        ("line", [(14.0, 14.0), (16.0, 16.0)], 0.0),
        ("area", [(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)], 0.0),
        ("area", [(30.0, 10.0), (40.0, 10.0), (40.0, 20.0)], 10.0),
        ("area", [(0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0)], 0.0),
    ],
)
def test_distance_to_a_square_of_ten_metres(site, extent, points, distance):
    (found,) = nearnesses(laid_out(site), [thing(extent, *points)], 1.0)
    assert found.distance_m == pytest.approx(distance, abs=1e-9)
    assert math.dist(found.bunker_at, found.thing_at) == pytest.approx(distance, abs=1e-9)


def test_an_open_outline_holds_nothing_within(site):
    corner = laid_out(site, SQUARE[:3], closed=False)
    (found,) = nearnesses(corner, [thing("point", (15.0, 15.0))], 1.0)
    assert found.distance_m == pytest.approx(5.0, abs=1e-9)


def test_distances_are_ground_metres_and_the_nearest_comes_first(site):
    far, near = thing("point", (30.0, 15.0), name="far"), thing("point", (22.0, 15.0), name="near")
    found = nearnesses(laid_out(site, scale=1.001), [far, near], 1.001)
    assert [one.thing.id for one in found] == ["near", "far"]
    assert [one.distance_m for one in found] == pytest.approx([2.002, 10.01], abs=1e-9)
    assert [one.is_too_near for one in found] == [False, False]
    (found,) = nearnesses(laid_out(site), [replace(near, clearance_m=2.1)], 1.0)
    assert found.is_too_near


def test_what_a_bunker_lies_over_is_too_near_though_nothing_was_to_be_kept_clear(site):
    over, beside = (
        thing("point", (15.0, 15.0), clearance_m=0.0),
        thing("point", (21.0, 15.0), clearance_m=0.0),
    )
    found = [nearnesses(laid_out(site), [one], 1.0)[0].is_too_near for one in (over, beside)]
    assert found == [True, False]


def test_the_nearest_peg_is_measured_to_the_line_from_inside_too(site):
    within, outside = Peg("within", "control", 14.0, 15.0), Peg("outside", "control", 25.0, 15.0)
    assert nearest_peg(laid_out(site), [outside, within], 1.0) == (within, pytest.approx(4.0))
    assert nearest_peg(laid_out(site), [outside], 1.0) == (outside, pytest.approx(5.0))
    assert nearest_peg(laid_out(site), [], 1.0) is None
