"""The one-page sheet of a hole, as the server draws it: a true ratio, arcs from a tee, every bunker's figures."""

import html
import re
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from fieldapp.model.units import METRES_PER
from fieldapp.play.hole_yardages import hole_yardages
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.hole_pages import ground_of
from fieldapp.server.sheet_layout import PAPERS, PX_PER_MM, RATIOS, TableText, lay_out_sheet
from fieldapp.server.sheet_pages import page_of_sheet, read_sheet_asked, step_for
from fieldapp.workflow.sites import load_site, standing_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
HOLES = [
    ("skerry-bank", 3),
    ("skerry-bank", 4),
    ("skerry-bank", 5),
    ("vindeloga", 7),
    ("vindeloga", 8),
    ("vindeloga", 9),
    ("quandary-strait", 12),
    ("quandary-strait", 13),
]
SHEET = "/sites/skerry-bank/holes/4/sheet"
YARD = METRES_PER["yard"]
TODAY = date(2026, 5, 1)


@pytest.fixture
def samples(app):
    """The application, with the sample sites in its store."""
    for folder in sorted(SAMPLES.iterdir()):
        load_site(app.state.store, folder, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
    return app.state.store


def text_of(page):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))).replace("\u00a0", " ")


def arcs_of(page):
    return [int(figure) for figure in re.findall(r'class="name name-arc"[^>]*>(\d+)<', page.text)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("site", "hole"), HOLES)
def test_the_whole_hole_lies_on_the_plan_at_a_round_true_ratio(samples, site, hole, paper):
    standing = standing_site(samples, site)
    ground = ground_of(standing, standing.site.hole(hole))
    layout = lay_out_sheet(ground, PAPERS[paper], [])
    assert layout.ratio in RATIOS
    plan = layout.plan
    tee, green = ground.tees[0], ground.hole
    apart_px = np.hypot(*(plan.place((tee.x, tee.y)) - plan.place((green.green_x, green.green_y))))
    apart_m = np.hypot(tee.x - green.green_x, tee.y - green.green_y) * ground.ground_scale
    assert apart_px / PX_PER_MM / 1000 * layout.ratio == pytest.approx(apart_m, rel=1e-9)
    places = plan.place(ground.reach())
    assert places.min() > 20
    assert np.all(places.max(axis=0) < np.array([plan.width, plan.height]) - 20)


@pytest.mark.parametrize(("site", "hole"), HOLES)
def test_no_larger_round_ratio_would_do(samples, site, hole):
    standing = standing_site(samples, site)
    ground = ground_of(standing, standing.site.hole(hole))
    layout = lay_out_sheet(ground, PAPERS["a4"], [])
    larger = RATIOS[RATIOS.index(layout.ratio) - 1]
    plan = replace(layout.plan, px_per_m=layout.plan.px_per_m * layout.ratio / larger)
    places = plan.place(ground.reach())
    room = np.array([plan.width, plan.height])
    assert places.min() < 44 or np.any(places.max(axis=0) > room - 44)


def test_arcs_stand_at_round_yardages_from_the_chosen_tee(manager, samples):
    assert arcs_of(manager.get(SHEET)) == [50, 100, 150, 200, 250, 300, 350, 400]
    assert arcs_of(manager.get(f"{SHEET}?tee=4-forward&step=75")) == [75, 150, 225, 300]
    assert "arcs every 75 yd from Forward tee" in text_of(manager.get(f"{SHEET}?tee=4-forward&step=75"))


def test_an_arc_lies_its_yardage_from_the_plate(samples):
    standing = standing_site(samples, "vindeloga")
    hole = standing.site.hole(7)
    asked = read_sheet_asked(standing, hole, {"tee": "7-gul"})
    ground = ground_of(standing, hole)
    layout = lay_out_sheet(ground, PAPERS["a4"], [TableText("7 right", ["a"])] * 2)
    page = page_of_sheet(standing, hole, asked, TODAY)
    arc = next(arc for arc in page.drawing.arcs if arc.figure == "150")
    places = np.array([[float(part) for part in place.split()] for place in arc.path[1:].split("L")])
    tee = standing.site.tee("7-gul")
    away_mm = np.hypot(*(places - layout.plan.place((tee.x, tee.y))).T) / PX_PER_MM
    ratio = int(page.scale.removeprefix("1:"))
    assert away_mm / 1000 * ratio == pytest.approx(150.0, abs=0.02)


