"""The page of a hole: its figures are those of the core, whatever is asked of it is answered in words."""

import csv
import html
import io
import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.model.units import METRES_PER
from fieldapp.play.hole_yardages import AimLine, hole_yardages
from fieldapp.server import carry_against_aim
from fieldapp.server.bunker_blocks import bunker_blocks
from fieldapp.workflow.sites import load_site, standing_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
HOLE = "/sites/skerry-bank/holes/4"
YARD = METRES_PER["yard"]


@pytest.fixture
def samples(app):
    """The application, with the sample sites in its store."""
    for folder in sorted(SAMPLES.iterdir()):
        load_site(app.state.store, folder, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
    return app.state.store


def text_of(page):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))).replace("\u00a0", " ")


def tables_of(page, bunker):
    """The tables of a bunker by caption, each a list of rows of cells."""
    block = page.text.split(f'id="bunker-{bunker}"')[1].split("</section>")[0]
    found = {}
    for table in re.findall(r"<table.*?</table>", block, re.DOTALL):
        caption = html.unescape(
            re.sub(r"<[^>]+>", "", re.search(r"<caption>(.*?)</caption>", table, re.DOTALL)[1])
        ).replace("\u00a0", " ")
        rows = re.findall(r"<tr>(.*?)</tr>", table.split("<tbody>")[1], re.DOTALL)
        cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in rows]
        found[caption] = [[re.sub(r"<[^>]+>", "", cell) for cell in row] for row in cells]
    return found


def core_rows(store, bunker, aim=None):
    standing = standing_site(store, "skerry-bank")
    table = hole_yardages(standing.site, standing.bunkers, 4, standing.ground_scale(4), aim)
    return [row for row in table if row.bunker.bunker.id == bunker]


def yards(length_m):
    return f"{length_m / YARD:.1f}"


def test_the_straight_shots_are_those_of_the_core(manager, samples):
    tables = tables_of(manager.get(HOLE), "4-right")
    assert tables["Straight at its middle, yd"] == [
        [row.tee.name, yards(row.straight_m), yards(row.to_middle.reach_m), yards(row.to_middle.carry_m)]
        for row in core_rows(samples, "4-right")
    ]


def test_figures_by_the_line_of_play_are_those_of_the_core(manager, samples):
    tables = tables_of(manager.get(HOLE), "4-right")
    assert tables["By the line of play, yd"] == [
        [
            row.tee.name,
            f"{yards(row.along_near_m)}–{yards(row.along_far_m)}",
            f"{yards(row.offset_m)} right",
            f"passes {yards(row.on_line.passes_m)}\u00a0yd left of the sand",
        ]
        for row in core_rows(samples, "4-right")
    ]


def test_width_room_and_slant_are_those_of_the_core(manager, samples):
    page = manager.get(HOLE)
    rows = core_rows(samples, "4-right")
    assert tables_of(page, "4-right")["How it lies, yd"] == [
        [row.tee.name, yards(row.to_middle.width_m), f"{yards(row.room_m)} left", f"{row.slant_deg:.0f}°"]
        for row in rows
    ]
    block = text_of(page).split("4 right revision")[1]
    assert rows[0].slant_words.lower() in block.lower()
    assert f"room left of it to {rows[0].room_to}" in block


def test_the_plan_stands_beside_what_is_drawn_with_the_difference(manager, samples):
    planned = tables_of(manager.get(HOLE), "4-right")["Against its plan from Back tee, yd ± 1"]
    reach, carry = core_rows(samples, "4-right")[0].compared[:2]
    assert planned[0] == ["reach", "259.0", yards(reach.computed_m), f"−{yards(abs(reach.difference_m))}"]
    assert planned[1][:3] == ["carry", "268.0", yards(carry.computed_m)]
    assert planned[3] == ["middle, off the line", "18.0 right", "18.0 right", "0.0"]


def test_an_aim_line_is_worked_out_from_every_tee(manager, samples):
    page = manager.get(f"{HOLE}?offset=20&side=right&at=250&allowance=10")
    assert page.status_code == 200
    rows = core_rows(samples, "4-right", AimLine(250 * YARD, 20 * YARD))
    assert tables_of(page, "4-right")["On your aim line, yd"] == [
        [row.tee.name, yards(row.on_aim.reach_m), yards(row.on_aim.carry_m + 10 * YARD)] for row in rows
    ]
    assert "20 yd right of the line of play, at 250 yd along" in text_of(page)
    assert 'class="aim-line"' in page.text


