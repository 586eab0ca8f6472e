"""Links in the store: only ever added."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from fieldapp.errors import StoreError
from fieldapp.model.visitor import LinkDevice
from fieldapp.store.links import (
    NewLink,
    add_device,
    add_end,
    add_link,
    all_links,
    link_of_cookie,
    link_of_id,
    link_of_token,
)

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
LATER = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)
LINK = NewLink("aaaa2222", "a" * 64, "Robin", "mark", False, 2, NOON, LATER)


@pytest.fixture
def held(store):
    """A store with one link that let a device in and was ended twice."""
    with store.writing() as transaction:
        add_link(transaction, LINK)
        add_device(transaction, LINK.id, "c" * 64, LinkDevice(NOON, "iPhone, Safari"))
        add_end(transaction, LINK.id, NOON)
        add_end(transaction, LINK.id, LATER)
    return store


def test_a_link_is_had_back_as_it_was_made_with_its_devices_and_first_end(held):
    with held.reading() as transaction:
        (link,) = all_links(transaction)
        assert link == link_of_id(transaction, LINK.id) == link_of_token(transaction, LINK.token_hash)
        by_cookie = link_of_cookie(transaction, "c" * 64)
    assert (link.name, link.role, link.is_crew, link.most_devices) == ("Robin", "mark", False, 2)
    assert (link.made_at, link.ends_at, link.ended_at) == (NOON, LATER, NOON)
    assert link.devices == (LinkDevice(NOON, "iPhone, Safari"),)
    assert by_cookie == replace(link, devices=())


@pytest.mark.parametrize("wanted", ["", "b" * 64, "A" * 64, "a" * 63, "%"])
def test_another_hash_finds_nothing(held, wanted):
    with held.reading() as transaction:
        assert link_of_token(transaction, wanted) is None
        assert link_of_cookie(transaction, wanted) is None


@pytest.mark.parametrize("table", ["link", "link_device", "link_end"])
@pytest.mark.parametrize("statement", ["UPDATE {} SET sequence = 9", "DELETE FROM {}"])
def test_the_database_itself_refuses_to_change_or_delete_a_row(held, table, statement):
    with pytest.raises(StoreError, match="only ever added"), held.writing() as transaction:
        transaction.execute(text(statement.format(table)))


def test_no_two_links_share_a_secret(held):
    with pytest.raises(StoreError) as refused, held.writing() as transaction:
        add_link(transaction, replace(LINK, id="bbbb2222"))
    assert isinstance(refused.value.__cause__, IntegrityError)
