"""A bunker laid out: ground lengths on a grid whose metres are not ground metres, and its own sand."""

import numpy as np
import pytest

from fieldapp.model import (
    Bunker,
    ControlPoint,
    DrawnShape,
    Ellipse,
    Hole,
    LocalGrid,
    Outline,
    Placement,
    Site,
    Tee,
)
from fieldapp.outline.drawn_figures import drawn_figures
from fieldapp.outline.laid_out import lay_out_bunker

SCALE = 1.0005


def square(x, y, side, part, key):
    corners = ((x, y), (x, y + side), (x + side, y + side), (x + side, y))
    return Outline(key, part, DrawnShape(tuple(ControlPoint(*corner) for corner in corners), "straight"))


def site_with(bunker, turning_points=()):
    return Site(
        id="s",
        name="S",
        grid=LocalGrid(53.6, -5.0),
        tees=(Tee("back", 1, "Back", 0.0, 0.0),),
        holes=(Hole(1, "First", 0.0, 400.0, turning_points),),
        bunkers=(bunker,),
    )


def test_spacing_is_a_ground_length_on_any_grid():
    bunker = Bunker("b", 1, "b", "A", (square(10, 200, 20, "sand edge", "sand"),))
    points = lay_out_bunker(site_with(bunker), bunker, SCALE).outlines[0].points
    gaps = np.diff(points.chainage_m) * SCALE
    assert gaps.max() <= 1.0 + 1e-9
    assert gaps.max() > 0.9


def test_a_placed_ellipse_measures_on_the_ground_what_was_asked():
    bunker = Bunker(
        "b", 1, "b", "A", (Outline("sand", "sand edge", Ellipse(12, 7)),), Placement("back", 200, -15, 90)
    )
    site = site_with(bunker)
    laid_out = lay_out_bunker(site, bunker, SCALE)
    assert laid_out.outlines[0].curve.area_m2 * SCALE**2 == pytest.approx(np.pi * 6 * 3.5, abs=1e-6)
    drawn = drawn_figures(site, laid_out, site.tees[0], SCALE)
    assert (drawn.along_m, drawn.offset_m) == pytest.approx((200.0, -15.0), abs=1e-6)


def test_a_bunker_is_measured_by_its_sand_whatever_stands_first():
    outlines = (square(40, 300, 5, "mound foot", "mound"), square(-10, 200, 20, "sand edge", "sand"))
    bunker = Bunker("b", 1, "b", "A", outlines)
    site = site_with(bunker)
    laid_out = lay_out_bunker(site, bunker, 1.0)
    assert laid_out.middle == pytest.approx((0.0, 210.0))
    drawn = drawn_figures(site, laid_out, site.tees[0], 1.0)
    assert (drawn.reach_m, drawn.carry_m) == pytest.approx((200.0, 220.0))


def test_play_at_a_placed_bunker_is_that_of_the_leg_it_was_placed_on():
    bunker = Bunker(
        "b", 1, "b", "A", (Outline("sand", "sand edge", Ellipse(12, 7)),), Placement("back", 170, -30, 0)
    )
    laid_out = lay_out_bunker(site_with(bunker, ((0.0, 200.0), (-300.0, 200.0))), bunker, 1.0)
    assert laid_out.play_bearing_deg == pytest.approx(0.0)
