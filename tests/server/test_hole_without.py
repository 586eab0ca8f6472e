"""Holes that lack something: no bunkers, no name, an open sand edge, a tee in the sand. Each page says so in words."""

import html
import re
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.workflow.sites import load_site

SMALL_SITE = Path(__file__).parent.parent / "workflow" / "small_site"
AT = datetime(2026, 5, 2, 8, 0, tzinfo=UTC)
BARE = """
[[hole]]
number = 2
name = ""
green = [1410.0, 2350.0]

[[tee]]
id = "white-2"
hole = 2
name = "White tee"
x = 1400.0
y = 2000.0

[[hole]]
number = 3
name = "Strange"
green = [1610.0, 2350.0]

[[tee]]
id = "white-3"
hole = 3
name = "White tee"
x = 1600.0
y = 2000.0

[[bunker]]
id = "open"
hole = 3
name = "Open"
revision = "A"

[[bunker.outline]]
id = "sand"
part = "sand edge"
curve = "smooth"
closed = false
points = [[1610.0, 2200.0], [1615.0, 2204.0], [1620.0, 2203.0]]

[[bunker]]
id = "round-the-tee"
hole = 3
name = "Round the tee"
revision = "A"

[[bunker.outline]]
id = "sand"
part = "sand edge"
curve = "smooth"
closed = true
points = [[1590.0, 1990.0], [1590.0, 2012.0], [1612.0, 2012.0], [1610.0, 1990.0]]
"""


@pytest.fixture
def bare(app, tmp_path):
    """The small site with two holes more that lack something."""
    folder = tmp_path / "site"
    shutil.copytree(SMALL_SITE, folder)
    file = folder / "site.toml"
    file.write_text(file.read_text(encoding="utf-8") + BARE, encoding="utf-8")
    load_site(app.state.store, folder, AT)


def text_of(page):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))).replace("\u00a0", " ")


def test_a_hole_without_bunkers_says_what_to_do(manager, bare):
    page = manager.get("/sites/small-links/holes/2")
    assert page.status_code == 200
    assert "This hole has no bunkers yet. Begin one on the drawing board" in text_of(page)
    assert "Carry against aim" not in text_of(page)


def test_its_other_pages_are_there_too(manager, bare):
    sheet = manager.get("/sites/small-links/holes/2/sheet")
    assert sheet.status_code == 200
    assert "This hole has no bunkers yet." in text_of(sheet)
    compare = manager.get("/sites/small-links/holes/2/compare")
    assert "Hole 2 has no bunkers" in text_of(compare)
    assert manager.get("/sites/small-links/holes/2/yardage.csv").text.count("\n") == 1


def test_a_hole_without_a_name_is_called_by_its_number(manager, bare):
    assert "<h1>Hole 2</h1>" in manager.get("/sites/small-links/holes/2").text


def test_an_open_sand_edge_has_no_reach_and_no_carry_and_that_is_said(manager, bare):
    page = manager.get("/sites/small-links/holes/3?bunker=open")
    assert page.status_code == 200
    assert "Its sand edge is drawn as an open line, so it has no reach and no carry" in text_of(page)
    assert re.search(r"White tee \d+\.\d – – ", text_of(page))
    assert "Open has an open sand edge, so there is no carry over it" in text_of(page)


def test_sand_all_round_the_tee_is_not_aimed_across(manager, bare):
    page = manager.get("/sites/small-links/holes/3?bunker=round-the-tee")
    assert page.status_code == 200
    assert "the sand of Round the tee fills more than 90° of the view" in text_of(page)
    assert 'class="sheet of-carry"' not in page.text


def test_a_bunker_with_a_closed_edge_is_shown_first(manager, bare):
    page = manager.get("/sites/small-links/holes/1")
    assert 'class="sheet of-carry"' in page.text


def test_old_against_new_holds_with_an_open_edge(manager, bare):
    page = manager.get("/sites/small-links/holes/3/compare?carries=Anna+200")
    assert page.status_code == 200
    assert "change" in text_of(page)
