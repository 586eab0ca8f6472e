"""The manager's page of people."""

import re
from datetime import UTC, datetime, timedelta
from urllib.parse import urlsplit

import pytest

from fieldapp.server.access import TABLE
from fieldapp.workflow.links import links_held

FORM = {"name": "Robin", "for": "person", "role": "mark", "devices": "", "days": "", "last_day": ""}


def text_of(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))


def address_in(page):
    return re.search(r"<textarea[^>]*>([^<]+)</textarea>", page.text)[1]


@pytest.fixture
def held(app):
    return lambda: links_held(app.state.store)


def test_a_link_is_made_by_the_form_and_shown_this_once_with_its_code(manager, visitor_to, app):
    page = manager.post("/people", data=FORM)
    assert (page.status_code, page.headers["cache-control"]) == (200, "no-store")
    address = address_in(page)
    assert address.startswith("http://127.0.0.1:8000/enter/")
    assert 'class="qr-code"' in page.text
    assert "style=" not in page.text
    token = address.rpartition("/")[2]
    assert token not in manager.get("/people").text
    phone = visitor_to(app, "192.168.1.20")
    assert phone.enter(token).status_code == 303
    assert phone.get("/api/me").json() == {"name": "Robin", "role": "mark", "crew": False}


def test_the_address_is_the_one_the_page_was_asked_at(app, visitor_to):
    manager = visitor_to(app, base="https://127.0.0.1:8443")
    assert urlsplit(address_in(manager.post("/people", data=FORM))).netloc == "127.0.0.1:8443"
    assert "opens on this machine only" in text_of(manager.post("/people", data=FORM))


WANTED = {
    "a person": ({}, (False, 2, None)),
    "a crew": ({"for": "crew"}, (True, 20, None)),
    "seven devices": ({"devices": " 7 "}, (False, 7, None)),
    "three days": ({"days": "3"}, (False, 2, timedelta(days=3))),
}


@pytest.mark.parametrize("name", WANTED)
def test_the_form_decides_for_whom_on_how_many_devices_and_how_long(manager, held, name):
    changes, (is_crew, most, lasts) = WANTED[name]
    assert manager.post("/people", data=FORM | changes).status_code == 200
    (link,) = held()
    stands = None if link.ends_at is None else link.ends_at - link.made_at
    assert (link.is_crew, link.most_devices, stands) == (is_crew, most, lasts)


def test_a_link_until_a_day_stands_through_that_day(manager, held):
    day = (datetime.now(UTC) + timedelta(days=2)).date()
    manager.post("/people", data=FORM | {"last_day": day.isoformat()})
    (link,) = held()
    assert link.ends_at == datetime(day.year, day.month, day.day, tzinfo=UTC) + timedelta(days=1)


WRONG = {
    "no name": ({"name": "  "}, "needs the name"),
    "a name of control characters": ({"name": "a\x00b"}, "in letters"),
    "a name too long": ({"name": "x" * 61}, "61 characters"),
    "no role": ({"role": ""}, "look, mark, plan or manage"),
    "a role that is none": ({"role": "rule"}, "&#39;rule&#39;"),
    "devices in words": ({"devices": "two"}, "&#39;two&#39; is no number of devices"),
    "no device": ({"devices": "0"}, "1 to 500"),
    "too many devices": ({"devices": "501"}, "1 to 500"),
    "a number without end": ({"devices": "9" * 5000}, "no number of devices"),
    "days before now": ({"days": "-1"}, "&#39;-1&#39; is no number of days"),
    "no day": ({"days": "0"}, "1 to 3660"),
    "days without end": ({"days": "999999999"}, "1 to 3660"),
    "a day in words": ({"last_day": "Friday"}, "&#39;Friday&#39; is no day"),
    "a day that is over": ({"last_day": "2020-01-31"}, "a day to come"),
    "the last day of all": ({"last_day": "9999-12-31"}, "is no day"),
    "both days and a day": ({"days": "1", "last_day": "2099-01-31"}, "not both"),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_taken_is_said_and_what_was_typed_stays(manager, held, name):
    changes, words = WRONG[name]
    page = manager.post("/people", data=FORM | {"name": "Kim"} | changes)
    assert page.status_code == 422
    assert words in page.text
    assert held() == []
    if "name" not in changes:
        assert 'name="name" required maxlength="60" autocomplete="off" value="Kim"' in page.text


def test_the_form_says_who_may_change_plans(manager):
    assert "look, mark what was painted, and change plans" in text_of(manager.get("/people"))
    assert {needed for _, _, needed in TABLE} == {"everybody", "look", "mark", "plan", "manage"}


def test_the_list_tells_who_is_in_by_which_link_and_on_what(manager, visitor_to, app, token_of):
    phone = visitor_to(
        app, "192.168.1.20", user_agent="Mozilla/5.0 (Android 14; Mobile; rv:130.0) Firefox/130.0"
    )
    phone.enter(token_of("mark", "Early team", is_crew=True))
    page = text_of(manager.get("/people"))
    assert "Early team crew" in page
    assert "1 of 20 devices" in page
    assert re.search(r"Android phone, Firefox since \d{4}-\d\d-\d\d \d\d:\d\d UTC", page)


def test_a_link_is_ended_from_the_page_and_then_stands_among_those_of_the_past(
    manager, visitor_to, app, token_of, held
):
    phone = visitor_to(app, "192.168.1.20")
    phone.enter(token_of("mark", "Robin"))
    end = re.search(r'action="(/people/\w+/end)"', manager.get("/people").text)[1]
    answer = manager.post(end)
    assert (answer.status_code, answer.headers["location"]) == (303, "/people")
    assert phone.get("/api/me").status_code == 401
    page = manager.get("/people").text
    assert end not in page
    assert "1 link of the past" in page
    assert manager.post(end).status_code == 303, "ending it twice is harmless"
    assert len(held()) == 1


def test_ending_a_link_that_is_not_there_is_said_so(manager):
    answer = manager.post("/people/none/end", headers={"accept": "text/html"})
    assert answer.status_code == 404
    assert "There is no link &#39;none&#39;" in answer.text


def test_a_manager_is_warned_before_ending_the_own_link(let_in):
    page = text_of(let_in("manage").get("/people"))
    assert "this device came by it" in page
    assert "will be out too" in page


def test_a_name_cannot_write_into_the_page(manager, token_of):
    token_of(name="<script>alert(1)</script>")
    page = manager.get("/people").text
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_only_who_may_manage_is_shown_the_way_to_the_page(manager, let_in):
    assert 'href="/people"' in manager.get("/").text
    page = let_in("plan").get("/").text
    assert 'href="/people"' not in page
    assert "Robin" in page
