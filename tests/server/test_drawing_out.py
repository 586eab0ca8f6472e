"""A bunker taken out over the web: which revision, what it is called, what is refused."""

import json
from datetime import UTC, datetime

import pytest

from fieldapp.formats.draft import draft_document
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Outline
from fieldapp.model.draft import Draft
from fieldapp.store.drafts import KeptDraft, add_draft
from fieldapp.store.issues import Issue
from fieldapp.workflow.issuing import add_revision, checked_text, with_bunker
from fieldapp.workflow.sites import standing_site

BASE = "/sites/small-links/bunkers/square/drawing"
WIDER = DrawnShape(
    tuple(ControlPoint(x, y) for x, y in ((1020, 2200), (1030, 2200), (1030, 2204), (1020, 2204))), "straight"
)
WHEN = datetime(2026, 5, 3, tzinfo=UTC)


def wider(revision):
    return Bunker("square", 1, "Square", revision, (Outline("sand", "sand edge", WIDER),))


@pytest.fixture
def with_history(app):
    """Revision A as loaded, B issued here and wider, and a draft upon B."""
    store = app.state.store
    site = with_bunker(standing_site(store, "small-links").site, wider("B"))
    text = checked_text(site, "It cannot be issued", "correct it")
    draft = json.dumps(draft_document(Draft(wider(""), "B", 2)))
    with store.writing() as transaction:
        add_revision(transaction, text, Issue("small-links", "square", "B", 0, "draft 1", "Kim", "", WHEN))
        add_draft(transaction, KeptDraft("small-links", "square", 4, "open", draft, "Kim", WHEN))


def rows(answer):
    assert answer.status_code == 200, answer.text
    return [line.split(",")[3] for line in answer.text.splitlines() if line.startswith("sand edge")]


def test_the_standing_revision_an_older_one_and_the_draft(manager, with_history):
    standing = manager.get(f"{BASE}.csv")
    assert rows(standing) == ["1020.000000", "1030.000000", "1030.000000", "1020.000000"]
    assert "# revision: B\n" in standing.text
    older = manager.get(f"{BASE}.csv?revision=A")
    assert rows(older) == ["1020.000000", "1024.000000", "1024.000000", "1020.000000"]
    assert "# revision: A, superseded by B\n" in older.text
    draft = manager.get(f"{BASE}.csv?draft=1")
    assert "# revision: draft 4, grown from revision B; it is not issued" in draft.text
    assert draft.headers["content-disposition"] == 'attachment; filename="small-links-square-draft-4.csv"'


@pytest.mark.parametrize(
    ("kind", "media_type", "begins"),
    [
        ("geojson", "application/geo+json", b'{"type": "FeatureCollection"'),
        ("csv", "text/csv; charset=utf-8", b"# site: Small Links"),
        ("dxf", "image/vnd.dxf", b"  0\nSECTION"),
        ("gpx", "application/gpx+xml", b"<?xml"),
        ("kml", "application/vnd.google-earth.kml+xml", b"<?xml"),
        ("zip", "application/zip", b"PK"),
    ],
)
def test_every_kind_comes_as_a_file_and_the_site_page_leads_to_it(manager, kind, media_type, begins):
    answer = manager.get(f"{BASE}.{kind}")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == media_type
    assert answer.headers["content-disposition"] == f'attachment; filename="small-links-square-A.{kind}"'
    assert answer.content.startswith(begins)
    assert f'href="{BASE}.{kind}"' in manager.get("/sites/small-links").text


def test_other_coordinates_and_r12(manager):
    assert b'"coordinates": "course"' in manager.get(f"{BASE}.geojson?coordinates=course").content
    assert "point,lon,lat," in manager.get(f"{BASE}.csv?coordinates=lonlat").text
    assert b"AC1009" in manager.get(f"{BASE}.dxf?version=R12").content


@pytest.mark.parametrize(
    ("asked", "status", "words"),
    [
        (".dwg", 404, "There is no drawing of the kind 'dwg'"),
        (".csv?revision=Q", 404, "never had a revision 'Q'; it had: A."),
        (".csv?draft=1", 404, "There is no draft of bunker 'square'."),
        (".csv?draft=1&revision=A", 422, "ask for one of them"),
        (".dxf?coordinates=lonlat", 422, "has its coordinates as course; 'lonlat' was asked for"),
        (".csv?version=R12", 422, "version=R12, of a DXF"),
    ],
)
def test_what_there_is_not_is_said(manager, asked, status, words):
    answer = manager.get(BASE + asked)
    assert answer.status_code == status
    assert words in answer.json()["detail"]


def test_a_bunker_that_is_not_there_and_a_draft_without_an_outline(manager, app):
    assert manager.get("/sites/small-links/bunkers/none/drawing.csv").status_code == 404
    assert manager.get("/sites/small-links/bunkers/none/drawing.csv?revision=A").status_code == 404
    empty = json.dumps(draft_document(Draft(Bunker("new", 1, "New", "", ()))))
    with app.state.store.writing() as transaction:
        add_draft(transaction, KeptDraft("small-links", "new", 1, "open", empty, "Kim", WHEN))
    answer = manager.get("/sites/small-links/bunkers/new/drawing.dxf?draft=1")
    assert answer.status_code == 404
    assert "has no outline yet" in answer.json()["detail"]
