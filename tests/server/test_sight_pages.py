"""The sight page: its figures are those of the core, its answer is a plain sentence, bad values are told in words."""

import html
import re
import shutil
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.model.units import METRES_PER
from fieldapp.play.tee_sight import tee_sights
from fieldapp.server.app import create_app
from fieldapp.server.sight_asking import read_sight_asked
from fieldapp.settings import Settings
from fieldapp.workflow.sites import load_site, standing_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
SMALL_SITE = Path(__file__).parents[1] / "workflow" / "small_site"
SIGHT = "/sites/skerry-bank/holes/4/sight?bunker=4-right&tee=4-back"
AT = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def samples_app(tmp_path_factory):
    """An application with the sample sites in its store."""
    app = create_app(Settings(data_dir=tmp_path_factory.mktemp("samples"), trust_this_machine=True))
    for folder in sorted(SAMPLES.iterdir()):
        load_site(app.state.store, folder, AT)
    yield app
    app.state.store.close()


@pytest.fixture(scope="module")
def samples(samples_app):
    """The store of that application."""
    return samples_app.state.store


@pytest.fixture(scope="module")
def desk(samples_app, visitor_to):
    """Its manager."""
    return visitor_to(samples_app)


def text_of(page):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))).replace("\u00a0", " ")


def rows_of(page, table):
    body = re.search(rf'<table class="{table}">.*?<tbody>(.*?)</tbody>', page.text, re.DOTALL)[1]
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", body, re.DOTALL)
    return [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row) for row in rows]


def answers_of(page):
    """The sentence in large type, and those below it."""
    found = re.findall(r'<p class="(?:answer|answer-more)">(.*?)</p>', page.text)
    return [html.unescape(words).replace("\u00a0", " ") for words in found]


def value_of(page, name):
    return html.unescape(re.search(rf'<input id="{name}"[^>]* value="([^"]*)"', page.text)[1])


def chosen_in(page, name):
    options = page.text.split(f'<select id="{name}"')[1].split("</select>")[0]
    return re.search(r'value="([^"]*)" selected', options)[1]


def core(store, site, bunker, eyes=(1.65,), show_m=0.30):
    standing = standing_site(store, site)
    laid_out = next(each for each in standing.bunkers if each.bunker.id == bunker)
    scale = standing.ground_scale(laid_out.bunker.hole)
    return tee_sights(standing.site, standing.bunkers, laid_out, eyes, show_m, scale)


def test_the_table_has_every_tee_and_eye_height_with_the_figures_of_the_core(desk, samples):
    rows = rows_of(desk.get(f"{SIGHT}&eye=1.65+1.20"), "every-tee")
    found = core(samples, "skerry-bank", "4-right", (1.65, 1.20))
    assert len(rows) == 6
    for row, each in zip(rows, found, strict=True):
        need = each.lowering
        assert row[:2] == [each.tee.name, "standing" if each.eye_m == 1.65 else "1.20"]
        assert row[3] == f"{each.sight.face_m:.2f}"
        assert row[5] == f"{each.sight.angle_arcmin:.1f}"
        lower, most = need.middle.lower_m, max(line.lower_m for line in need.lines)
        rise, most_rise = need.middle.raise_m, max(line.raise_m for line in need.lines)
        assert most > lower + 0.05
        assert row[7:] == [
            f"{lower:.2f} ({most:.2f})",
            f"{need.width_m:.1f}",
            f"{rise:.2f} ({most_rise:.2f})",
        ]


def test_the_answer_is_one_plain_sentence_with_what_the_shaper_needs_below(desk, samples):
    found = core(samples, "skerry-bank", "4-right")[0]
    need = found.lowering
    assert answers_of(desk.get(SIGHT)) == [
        f"From Back tee, standing, the upper {found.sight.face_m:.2f} m of the far face shows: "
        f"{found.sight.angle_arcmin:.1f} minutes of arc.",
        f"To show 0.30 m, lower the front edge by {need.middle.lower_m:.2f} m in the middle, up to "
        f"{max(line.lower_m for line in need.lines):.2f} m toward its right end, over {need.width_m:.1f} m, "
        f"or raise the far face by {need.middle.raise_m:.2f} m in the middle, up to "
        f"{max(line.raise_m for line in need.lines):.2f} m toward its right end.",
    ]


def test_more_sand_wanted_asks_for_a_deeper_cut(desk, samples):
    usual, more = (rows_of(desk.get(f"{SIGHT}&show={show}"), "edge-table") for show in ("0.30", "0.60"))
    assert len(usual) == len(more) > 5
    assert all(float(deep[3]) > float(flat[3]) for flat, deep in zip(usual, more, strict=True))
    assert [row[0] for row in usual if row[0] == "middle"] == ["middle"]
    assert [float(row[2]) - float(row[3]) for row in usual] == pytest.approx(
        [float(row[4]) for row in usual], abs=0.0101
    )


