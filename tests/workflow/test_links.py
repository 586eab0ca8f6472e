"""Invitation links."""

import threading
from datetime import UTC, datetime, timedelta

import pytest

from fieldapp.errors import AccessError, InputError, NotFoundError
from fieldapp.settings import DATABASE_FILE, Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.links import (
    check_lets_in,
    end_link,
    end_of_days,
    is_in_by,
    let_in,
    link_by_token,
    links_held,
    make_link,
    somebody_manages,
    visitor_of_cookie,
)

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
LATER = NOON + timedelta(hours=1)


@pytest.fixture
def empty(tmp_path):
    store = open_store(Settings(data_dir=tmp_path / "links"))
    yield store
    store.close()


@pytest.fixture
def make(empty):
    def made(role="mark", name="Robin", **more):
        return make_link(empty, name, role, NOON, **more)

    return made


def test_only_hashes_are_kept_of_a_link_and_a_device(empty, make, tmp_path):
    made = make()
    cookie = let_in(empty, made.token, "", "", LATER).cookie
    empty.close()
    kept = b"".join(file.read_bytes() for file in (tmp_path / "links").iterdir())
    assert made.link.id.encode() in kept
    assert made.token.encode() not in kept
    assert cookie.encode() not in kept
    assert (tmp_path / "links" / DATABASE_FILE).is_file()


def test_every_secret_is_long_and_its_own(empty, make):
    made = [make(most_devices=1) for _ in range(20)]
    secrets = {each.token for each in made}
    secrets |= {let_in(empty, each.token, "", "", NOON).cookie for each in made}
    assert len(secrets) == 40
    assert {len(secret) for secret in secrets} == {43}


def test_a_visitor_is_known_by_the_device(empty, make):
    cookie = let_in(empty, make("plan", "Early team", is_crew=True).token, "", "", NOON).cookie
    visitor = visitor_of_cookie(empty, cookie, LATER)
    assert (visitor.name, visitor.role, visitor.is_crew) == ("Early team", "plan", True)
    assert visitor.link_id == links_held(empty)[0].id


def test_a_link_stands_until_its_very_end(empty, make):
    made = make(ends_at=LATER)
    cookie = let_in(empty, made.token, "", "", NOON).cookie
    just_before = LATER - timedelta(milliseconds=1)
    assert visitor_of_cookie(empty, cookie, just_before).name == "Robin"
    with pytest.raises(AccessError, match="has run out"):
        visitor_of_cookie(empty, cookie, LATER)
    with pytest.raises(AccessError, match="has run out"):
        let_in(empty, made.token, cookie, "", LATER)


def test_many_phones_at_once_never_get_in_on_more_devices_than_the_link_is_for(empty, make):
    made = make(most_devices=3)
    outcomes = []

    def open_it():
        try:
            outcomes.append(let_in(empty, made.token, "", "", LATER).cookie)
        except AccessError as refused:
            outcomes.append(str(refused))

    threads = [threading.Thread(target=open_it) for _ in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len([outcome for outcome in outcomes if "3 devices already" in outcome]) == 9
    assert len(links_held(empty)[0].devices) == 3


def test_a_device_of_another_link_counts_as_a_new_one(empty, make):
    one, other = make(), make()
    cookie = let_in(empty, one.token, "", "", NOON).cookie
    assert is_in_by(empty, one.link, cookie)
    assert not is_in_by(empty, other.link, cookie)
    assert not is_in_by(empty, one.link, "")
    assert let_in(empty, other.token, cookie, "", NOON).cookie is not None


def test_an_ended_link_stays_ended_since_the_first_time(empty, make):
    made = make()
    end_link(empty, made.link.id, NOON)
    end_link(empty, made.link.id, LATER)
    (link,) = links_held(empty)
    assert (link.ended_at, link.state_at(LATER)) == (NOON, "ended")
    with pytest.raises(AccessError, match="was ended"):
        check_lets_in(link, LATER)


def test_an_unknown_token_is_no_link_and_an_unknown_id_ends_none(empty, make):
    make()
    assert link_by_token(empty, "x") is None
    with pytest.raises(AccessError, match="not one of this server's"):
        let_in(empty, "x", "", "", NOON)
    with pytest.raises(NotFoundError, match="no link 'none'"):
        end_link(empty, "none", NOON)


def test_somebody_manages_only_while_a_managers_link_stands(empty, make):
    assert not somebody_manages(empty, NOON)
    make("plan")
    assert not somebody_manages(empty, NOON)
    link = make("manage", ends_at=LATER).link
    assert somebody_manages(empty, NOON)
    assert not somebody_manages(empty, LATER)
    end_link(empty, link.id, NOON)
    assert not somebody_manages(empty, NOON)
    used = make("manage", most_devices=1)
    let_in(empty, used.token, "", "", NOON)
    assert somebody_manages(empty, NOON), "one device is in by it"


def test_names_are_kept_with_single_spaces(make):
    assert make(name="  Early \n team ").link.name == "Early team"


@pytest.mark.parametrize("days", [0, -1, 3661, 10**9])
def test_days_are_bounded(days):
    with pytest.raises(InputError, match="1 to 3660"):
        end_of_days(days, NOON)


def test_links_are_listed_newest_first(empty, make):
    for name in ("Ada", "Kim", "Robin"):
        make(name=name)
    assert [link.name for link in links_held(empty)] == ["Robin", "Kim", "Ada"]
