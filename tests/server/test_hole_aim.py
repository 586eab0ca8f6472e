"""The visitor's aim line on the page of a hole: drawn as it is worked out, told where it goes and what it meets."""

import html
import re
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from fieldapp.model.units import METRES_PER
from fieldapp.play.hole_yardages import AimLine, hole_yardages
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.hole_drawing import fit_hole
from fieldapp.server.hole_pages import ground_of
from fieldapp.workflow.sites import load_site, standing_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
YARD = METRES_PER["yard"]


@pytest.fixture
def standing(app):
    """Makes a sample site stand in the store."""

    def make(site):
        load_site(app.state.store, SAMPLES / site, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
        return standing_site(app.state.store, site)

    return make


def words_of(answer):
    assert answer.status_code == 200
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text))).replace("\u00a0", " ")


def drawn_end(answer):
    """The end of the aim line drawn, sheet pixels."""
    path = re.search(r'class="aim-line" d="M([^"]+)"', answer.text)[1]
    return np.array([float(figure) for figure in path.split("L")[-1].split()])


def marked_place(answer):
    """Where the mark at the place typed stands, sheet pixels; None where there is none."""
    found = re.search(r'class="aim-place" cx="([-\d.]+)" cy="([-\d.]+)"', answer.text)
    return None if found is None else np.array([float(found[1]), float(found[2])])


def place_typed(standing, hole, tee, along_m, right_m):
    """The place on the sheet that lies so far along and aside, worked out from the line of play by hand."""
    ground = ground_of(standing, standing.site.hole(hole))
    line = line_of_play(standing.site, standing.site.tee(tee))
    place, bearing = line.at(along_m / ground.ground_scale)
    turn = np.deg2rad(bearing)
    aside = np.array([np.cos(turn), -np.sin(turn)]) * right_m / ground.ground_scale
    return fit_hole(ground, 340.0, 760.0).place(place + aside)


def test_the_aim_line_runs_to_the_last_sand_it_meets_beyond_the_place_typed(manager, standing):
    here = standing("skerry-bank")
    page = manager.get("/sites/skerry-bank/holes/4?offset=20&at=240&bunker=4-old&tee=4-back")
    table = hole_yardages(here.site, here.bunkers, 4, here.ground_scale(4), AimLine(240 * YARD, 20 * YARD))
    last = max(row.on_aim.carry_m or 0.0 for row in table if row.tee.id == "4-back")
    plate = place_typed(here, 4, "4-back", 0.0, 0.0)
    px_per_ground_m = fit_hole(ground_of(here, here.site.hole(4)), 340.0, 760.0).px_per_m / here.ground_scale(
        4
    )
    assert last > np.hypot(240, 20) * YARD
    assert np.hypot(*(drawn_end(page) - plate)) == pytest.approx(last * px_per_ground_m, abs=0.02)


def test_the_aim_line_runs_to_the_place_typed_where_that_lies_beyond_all_sand_it_meets(manager, standing):
    here = standing("skerry-bank")
    page = manager.get("/sites/skerry-bank/holes/4?offset=20&at=290&bunker=4-old&tee=4-middle")
    wanted = place_typed(here, 4, "4-middle", 290 * YARD, 20 * YARD)
    assert drawn_end(page) == pytest.approx(wanted, abs=0.02)
    assert marked_place(page) == pytest.approx(wanted, abs=0.02)


def test_the_place_typed_is_marked_on_the_plan(manager, standing):
    here = standing("skerry-bank")
    page = manager.get("/sites/skerry-bank/holes/4?offset=20&side=left&at=262&tee=4-back")
    wanted = place_typed(here, 4, "4-back", 262 * YARD, -20 * YARD)
    assert marked_place(page) == pytest.approx(wanted, abs=0.02)
    assert marked_place(manager.get("/sites/skerry-bank/holes/4")) is None


@pytest.mark.parametrize("query", ["offset=200&at=150", "offset=200&side=left&at=150", "at=900"])
def test_the_aim_line_stays_in_the_frame_and_a_place_off_the_sheet_has_no_mark(manager, standing, query):
    standing("skerry-bank")
    page = manager.get(f"/sites/skerry-bank/holes/5?{query}")
    wide, high = map(float, re.search(r'of-hole" viewBox="0 0 ([\d.]+) ([\d.]+)"', page.text).groups())
    x, y = drawn_end(page)
    assert 0 < x < wide
    assert 0 < y < high
    assert min(x, wide - x, y, high - y) == pytest.approx(4.0, abs=0.02)
    assert marked_place(page) is None


