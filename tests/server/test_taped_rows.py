"""What the desk says of taped distances, as rows and as its partial page."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader

from fieldapp.server.taped_rows import taped_rows
from fieldapp.shipped_files import web_folder
from fieldapp.store.engine import open_store
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.sites import load_site, standing_site
from tests.field_records import accept_records, batch_of, record_id, taped_document, undo_document
from tests.taped_records import SIX, taped

SMALL_SITE = Path(__file__).parent.parent / "workflow" / "small_site"
NOW = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def store(settings):
    opened = open_store(settings)
    load_site(opened, SMALL_SITE, NOW)
    yield opened
    opened.close()


@pytest.fixture
def rows(store):
    """Takes records in and returns the rows of those of taped distances."""

    def told(*documents, **which):
        accept_records(store, "small-links", batch_of(*documents), NOW)
        standing = standing_site(store, "small-links")
        return list(taped_rows(standing, held_records_of(store, "small-links"), **which))

    return told


@pytest.fixture
def site(store):
    return standing_site(store, "small-links")


def test_a_row_says_which_peg_moved_and_how_far(rows, site):
    (row,) = rows(taped(site, moved=("r2", 0.08, 0.06), verdict="misfit", suspects=["r2"]))
    assert row.verdict == "Peg r2 has moved"
    assert row.tells == ("It is 0.10 m from its place, known within 0.03 m (95 %).",)
    assert row.lines[0].ends == "r1 to r2"
    assert row.lines[0].longer == "+0.08 m"
    assert (row.person, row.made_at) == ("Ada", "2026-05-01 09:30")


def test_a_row_says_what_would_have_shown_and_what_to_tape_next(rows, site):
    (fits,) = rows(taped(site))
    assert fits.verdict == "All fit"
    assert fits.tells[0].startswith("A peg that moved by 0.05 m would have shown, 80 times in 100")
    few = rows(taped(site, SIX[:2], id=record_id(4002), verdict="cannot tell"))[-1]
    assert few.verdict == "Cannot tell: too few"
    assert few.tells == ("Some moves would not show at all.", "The distance to tape next: r2 to r3.")


def test_what_is_open_is_told_as_open(rows, site):
    document = taped(site, SIX[:1], verdict="cannot tell", suspects=["r1", "r2"], suspect_line=["r1", "r2"])
    document["lines"][0]["distance_m"] += 0.12
    (row,) = rows(document)
    assert row.verdict == "Cannot tell: they do not fit"
    assert row.tells == (
        "Peg r1 or r2 may have moved, or the distance r1 to r2 was misread.",
        "The distance to tape next: r1 to r2.",
    )


def test_only_real_records_that_stand_have_rows(rows, site):
    practised, undone = taped_document(1, practice=True), taped(site, id=record_id(2))
    kept, elsewhere = taped_document(3), taped_document(4, bunker=None)
    found = rows(practised, undone, undo_document(undone), kept, elsewhere)
    assert [row.id for row in found] == [record_id(3), record_id(4)]
    assert [row.id for row in rows(bunker_id="square")] == [record_id(3)]


def test_lines_that_cannot_be_reckoned_are_told(rows, site):
    document = taped(site)
    document["lines"][0] |= {"one": "r9"}
    (row,) = rows(document)
    assert row.verdict == "Cannot tell"
    assert "not in the network" in row.tells[0]
    assert row.lines[0].placed == "not known"


def test_the_partial_page_has_every_line_and_no_markup_of_others(rows, site):
    found = rows(taped(site, person="<b>Ada</b>"))
    pages = Environment(loader=FileSystemLoader(web_folder() / "templates"), autoescape=True)
    text = pages.from_string("{% from '_taped.html' import taped_rows %}{{ taped_rows(rows) }}").render(
        rows=found
    )
    assert text.count('<th scope="row">') == len(SIX)
    assert "&lt;b&gt;Ada" in text