def test_without_a_choice_a_bunker_with_a_known_floor_is_seen_from_the_tee_of_its_plan_standing(
    desk, samples
):
    page = desk.get("/sites/skerry-bank/holes/3/sight")
    assert (chosen_in(page, "bunker"), chosen_in(page, "tee")) == ("3-pot", "3-back")
    assert (value_of(page, "eye"), value_of(page, "show")) == ("1.65", "0.30")


def test_where_the_ground_is_not_known_the_answer_says_on_what_it_hangs(desk, samples):
    page = desk.get("/sites/skerry-bank/holes/3/sight")
    text = text_of(page)
    reach = core(samples, "skerry-bank", "3-pot")[0].section.front_m / METRES_PER["yard"]
    where = f"from the plate to {reach:.1f} yd"
    assert f"All of this holds only if the ground {where}, where levels are not known, stays below" in text
    assert f"Ground levels {where}." in text.split("What is missing")[1]
    assert "that leaves 1.65 m at the near end and 0.00 m at the far end" in text
    assert {row[2] for row in rows_of(page, "every-tee")} == {"in part, if"}
    assert {row[5] for row in rows_of(page, "edge-table")} == {"–"}


def test_where_the_ground_before_the_edge_hides_the_sand_lowering_the_edge_is_said_not_to_be_enough(
    desk, samples
):
    found = core(samples, "vindeloga", "7-right")[0]
    (x, level), over = found.lowering.middle.in_the_way
    first, *more = answers_of(desk.get("/sites/vindeloga/holes/7/sight?bunker=7-right"))
    assert first == f"From White tee, standing, none of the sand shows: the ground at {x:.1f} m, level " + (
        f"{level:.2f} m, hides it all."
    )
    assert f"worst at {x:.1f} m, stands {over:.2f} m too high as well." in more[1]
    assert more[2].startswith("Such work helps only if the ground from the plate to 120")


def test_without_a_floor_no_more_is_said_than_holds(desk, samples):
    page = desk.get("/sites/skerry-bank/holes/3/sight?bunker=3-left")
    first, *more = answers_of(page)
    assert "all of the sand would show if it ran straight from edge to edge" in first
    assert first.endswith("the floor's level is missing.")
    assert more[0] == (
        "How far the edge would have to come down cannot be told without the height of the far face."
    )
    assert "The level of the bunker's floor is not given." in text_of(page).split("What is missing")[1]
    assert "edge-table" not in page.text


def test_a_site_in_feet_is_told_and_asked_in_feet_and_yards(desk, samples):
    page = desk.get("/sites/quandary-strait/holes/12/sight?bunker=12-corner&show=2")
    found = core(samples, "quandary-strait", "12-corner", show_m=2 * METRES_PER["foot"])[0]
    lower = found.lowering.middle.lower_m / METRES_PER["foot"]
    assert value_of(page, "eye") == "5.41"
    assert (
        f"To show 2.00 ft, lower the front edge by {lower:.2f} ft in the middle, up to" in answers_of(page)[1]
    )
    first = rows_of(page, "edge-table")[0]
    assert first[0].endswith("left")
    assert float(first[0].split()[0]) % 3 == 0
    eyes = desk.get("/sites/quandary-strait/holes/12/sight?eye=5.413385826771654").text
    assert "eye at 5.41 ft" in eyes or "standing" in eyes
    low = text_of(desk.get("/sites/quandary-strait/holes/12/sight?eye=0.9"))
    assert "'0.9' cannot be the eye height; give from 1 to 33 ft." in low


def test_a_figure_with_its_unit_or_a_decimal_comma_is_taken(desk, samples):
    wanted = rows_of(desk.get(f"{SIGHT}&eye=1.65+1.2&show=0.4"), "every-tee")
    for eye, show in (("1,65 1,2", "0,4"), ("1.65 m; 1.2 m", "0.4 m"), ("1.65, 1.2,", "0.40")):
        assert rows_of(desk.get(SIGHT, params=query(eye=eye, show=show)), "every-tee") == wanted, eye


def test_a_height_in_another_unit_than_the_sites_is_taken_with_its_unit(desk, samples):
    in_feet = rows_of(desk.get(SIGHT, params=query(eye="6 ft 1.2 m", show="2ft")), "every-tee")
    in_metres = rows_of(desk.get(SIGHT, params=query(eye="1.8288 1.2", show="0.6096")), "every-tee")
    assert in_feet == in_metres


def test_a_bunker_placed_by_play_without_a_plan_is_seen_from_the_tee_it_is_placed_from(samples):
    site = standing_site(samples, "quandary-strait").site
    placed = next(bunker for bunker in site.bunkers if bunker.place is not None)
    last = site.tees_of(placed.hole)[-1].id
    placed = replace(placed, plan=None, place=replace(placed.place, tee=last))
    asked = read_sight_asked(replace(site, bunkers=(placed,)), site.hole(placed.hole), {})
    assert len(site.tees_of(placed.hole)) > 1
    assert asked.tee == last