def test_an_aim_to_the_left_that_misses_says_how_far_beside_the_sand_lies(manager, samples):
    page = manager.get(f"{HOLE}?offset=30&side=left&at=200")
    row = core_rows(samples, "4-right", AimLine(200 * YARD, -30 * YARD))[0]
    told = tables_of(page, "4-right")["On your aim line, yd"][0]
    assert told == ["Back tee", f"passes {yards(row.on_aim.passes_m)}\u00a0yd left of the sand"]


def test_a_landing_allowance_is_added_to_every_carry_and_said(manager, samples):
    page = manager.get(f"{HOLE}?allowance=12,5")
    straight = tables_of(page, "4-right")["Straight at its middle, yd"][0]
    row = core_rows(samples, "4-right")[0]
    assert straight[3] == yards(row.to_middle.carry_m + 12.5 * YARD)
    assert straight[2] == yards(row.to_middle.reach_m)
    assert "12.5 yd for landing are added to every carry" in text_of(page)
    assert "carry +12.5" in text_of(page)


BAD = {
    "offset=far&at=250": "'far' is no length for the distance aside; give figures such as 240yd or 220m",
    "offset=20": "give the distance along too",
    "offset=20&at=9999": "'9999' cannot be the distance along; give from 1 to 1000 yd.",
    "at=1,000": "'1,000' can be read in two ways for the distance along; write it without the comma, such as 1000",
    "at=-5": "'-5' cannot be the distance along",
    "at=250&offset=5&side=up": "'up' is no side; choose left or right.",
    "at=nan": "'nan' is no length for the distance along",
    "at=1e3": "'1e3' is no length for the distance along",
    "allowance=lots": "'lots' is no length for the landing allowance",
    "allowance=101": "'101' cannot be the landing allowance; give from 0 to 100 yd.",
    "bunker=moon": "There is no bunker of hole 4 called 'moon'; there are: 4-old, 4-right.",
    "bunker=5-waste": "There is no bunker of hole 4 called '5-waste'",
    "tee=5-back": "There is no tee of hole 4 called '5-back'",
    "at=" + "9" * 400: "is no length for the distance along",
    "offset=%00&at=250": "is no length for the distance aside",
    "offset=%3Cscript%3E&at=250": "'<script>' is no length for the distance aside",
}


@pytest.mark.parametrize("query", BAD)
def test_what_cannot_be_read_is_told_and_the_table_stays(manager, samples, query):
    page = manager.get(f"{HOLE}?{query}", headers={"accept": "text/html"})
    assert page.status_code == 422
    assert BAD[query] in text_of(page)
    assert tables_of(page, "4-right")["Straight at its middle, yd"][0][0] == "Back tee"
    assert "<script>" not in page.text


def test_everything_typed_stays_when_something_is_wrong(manager, samples):
    page = manager.get(f"{HOLE}?offset=far&side=left&at=250&allowance=9&bunker=4-right&tee=4-middle")
    for kept in ('value="far"', 'value="left" selected', 'value="250"', 'value="9"'):
        assert kept in page.text
    assert 'value="4-right" selected' in page.text
    assert 'value="4-middle" selected' in page.text


def test_lengths_may_be_typed_with_their_unit(manager, samples):
    plain = manager.get(f"{HOLE}?offset=20&at=250")
    with_unit = manager.get(f"{HOLE}?offset=20+yd&at=228.6m")
    assert tables_of(plain, "4-right") == tables_of(with_unit, "4-right")


@pytest.mark.parametrize("hole", ["99", "four", "-1", "4.0", "%C2%B2", "0004"])
def test_a_hole_that_is_not_there_is_told_with_those_there_are(manager, samples, hole):
    for page in ("", "/compare", "/sheet", "/yardage.csv"):
        answer = manager.get(f"/sites/skerry-bank/holes/{hole}{page}", headers={"accept": "text/html"})
        assert answer.status_code == 404
        assert "there are: 3, 4, 5." in text_of(answer)


def test_a_metre_site_speaks_metres(manager, samples):
    page = manager.get("/sites/vindeloga/holes/7?at=200&offset=10")
    assert "Straight at its middle, m" in tables_of(page, "7-right")
    assert "10 m right of the line of play, at 200 m along" in text_of(page)
    assert " yd" not in text_of(page)


def test_carry_against_aim_is_told_in_a_sentence_and_a_table(manager, samples):
    page = text_of(manager.get(f"{HOLE}?bunker=4-right&tee=4-back"))
    told = re.search(
        r"left end asks for a carry of ([\d.]+) yd, at its right end ([\d.]+) yd: ([\d.]+) yd more carry for ([\d.]+)°",
        page,
    )
    left, right, more, angle = map(float, told.groups())
    assert right - left == pytest.approx(more, abs=0.11)
    assert angle == pytest.approx(2.0, abs=0.2)
    aims = re.search(r"aim off the middle reach carry degrees yd (.*?) Before anybody", page)[1]
    figures = re.findall(r"(left |right )?([\d.]+)° (left |right )?([\d.]+) ([\d.]+) ([\d.]+)", aims)
    assert len(figures) == 11
    assert float(figures[0][5]) == left
    assert float(figures[-1][5]) == right
    assert all(float(carry) >= float(reach) for *_, reach, carry in figures)