def test_no_name_stands_on_the_aim_line(manager, standing):
    standing("quandary-strait")
    page = manager.get("/sites/quandary-strait/holes/12?offset=12&side=left&at=180")
    (line,) = re.findall(r'class="aim-line" d="M([^"]+)"', page.text)
    start, end = (np.array([float(figure) for figure in at.split()]) for at in line.split("L"))
    on_line = start + np.linspace(0, 1, 400)[:, None] * (end - start)
    names = re.findall(r'<text class="name name-(?:bunker|tee)".*?</text>', page.text, re.DOTALL)
    assert len(names) > 4
    for name in names:
        for x, y, told in re.findall(r'<tspan x="([-\d.]+)" y="([-\d.]+)">(.*?)</tspan>', name):
            half = len(html.unescape(told)) * 7.4 / 2
            off = np.abs(on_line - (float(x), float(y) - 4.5)) >= (half, 6.5)
            assert off.any(axis=1).all(), told


def test_an_aim_line_is_said_to_be_taken_from_each_tees_own_plate(manager, standing):
    standing("skerry-bank")
    told = words_of(manager.get("/sites/skerry-bank/holes/4?offset=20&at=262"))
    assert (
        "Your aim line passes 20 yd right of the line of play, at 262 yd along it from each tee's own plate."
        in told
    )
    told = words_of(manager.get("/sites/skerry-bank/holes/4?at=262"))
    assert "passes through the line of play itself at 262 yd along it from each tee's own plate." in told


def test_the_form_asks_how_far_along_before_how_far_aside(manager, standing):
    standing("skerry-bank")
    page = manager.get("/sites/skerry-bank/holes/4")
    along, aside, side = (page.text.index(f'<label for="{name}">') for name in ("at", "offset", "side"))
    assert along < aside < side
    assert "Aim line, straight from each tee's own plate through a place" in words_of(page)


def box_of(answer):
    """What stands in the box of the visitor's shot."""
    assert answer.status_code == 200
    box = answer.text.split('id="shot"')[1].split("</section>")[0]
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", box))).replace("\u00a0", " ")


def test_the_box_says_in_one_line_what_the_aim_line_meets_from_each_tee(manager, standing):
    here = standing("skerry-bank")
    table = hole_yardages(here.site, here.bunkers, 4, here.ground_scale(4), AimLine(262 * YARD, 20 * YARD))
    told = box_of(manager.get("/sites/skerry-bank/holes/4?offset=20&at=262"))
    line = re.search(r"From Back tee it meets .*?\.(?= |$)(?! \d)", told)[0]
    right = [row.on_aim for row in table if row.bunker.bunker.id == "4-right"]
    for tee, shot in zip(("Back tee", "Middle tee", "Forward tee"), right, strict=True):
        of_tee = re.search(rf"[Ff]rom {tee} it meets ([^;]*)", line)[1]
        assert f"4 right, {shot.reach_m / YARD:.1f}–{shot.carry_m / YARD:.1f} yd" in of_tee


def test_an_aim_line_that_meets_no_sand_says_so_once_for_tees_alike(manager, standing):
    standing("skerry-bank")
    told = box_of(manager.get("/sites/skerry-bank/holes/4?offset=60&side=left&at=262"))
    assert "From Back tee, Middle tee and Forward tee it meets no sand." in told
    assert "it meets" not in box_of(manager.get("/sites/skerry-bank/holes/4"))


def test_a_place_typed_beyond_the_green_is_remarked_upon(manager, standing):
    here = standing("vindeloga")
    tees = here.site.tees_of(8)
    told = box_of(manager.get("/sites/vindeloga/holes/8?at=240"))
    over = [240 - line_of_play(here.site, tee).length_m * here.ground_scale(8) for tee in tees]
    assert round(over[0]) == 92
    assert f"That is beyond the middle of the green: {over[0]:.0f} m from {tees[0].name}" in told
    assert "beyond" not in box_of(manager.get("/sites/vindeloga/holes/8?at=100"))


def test_what_was_asked_is_answered_where_it_was_asked(manager, standing):
    standing("skerry-bank")
    page = manager.get("/sites/skerry-bank/holes/4?at=9999&offset=20").text
    box = page.split('id="shot"')[1].split("</section>")[0]
    assert 'action="/sites/skerry-bank/holes/4#shot"' in box
    assert 'role="alert"' in box
