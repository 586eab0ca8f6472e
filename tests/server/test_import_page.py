"""The page that brings a drawing in, as its form sends it: what was typed stays, nobody's save is written over."""

import re
import time

import pytest

from fieldapp.store.drafts import drafts_of
from tests.bunker_drafts import SQUARE, draft_of, save
from tests.drawings import bunker_dxf
from tests.server.test_imports_api import held, sent

PAGE = "/sites/small-links/import"
HTML = {"accept": "text/html"}


@pytest.fixture
def form(manager):
    """The form as the page has it once a drawing was read."""
    found = sent(manager, bunker_dxf(1020, 2200))
    fields = {
        "hole": "1",
        "of": found["id"],
        "draft": "0",
        "system": "course",
        "unit": "metre",
        "order": "xy",
    }
    uses = {"use-0": "keep clear: drain", "clear-0": "2", "use-1": "", "use-2": "sand edge", "use-3": ""}
    return fields | uses | {"bunker": "square", "person": "Kim"}


def test_the_page_keeps_a_draft_and_leads_to_the_board_or_says_who_was_faster(manager, app, form):
    page = manager.get(PAGE, params={"hole": 1, "of": form["of"]}).text
    assert "A drawing is not a detection: have services located before digging." in page
    assert re.search(r'<option value="square" selected>', page), "the bunker that lies there is chosen"
    refused = manager.post(PAGE, data=form | {"person": ""}, headers=HTML)
    assert (refused.status_code, "Type your name" in refused.text) == (422, True)
    kept = manager.post(PAGE, data=form, headers=HTML)
    assert (kept.status_code, kept.headers["location"]) == (
        303,
        "/sites/small-links/holes/1/board?bunker=square",
    )
    before = held(app)
    late = manager.post(PAGE, data=form | {"person": "Robin", "clear-0": "7.5"}, headers=HTML)
    assert late.status_code == 409
    assert "Kim saved the draft of bunker &#39;square&#39; meanwhile (save 1)" in late.text
    assert 'value="7.5"' in late.text
    assert 'value="Robin"' in late.text
    assert 'name="draft" value="1"' in late.text
    assert held(app) == before


@pytest.mark.parametrize(("state", "is_told"), [("open", True), ("issued", False), ("given up", False)])
def test_only_an_open_draft_is_said_to_be_there_already(manager, app, form, state, is_told):
    save(app.state.store, "small-links", draft_of(SQUARE), state=state)
    page = manager.get(PAGE, params=form).text
    assert ("It has a draft already, save 1;" in page) is is_told
    assert 'name="draft" value="1"' in page, "what comes is the next save"
    assert manager.post(PAGE, data=form | {"draft": "1"}, headers=HTML).status_code == 303


def test_things_alone_are_kept_and_the_page_says_so(manager, app, form):
    kept = manager.post(PAGE, data=form | {"use-2": ""}, headers=HTML)
    assert kept.status_code == 303
    assert "Kept: 1 thing to keep clear of" in manager.get(kept.headers["location"]).text
    assert held(app)[1] == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"system": "published", "epsg": "moon"}, "&#39;moon&#39; is no EPSG code"),
        ({"system": "pegs", "place-1": "here", "mark-1": "c1"}, "&#39;here&#39; is no place of the drawing"),
        ({"clear-0": "far"}, "&#39;far&#39; is no clearance"),
        ({"unit": "kilometre"}, "km from hole 1"),
        ({"bunker": "new", "bunker-id": ""}, "Give the new bunker a name."),
        ({"bunker": "new", "bunker-id": "", "draft": "8"}, "Give the new bunker a name."),
    ],
)
def test_what_cannot_be_is_said_on_the_page_and_nothing_is_kept(manager, app, form, changes, words):
    before = held(app)
    page = manager.post(PAGE, data=form | changes, headers=HTML)
    assert (page.status_code, words in page.text) == (422, True)
    assert held(app) == before


@pytest.mark.parametrize("is_drawn", [False, True])
def test_a_new_bunker_takes_no_short_name_of_another_on_the_hole(manager, app, form, is_drawn):
    if is_drawn:
        save(app.state.store, "small-links", draft_of(SQUARE))
    before = held(app)
    asked = form | {"bunker": "new", "bunker-id": "square", "draft": str(int(is_drawn))}
    page = manager.post(PAGE, data=asked, headers=HTML)
    assert page.status_code == 422
    assert "This hole has a bunker &#39;square&#39; already; choose it in the list, or" in page.text
    assert '<option value="new" selected>' in page.text
    assert 'name="bunker-id" value="square"' in page.text
    assert held(app) == before
    kept = manager.post(PAGE, data=asked | {"bunker-id": "square-2", "draft": "0"}, headers=HTML)
    assert kept.headers["location"].endswith("board?bunker=square-2")


def test_a_bunker_that_is_only_drawn_so_far_is_in_the_list_and_takes_more(manager, app, form):
    save(app.state.store, "small-links", draft_of(SQUARE, bunker="nose", name="Nose", grew_from=None))
    page = manager.get(PAGE, params=form | {"bunker": "nose"})
    assert '<option value="nose" selected>Nose</option>' in page.text
    kept = manager.post(PAGE, data=form | {"bunker": "nose", "draft": "1"}, headers=HTML)
    assert kept.headers["location"].endswith("board?bunker=nose")
    assert [draft.number for draft in drafts_of_nose(app)] == [2, 1]


def drafts_of_nose(app):
    with app.state.store.reading() as transaction:
        return drafts_of(transaction, "small-links", "nose")


def test_an_import_that_is_gone_and_a_hole_that_is_not_there_are_told(manager, let_in):
    assert manager.get(PAGE, params={"hole": 1, "of": "gone"}, headers=HTML).status_code == 404
    assert manager.get(PAGE, params={"hole": "far"}, headers=HTML).status_code == 404
    assert let_in("mark").get(PAGE).status_code == 403


def test_a_browser_without_scripts_sends_the_file_with_the_form(manager):
    came = manager.get(PAGE, params={"hole": 1}).text
    action = re.search(
        r'<form id="sending" method="post" action="([^"]+)" enctype="multipart/form-data"', came
    )
    files = {"file": ("bunker.dxf", bunker_dxf(1020, 2200))}
    sent_on = manager.post(action[1], files=files, headers=HTML)
    assert sent_on.status_code == 303
    for _ in range(200):
        page = manager.get(sent_on.headers["location"]).text
        if 'id="reading"' not in page:
            break
        time.sleep(0.05)
    assert "<b>bunker.dxf</b>, DXF" in page
    without = manager.post(action[1], files={"file": ("", b"")}, headers=HTML)
    assert (without.status_code, "choose the drawing first" in without.text) == (422, True)