def test_carry_against_aim_says_each_figure_with_the_allowance(manager, samples):
    def carries(query):
        page = text_of(manager.get(f"{HOLE}?bunker=4-right&tee=4-back{query}"))
        return [
            float(found)
            for found in re.search(r"a carry of ([\d.]+) yd, at its right end ([\d.]+)", page).groups()
        ]

    assert [
        more - less for more, less in zip(carries("&allowance=10"), carries(""), strict=True)
    ] == pytest.approx([10.0, 10.0], abs=0.11)


def test_only_the_bunker_shown_is_aimed_across(manager, samples, monkeypatch):
    asked, work_out = [], carry_against_aim.aim_fan
    monkeypatch.setattr(carry_against_aim, "aim_fan", lambda *what: asked.append(what) or work_out(*what))
    assert manager.get("/sites/quandary-strait/holes/12").status_code == 200
    assert len(asked) == 1


def test_the_table_is_there_as_csv_with_what_was_asked(manager, samples):
    answer = manager.get(f"{HOLE}/yardage.csv?offset=20&side=right&at=250&allowance=10")
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    core = core_rows(samples, "4-right", AimLine(250 * YARD, 20 * YARD))[0]
    row = next(row for row in rows if (row["bunker"], row["tee"]) == ("4-right", "4-back"))
    assert float(row["to_middle_carry_yd"]) == pytest.approx(core.to_middle.carry_m / YARD, abs=0.006)
    assert float(row["on_aim_clear_yd"]) == pytest.approx(core.on_aim.carry_m / YARD + 10, abs=0.006)


def test_the_pages_link_to_csv_carries_the_query(manager, samples):
    page = manager.get(f"{HOLE}?offset=20&side=left&at=250&allowance=10")
    assert f"{HOLE}/yardage.csv?offset=20&amp;side=left&amp;at=250&amp;allowance=10" in page.text


def test_the_csv_begins_with_the_mark_by_which_spreadsheets_know_utf8(manager, samples):
    content = manager.get(f"{HOLE}/yardage.csv").content
    assert content.startswith(b"\xef\xbb\xbfsite,hole,")


def test_a_length_that_can_be_read_two_ways_is_told_as_it_was_typed(manager, samples):
    told = text_of(manager.get(f"{HOLE}?at=1.234,5"))
    assert "'1.234,5' can be read in two ways for the distance along" in told


def test_a_csv_asked_for_wrongly_is_refused_in_words(manager, samples):
    answer = manager.get(f"{HOLE}/yardage.csv?at=far", headers={"accept": "text/html"})
    assert answer.status_code == 422
    assert "'far' is no length for the distance along" in text_of(answer)


def test_slope_and_grid_are_told_of_only_beyond_a_tenth_of_a_yard(samples):
    site = standing_site(samples, "skerry-bank").site
    back, middle, forward = core_rows(samples, "4-right")
    rows = (
        replace(back, slope_more_m=0.12 * YARD, grid_more_m=0.0),
        replace(middle, slope_more_m=0.09 * YARD, grid_more_m=-0.13 * YARD),
        replace(forward, slope_more_m=None, grid_more_m=0.09 * YARD),
    )
    (block,) = bunker_blocks(site, rows, 0.0)
    slope, grid = block.remarks
    assert slope.endswith("to the front edge it shows more, yd: +0.1 from Back tee.")
    assert grid.endswith("another, yd: −0.1 from Middle tee.")
    (plain,) = bunker_blocks(site, (replace(middle, grid_more_m=0.0), forward), 0.0)
    assert plain.remarks == ()


def test_a_site_page_leads_to_its_holes(manager, samples):
    page = manager.get("/sites/skerry-bank")
    for hole in (3, 4, 5):
        assert f'href="/sites/skerry-bank/holes/{hole}"' in page.text
    assert 'href="/sites/skerry-bank/holes/4#bunker-4-right"' in page.text


def test_no_page_of_a_hole_carries_inline_style_or_script(manager, samples):
    for page in ("", "/compare", "/sheet"):
        drawn = manager.get(HOLE + page).text
        assert "style=" not in drawn
        assert "<script" not in drawn
