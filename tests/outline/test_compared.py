"""Two revisions of a bunker compared, paint point by paint point, by hand."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.model import ControlPoint, DrawnShape, Outline
from fieldapp.outline.compared import compared, off_the_line_m
from fieldapp.outline.laid_out import lay_out_bunker

SQUARE = ((10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0))
TOLERANCE_M = 0.1


@pytest.fixture(scope="module")
def site():
    site = load_checked_site(Path(__file__).parents[2] / "sample_sites" / "skerry-bank")[0]
    return replace(site, rules=replace(site.rules, spacing_m=1.0))


@pytest.fixture(scope="module")
def laid_out(site):
    def made(*outlines, scale=1.0):
        drawn = tuple(
            Outline(name, part, DrawnShape(tuple(ControlPoint(x, y) for x, y in points), "straight", closed))
            for name, part, points, closed in outlines
        )
        bunker = replace(site.bunkers[0], place=None, plan=None, outlines=drawn)
        return lay_out_bunker(site, bunker, scale)

    return made


def sand(points=SQUARE, name="sand"):
    return name, "sand edge", points, True


def ring(radius_m, east_m=0.0, count=40):
    """A ring of control points of which each is a paint point, since the sides are shorter than the spacing."""
    turns = [2 * math.pi * index / count for index in range(count)]
    return tuple(
        (50.0 + east_m + radius_m * math.sin(turn), 50.0 + radius_m * math.cos(turn)) for turn in turns
    )


def fates(outline):
    return {fate: outline.count(fate) for fate in ("moved", "appears", "disappears", "unmoved")}


def test_the_same_line_has_every_point_where_it_was(laid_out):
    (found,) = compared(laid_out(sand()), laid_out(sand()), 1.0, TOLERANCE_M)
    assert fates(found) == {"moved": 0, "appears": 0, "disappears": 0, "unmoved": 40}
    assert {(point.old, point.new) for point in found.points} == {(n, n) for n in range(1, 41)}
    assert found.farthest_m == 0.0


@pytest.mark.parametrize(("east_m", "fate"), [(0.30, "moved"), (0.09, "unmoved")])
def test_a_ring_that_is_shifted_moves_each_of_its_points_by_the_shift(laid_out, east_m, fate):
    before, after = laid_out(sand(ring(5.0))), laid_out(sand(ring(5.0, east_m)))
    (found,) = compared(before, after, 1.0, TOLERANCE_M)
    assert fates(found)[fate] == 40
    assert [point.moved_m for point in found.points] == pytest.approx([east_m] * 40, abs=1e-9)
    assert all(point.new_at[0] - point.old_at[0] == pytest.approx(east_m) for point in found.points)


def test_moves_are_ground_metres_and_the_tolerance_is_too(laid_out):
    before, after = laid_out(sand(ring(5.0))), laid_out(sand(ring(5.0, 0.0999)))
    (found,) = compared(before, after, 1.002, TOLERANCE_M)
    assert found.farthest_m == pytest.approx(0.1000998, abs=1e-9)
    assert fates(found)["moved"] == 40


def test_a_point_that_moves_along_a_line_that_stays_lies_on_it(laid_out):
    """Half the spacing further along every side, as where another outline of the same line is numbered anew."""
    longer = (*SQUARE[:2], (20.0, 20.5), (10.0, 20.5))
    (found,) = compared(laid_out(sand()), laid_out(sand(longer)), 1.0, TOLERANCE_M)
    south = [point for point in found.points if point.new_at and point.new_at[1] == pytest.approx(10.0)]
    assert [point.off_m for point in south] == pytest.approx([0.0] * len(south), abs=1e-9)
    assert found.farthest_off_m == pytest.approx(0.5)
    east = [point for point in found.points if point.new_at and point.new_at[0] == pytest.approx(20.0)]
    assert any(point.fate == "moved" and point.off_m < 1e-9 for point in east)


def test_an_outline_that_is_added_appears_and_one_that_is_dropped_disappears(laid_out):
    mound = "mound", "mound foot", tuple((x + 20.0, y) for x, y in SQUARE), True
    one, both = laid_out(sand()), laid_out(sand(), mound)
    edge, added = compared(one, both, 1.0, TOLERANCE_M)
    assert fates(edge)["unmoved"] == 40
    assert (added.called, added.old, fates(added)["appears"], added.farthest_m) == (
        "mound foot",
        None,
        40,
        None,
    )
    _, gone = compared(both, one, 1.0, TOLERANCE_M)
    assert (gone.called, gone.new, fates(gone)["disappears"]) == ("mound foot", None, 40)
    assert [(point.old, point.new) for point in gone.points] == [(n, None) for n in range(1, 41)]


def test_a_bay_cut_into_a_side_moves_nothing_elsewhere(laid_out):
    """The bay runs 3 m in over 4 m of the east side: the 3 points inside that stretch go, its 9 new ones come."""
    bay = (
        (10.0, 10.0),
        (20.0, 10.0),
        (20.0, 13.0),
        (17.0, 13.0),
        (17.0, 17.0),
        (20.0, 17.0),
        *SQUARE[2:],
    )
    (found,) = compared(laid_out(sand()), laid_out(sand(bay)), 1.0, TOLERANCE_M)
    gone = [point.old_at for point in found.points if point.fate == "disappears"]
    come = [point.new_at for point in found.points if point.fate == "appears"]
    moved = [point for point in found.points if point.fate == "moved"]
    stay = [point for point in found.points if point.fate == "unmoved"]
    assert len(stay) == 40 - 3
    assert len(gone) + len(moved) == 3
    assert all(x == pytest.approx(20.0) and 13.0 < y < 17.0 for x, y in gone)
    assert all(17.0 - 1e-9 <= x < 20.0 and 13.0 - 1e-9 <= y <= 17.0 + 1e-9 for x, y in come)
    assert len(come) + len(moved) == 9
    assert [point.new for point in found.points if point.new] == list(range(1, 47))


def test_outlines_of_other_names_go_together_by_their_part(laid_out):
    (found,) = compared(laid_out(sand()), laid_out(sand(name="edge")), 1.0, TOLERANCE_M)
    assert fates(found)["unmoved"] == 40
    mound = "sand", "mound foot", SQUARE, True
    added, dropped = compared(laid_out(sand()), laid_out(mound), 1.0, TOLERANCE_M)
    assert (fates(added)["appears"], fates(dropped)["disappears"]) == (40, 40)


def test_how_far_a_place_lies_off_the_line_of_a_part(laid_out):
    bunker = laid_out(sand(), ("small", "sand edge", ring(2.0), True))
    places = [(15.0, 10.0), (15.0, 12.5), (22.0, 15.0), (50.0, 53.0)]
    off = off_the_line_m(bunker, "sand edge", places, 1.001)
    assert off[:3] == pytest.approx([0.0, 2.5025, 2.002], abs=1e-6)
    assert off[3] == pytest.approx(1.001, abs=1e-6)
    assert off_the_line_m(bunker, "swale", places, 1.0) is None
