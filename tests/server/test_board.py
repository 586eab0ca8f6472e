"""The drawing board's page, and what lies on a board as JSON."""

import json
from datetime import UTC, datetime

import pytest

from fieldapp.store.backdrops import Backdrop, add_backdrop

BOARD = "/api/sites/small-links/holes/1/board"
PAGE = "/sites/small-links/holes/1/board"
NOW = datetime(2026, 5, 1, 9, 0, tzinfo=UTC)
WORLD = (0.5, 0.0, 0.0, -0.5, 1000.0, 2300.0)


def draft_of(manager, bunker="square"):
    return manager.get(f"/api/sites/small-links/bunkers/{bunker}/draft").json()["draft"]


def keep(manager, draft, base='"0"'):
    path = f"/api/sites/small-links/bunkers/{draft['bunker']['id']}/draft"
    body = {"draft": draft, "person": "Alex"}
    assert manager.ask("PUT", path, json=body, headers={"if-match": base}).status_code == 200


def test_a_board_holds_the_hole_with_its_bunkers_in_course_metres(manager):
    board = manager.get(BOARD).json()
    assert (board["site"]["id"], board["hole"]["number"], board["may_edit"]) == ("small-links", 1, True)
    square = next(bunker for bunker in board["bunkers"] if bunker["id"] == "square")
    (outline,) = square["outlines"]
    assert sorted(map(tuple, outline["trace"][:-1])) == [
        (1020, 2200),
        (1020, 2204),
        (1024, 2200),
        (1024, 2204),
    ]
    assert outline["trace"][0] == outline["trace"][-1]
    assert (square["revision"], square["draft_number"]) == ("A", 0)
    for tee in board["tees"]:
        assert tee["line"][0] == [tee["x"], tee["y"]]
        assert tee["line"][-1] == board["hole"]["green"]
    assert board["ground_scale"] == pytest.approx(1, abs=0.001)


def test_a_bunker_that_is_only_drawn_lies_on_its_holes_board(manager):
    draft = draft_of(manager)
    keep(manager, draft)
    new = json.loads(json.dumps(draft))
    new["bunker"] |= {"id": "new-1", "name": "New one"}
    new["from"] = {"revision": None, "site_version": None}
    new["plan"] = None
    keep(manager, new)
    found = {bunker["id"]: bunker for bunker in manager.get(BOARD).json()["bunkers"]}
    assert (found["square"]["draft_number"], found["square"]["revision"]) == (1, "A")
    assert (found["new-1"]["draft_number"], found["new-1"]["revision"]) == (1, "")
    assert len(found["new-1"]["outlines"][0]["trace"]) == 5
    page = manager.get(f"{PAGE}?bunker=new-1")
    assert "never issued" in page.text


def test_pictures_lie_under_the_board_by_their_six_numbers(manager, app):
    picture = Backdrop("b1", "small-links", "May", "image/png", 400, 300, WORLD, "world file", "Alex", NOW)
    with app.state.store.writing() as transaction:
        add_backdrop(transaction, picture, b"png")
    (shown,) = manager.get(BOARD).json()["backdrops"]
    assert (shown["world"], shown["width"], shown["height"]) == (list(WORLD), 400, 300)
    assert shown["url"] == "/api/sites/small-links/backdrops/b1/picture"


def test_who_may_only_look_has_a_page_without_anything_to_change(manager, let_in):
    looker = let_in("look")
    assert looker.get(BOARD).json()["may_edit"] is False
    page = looker.get(f"{PAGE}?bunker=square").text
    assert "Your link is to look" in page
    assert 'id="place-form"' not in page
    assert 'id="place-form"' in manager.get(f"{PAGE}?bunker=square").text
    assert looker.get(f"{PAGE}?bunker=nowhere").status_code == 404


def test_what_no_hole_or_bunker_can_be_is_refused(manager):
    assert manager.get("/sites/small-links/holes/99/board").status_code == 404
    assert manager.get("/api/sites/small-links/holes/99/board").status_code == 404
    answer = manager.get(f"{PAGE}?bunker=No such one")
    assert answer.status_code == 404
    assert "there are:" in answer.text