def query(**more):
    return {"bunker": "4-right", "tee": "4-back", **more}


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (
            {"eye": "tall"},
            "'tall' is no length for the eye height; give figures such as 1.65m or 5.5ft, several with a space between "
            "them; without a unit they are m.",
        ),
        ({"eye": "165"}, "'165' cannot be the eye height; give from 0.3 to 10 m."),
        ({"eye": "1,650"}, "'1,650' can be read in two ways for the eye height; write it without the comma"),
        ({"eye": "1 2 3 4 5"}, "5 eye heights are too many at once; give 4 at the most."),
        ({"show": "-1"}, "'-1' cannot be the height of sand to show; give from 0.01 to 10 m."),
        (
            {"show": "nan"},
            "'nan' is no length for the height of sand to show; give figures such as 0.30m or 1ft;",
        ),
        ({"show": "0"}, "'0' cannot be the height of sand to show; give from 0.01 to 10 m."),
        ({"tee": "gold"}, "There is no tee of hole 4 called 'gold'; there are: 4-back, 4-middle, 4-forward."),
        ({"bunker": "3-pot"}, "There is no bunker of hole 4 called '3-pot'; there are: 4-old, 4-right."),
    ],
)
def test_a_bad_value_is_told_and_the_form_keeps_what_was_typed(desk, samples, bad, words):
    page = desk.get("/sites/skerry-bank/holes/4/sight", params=query(eye="1.5", show="0.2") | bad)
    assert page.status_code == 422
    (fault,) = re.findall(r'<p class="notice fault" role="alert">(.*?)</p>', page.text)
    assert html.unescape(fault).startswith(words)
    kept = {"eye": "1.5", "show": "0.2"} | bad
    assert (value_of(page, "eye"), value_of(page, "show")) == (kept["eye"], kept["show"])
    assert answers_of(page)


def test_every_bad_value_is_told_at_once_and_nothing_typed_is_ever_markup(desk, samples):
    page = desk.get(f"{SIGHT}x&eye=<script>&show=%22%3E%3Cb%3E")
    assert page.status_code == 422
    assert page.text.count('class="notice fault"') == 3
    assert "<script>" not in page.text
    assert (value_of(page, "eye"), value_of(page, "show")) == ("<script>", '"><b>')


def test_without_levels_it_cannot_be_told_and_what_is_missing_stands_beside_it(manager):
    page = manager.get("/sites/small-links/holes/1/sight")
    assert page.status_code == 200
    first, *more = answers_of(page)
    assert first == "From White tee, standing, it cannot be told whether the sand shows."
    assert more[0].startswith("The level of the front edge is not known: the sand edge has none")
    assert {row[2] for row in rows_of(page, "every-tee")} == {"cannot tell"}
    assert "<svg" not in page.text.split("<main>")[1].split("</main>")[0]


def test_a_hole_without_bunkers_says_so(manager, app, tmp_path):
    folder = Path(shutil.copytree(SMALL_SITE, tmp_path / "site"))
    text = (folder / "site.toml").read_text("utf-8")
    hole = "[[hole]]\nnumber = 2\ngreen = [1300.0, 2350.0]\n\n"
    tee = '[[tee]]\nid = "two"\nhole = 2\nname = "Two"\nx = 1300.0\ny = 2000.0\n\n'
    (folder / "site.toml").write_text(text.replace("[[peg]]", f"{hole}{tee}[[peg]]", 1), "utf-8")
    load_site(app.state.store, folder, AT)
    page = manager.get("/sites/small-links/holes/2/sight")
    assert page.status_code == 200
    assert "This hole has no bunker yet" in text_of(page)


@pytest.mark.parametrize("hole", ["6", "four", "-1"])
def test_a_hole_that_is_not_there_is_not_found(desk, samples, hole):
    assert desk.get(f"/sites/skerry-bank/holes/{hole}/sight").status_code == 404


def test_a_plate_that_is_not_known_exactly_is_told(desk, samples):
    text = text_of(desk.get("/sites/skerry-bank/holes/5/sight?tee=5-short"))
    assert "The plate's place is known within 0.50 m (95 %); every distance here shares that." in text


def test_every_bunker_of_the_samples_has_an_answer_from_every_tee(desk, samples):
    for site in ("skerry-bank", "vindeloga", "quandary-strait"):
        standing = standing_site(samples, site)
        for bunker in standing.site.bunkers:
            page = desk.get(f"/sites/{site}/holes/{bunker.hole}/sight", params={"bunker": bunker.id})
            assert page.status_code == 200
            tees = [tee.name for tee in standing.site.tees_of(bunker.hole)]
            assert [row[0] for row in rows_of(page, "every-tee")] == tees
            assert answers_of(page)[0].startswith(
                f"From {standing.site.tee(bunker.plan.tee).name}, standing,"
            )
            assert "nan" not in text_of(page).lower().split()