def test_every_bunker_has_its_figures_from_every_tee(manager, samples):
    standing = standing_site(samples, "skerry-bank")
    told = text_of(manager.get(SHEET))
    for row in hole_yardages(standing.site, standing.bunkers, 4, standing.ground_scale(4)):
        figures = (row.to_middle.reach_m, row.to_middle.carry_m, row.along_m, row.offset_m)
        assert f"{row.tee.name} {' '.join(f'{value / YARD:.1f}' for value in figures)} right" in told


def test_the_sheet_says_how_it_is_measured_when_and_which_revision(manager, samples):
    told = text_of(manager.get(f"{SHEET}?paper=letter"))
    for words in (
        "level, on the ground, from the tee plate",
        "4 right rev. C",
        "scale on Letter 1:",
        "drawn 20",
    ):
        assert words in told
    assert "over its turning point to the centre" in text_of(manager.get("/sites/skerry-bank/holes/5/sheet"))


BAD = {
    "tee=moon": "There is no tee of hole 4 called 'moon'; there are: 4-back, 4-middle, 4-forward.",
    "step=often": "'often' is no length for the step between arcs",
    "step=0": "'0' cannot be the step between arcs; give from 10 to 200 yd.",
    "paper=a3": "There is no paper called 'a3'; there are: a4, letter.",
}


@pytest.mark.parametrize("query", BAD)
def test_what_cannot_be_read_is_told_and_the_sheet_is_drawn_all_the_same(manager, samples, query):
    page = manager.get(f"{SHEET}?{query}", headers={"accept": "text/html"})
    assert page.status_code == 422
    assert BAD[query] in text_of(page)
    assert arcs_of(page)[:2] == [50, 100]


def test_a_typed_step_stays_when_it_cannot_be_read(manager, samples):
    assert 'value="often"' in manager.get(f"{SHEET}?step=often").text


def test_more_bunkers_get_smaller_type_and_then_a_second_page(samples):
    standing = standing_site(samples, "skerry-bank")
    ground = ground_of(standing, standing.site.hole(4))
    tees = ["Back tee", "Middle tee", "Forward tee"]

    def laid_out(count):
        return lay_out_sheet(ground, PAPERS["a4"], [TableText("4 right", tees)] * count)

    assert (laid_out(4).size.name, laid_out(4).bunkers_on_first) == ("large", 4)
    assert (laid_out(12).size.name, laid_out(12).bunkers_on_first) == ("small", 12)
    assert laid_out(30).bunkers_on_first == 12
    assert min(size.points for size in (laid_out(4).size, laid_out(30).size)) >= 8.0


@pytest.mark.parametrize(("site", "hole"), HOLES)
def test_without_a_step_six_to_ten_arcs_lead_to_the_green_from_any_tee(samples, site, hole):
    standing = standing_site(samples, site)
    unit = METRES_PER[standing.site.units.yardage]
    for tee in standing.site.tees_of(hole):
        asked = read_sheet_asked(standing, standing.site.hole(hole), {"tee": tee.id})
        length_m = line_of_play(standing.site, tee).length_m * standing.ground_scale(hole)
        assert 6 <= length_m // asked.step_m <= 10
        assert asked.step_m / unit == pytest.approx(float(asked.step_typed))


@pytest.mark.parametrize(
    ("length", "step"),
    [
        (30, 10),
        (90, 10),
        (115, 15),
        (176, 25),
        (290, 40),
        (420, 50),
        (544, 50),
        (580, 75),
        (700, 100),
        (1800, 200),
    ],
)
def test_the_step_between_arcs_is_round_and_suits_the_hole(length, step):
    assert step_for(float(length)) == step


def test_a_step_that_is_typed_stays_however_many_arcs_it_gives(manager, samples):
    page = manager.get(f"{SHEET}?step=20")
    assert arcs_of(page)[-1] == 420
    assert 'value="20"' in page.text
