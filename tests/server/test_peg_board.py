"""The board of pegs on the desk: how every peg stands since the evening, its photos, what the mornings found."""

import re
from datetime import UTC, datetime, timedelta
from html import unescape

import pytest

from tests.field_records import morning_document, peg_document, record_id, undo_document
from tests.photos import jpeg_photo

NEW = {"peg": "p1", "peg_kind": "reference", "x": 1010.0, "y": 2190.0, "within_m": 0.02, "photos": []}


def ago(hours):
    moment = datetime.now(UTC) - timedelta(hours=hours)
    return {"made_at": moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")}


@pytest.fixture
def board(manager, send):
    """Sends records and reads the board: {heading: {peg: what is told of it}}."""

    def read(*records, query=""):
        assert send(*records).json()["refused"] == []
        answer = manager.get(f"/sites/small-links/pegs{query}")
        assert answer.status_code == 200
        return told(answer.text)

    return read


def told(page):
    groups = re.split(r"<section class=\"peg-group", page)[1:]
    return {
        plain(group.partition("<h2")[2].partition("</h2>")[0].partition(">")[2]): rows(group)
        for group in groups
    }


def rows(group):
    found = re.findall(r'<article class="\w+-row" data-\w+="([^"]+)"(.*?)</article>', group, re.DOTALL)
    return {name: plain(row.partition(">")[2]) for name, row in found}


def plain(markup):
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", markup)).split())


def test_a_peg_nobody_has_reported_is_to_be_looked_at(board):
    groups = board()
    (heading,) = (name for name in groups if name.startswith("Not looked at since"))
    assert "not reported" in groups[heading]["c1"]


def test_pegs_stand_by_what_is_to_be_done_about_them(board):
    groups = board(
        peg_document(1, state="missing", **ago(2)),
        peg_document(2, **{**NEW, "state": "new"}, **ago(3)),
        peg_document(3, **{**NEW, "peg": "p2", "state": "planned"}, **ago(3)),
        peg_document(4, **{**NEW, "peg": "p3", "state": "new"}, **ago(40)),
    )
    assert list(groups["Moved or missing 1"]) == ["c1"]
    assert list(groups["In place 1"]) == ["p1"]
    assert "within 0.02 m (95 %)" in groups["In place 1"]["p1"]
    assert "reference peg, by Square" in groups["In place 1"]["p1"], "10 m off, in reach of a tape of 30 m"
    assert "control peg missing" in groups["Moved or missing 1"]["c1"], "190 m off any bunker"
    assert list(groups["Planned, not driven 1"]) == ["p2"]
    (old,) = (pegs for name, pegs in groups.items() if name.startswith("Not looked at"))
    assert list(old) == ["p3"]


def test_what_changed_since_the_evening_is_told_with_who_and_when(board):
    groups = board(peg_document(1, **ago(20)), peg_document(2, state="moved", person="Kim", **ago(1)))
    row = groups["Moved or missing 1"]["c1"]
    assert "moved Kim," in row
    assert "before: found," in row
    assert "300 mm behind the yellow broom" in row


def test_how_far_back_is_looked_can_be_chosen(board, manager):
    groups = board(peg_document(1, **ago(30)), query="?hours=48")
    assert list(groups["In place 1"]) == ["c1"]
    assert manager.get("/sites/small-links/pegs?hours=48").text.count('aria-current="page"') == 1
    assert manager.get("/sites/small-links/pegs?hours=0").status_code == 422
    assert manager.get("/sites/nowhere/pegs").status_code == 404


def test_practice_and_what_was_taken_back_is_not_told(board):
    lost = peg_document(1, state="missing", **ago(2))
    groups = board(lost, undo_document(lost), peg_document(3, state="moved", practice=True, **ago(1)))
    assert not any(name.startswith("Moved") for name in groups)


def test_photos_are_shown_and_those_that_have_not_come_are_counted(board, manager):
    here, elsewhere = record_id(5901), record_id(5902)
    address = f"/api/sites/small-links/photos/{here}"
    manager.ask("PUT", address, content=jpeg_photo(), headers={"content-type": "image/jpeg"})
    groups = board(peg_document(1, photos=[here, elsewhere], **ago(1)))
    assert "1 photo is not here yet" in groups["In place 1"]["c1"]
    page = manager.get("/sites/small-links/pegs").text
    assert f'href="{address}"' in page
    assert f'src="{address}?small=true"' in page
    assert elsewhere not in page


def test_mornings_are_told_newest_first_with_their_reasons(board):
    words = "Peg r1 has moved by about 60 mm."
    groups = board(
        morning_document(1, verdict="go on", reset=[], **ago(3)),
        morning_document(2, verdict="re-set", reset=["r1"], words=words, **ago(1)),
        morning_document(3, **ago(30)),
    )
    mornings = groups["Morning checks"]
    assert list(mornings) == [record_id(2), record_id(1)]
    assert "set these again: r1" in mornings[record_id(2)]
    assert words in mornings[record_id(2)]
    assert "safe to go on" in mornings[record_id(1)]


def test_the_site_page_leads_to_the_board_and_to_each_bunkers_pegs(manager):
    page = manager.get("/sites/small-links").text
    assert 'href="/sites/small-links/pegs"' in page
    assert 'href="/sites/small-links/pegs/square"' in page
    code = manager.get("/sites/small-links/pegs/square/qr.svg")
    assert code.headers["content-type"] == "image/svg+xml"


def test_a_peg_that_had_moved_and_was_seen_since_is_still_to_be_set_again(board):
    groups = board(peg_document(1, state="moved", **ago(3)), peg_document(2, state="found", **ago(1)))
    assert "control peg seen, but it has moved: set it again" in groups["Moved or missing 1"]["c1"]
