"""Plans of a hole: play up, names that cover neither sand nor each other, thin lines to those that stand off."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from fieldapp.server.hole_drawing import draw_hole, fit_hole, on_lines
from fieldapp.server.hole_pages import ground_of
from fieldapp.server.labels import LabelRoom, half_size
from fieldapp.workflow.sites import load_site, standing_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
HOLES = [
    ("skerry-bank", 3),
    ("skerry-bank", 5),
    ("vindeloga", 8),
    ("quandary-strait", 12),
    ("quandary-strait", 13),
]


@pytest.fixture
def ground(app):
    """Makes what a plan of a hole of a sample site is drawn from."""

    def make(site, hole):
        load_site(app.state.store, SAMPLES / site, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
        standing = standing_site(app.state.store, site)
        return ground_of(standing, standing.site.hole(hole))

    return make


def boxes_of(drawing):
    """The boxes of the names that stand beside something: left, top, right, bottom."""
    found = []
    for mark in drawing.spots:
        if mark.kind != "green":
            wide, high = half_size(mark.name)
            x, y = mark.label
            found.append((x - wide, y - high, x + wide, y + high))
    return np.array(found)


@pytest.mark.parametrize(("site", "hole"), HOLES)
def test_play_runs_up_the_sheet(ground, site, hole):
    here = ground(site, hole)
    sheet = fit_hole(here, 340.0, 760.0)
    tee = sheet.spot(here.tees[0].x, here.tees[0].y)
    green = sheet.spot(here.hole.green_x, here.hole.green_y)
    assert green[0] == pytest.approx(tee[0], abs=0.02)
    assert green[1] < tee[1] - 200


@pytest.mark.parametrize(("site", "hole"), HOLES)
def test_no_name_lies_over_another_over_sand_or_off_the_sheet(ground, site, hole):
    here = ground(site, hole)
    sheet = fit_hole(here, 340.0, 760.0)
    drawing = draw_hole(here, sheet)
    boxes = boxes_of(drawing)
    assert len(boxes) == len(here.tees) + len(here.bunkers)
    apart = (boxes[:, None, :2] >= boxes[None, :, 2:]) | (boxes[:, None, 2:] <= boxes[None, :, :2])
    assert np.all(apart.any(axis=2) | np.eye(len(boxes), dtype=bool))
    assert boxes.min() >= 0
    assert np.all(boxes[:, 2:] <= (drawing.width, drawing.height))
    for bunker in here.bunkers:
        sand = sheet.place(bunker.sand.points.xy)
        inside = np.all((sand[None] > boxes[:, None, :2]) & (sand[None] < boxes[:, None, 2:]), axis=2)
        assert not inside.any()


def test_bunkers_at_nearly_the_same_place_keep_names_apart_with_a_thin_line(ground):
    here = ground("skerry-bank", 4)
    twice = type(here)(here.site, here.hole, [*here.bunkers] * 6, here.ground_scale, here.convergence_deg)
    drawing = draw_hole(twice, fit_hole(here, 340.0, 760.0))
    boxes = boxes_of(drawing)
    apart = (boxes[:, None, :2] >= boxes[None, :, 2:]) | (boxes[:, None, 2:] <= boxes[None, :, :2])
    assert np.all(apart.any(axis=2) | np.eye(len(boxes), dtype=bool))
    assert drawing.leaders


def test_a_leg_that_all_tees_share_is_drawn_once(ground):
    here = ground("quandary-strait", 12)
    drawing = draw_hole(here, fit_hole(here, 340.0, 760.0))
    assert [line.path.count("L") for line in drawing.lines] == [2, 1, 1, 1]


def test_a_hole_without_a_fairway_has_none_on_its_plan(ground):
    here = ground("skerry-bank", 4)
    assert draw_hole(here, fit_hole(here, 340.0, 760.0)).fairway.endswith("Z")
    bare = type(here.hole)(here.hole.number, here.hole.name, here.hole.green_x, here.hole.green_y)
    without = type(here)(here.site, bare, here.bunkers, here.ground_scale, here.convergence_deg)
    assert draw_hole(without, fit_hole(without, 340.0, 760.0)).fairway == ""


def test_long_names_take_lines_of_a_bearable_length():
    assert on_lines("4 right") == "4 right"
    lines = on_lines("4 right, the Schoolmasterswife beyond the burn").split("\n")
    assert " ".join(lines) == "4 right, the Schoolmasterswife beyond the burn"
    assert max(map(len, lines)) <= 22


def test_where_all_places_are_taken_a_name_stands_where_it_covers_least():
    room = LabelRoom(200.0, 100.0, ())
    room.take([(50.0, 50.0)], 40.0)
    room.take([(50.0, 50.0)], 39.0)
    room.take([(150.0, 50.0)], 40.0)
    assert room.set_first("name", [(50.0, 50.0), (150.0, 50.0)]) == (150.0, 50.0)
    assert room.set_first("name", [(500.0, 50.0), (50.0, 50.0)]) == (50.0, 50.0)


def test_the_north_arrow_keeps_off_the_hole(ground):
    for site, hole in (("quandary-strait", 12), ("skerry-bank", 4)):
        here = ground(site, hole)
        sheet = fit_hole(here, 340.0, 760.0)
        drawing = draw_hole(here, sheet)
        assert np.hypot(*(sheet.place(here.reach()) - (drawing.north_x, 34.0)).T).min() > 45
