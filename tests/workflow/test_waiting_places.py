"""Places that phones read before a site stood: whichever way it is loaded, they are in its field record then."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime

import pytest

from fieldapp.settings import Settings
from fieldapp.store.draft_places import WaitingRecord, add_waiting
from fieldapp.store.engine import open_store
from fieldapp.workflow.records import held_records_of, read_batch
from fieldapp.workflow.site_backup import bring_back
from fieldapp.workflow.site_drafts import begin_site, drop_draft
from fieldapp.workflow.site_places import keep_for_new_site
from fieldapp.workflow.sites import load_site
from tests.backups import opened, taken_from, zipped
from tests.field_records import batch_of, place_document

SITE = "small-links"
AT = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)
CAME = datetime(2026, 5, 1, 9, 30, tzinfo=UTC)
PLACE = place_document(7)


@pytest.fixture
def empty(tmp_path):
    with closing(open_store(Settings(data_dir=tmp_path / "empty"))) as made:
        yield made


def delivered():
    return read_batch(SITE, batch_of(PLACE), CAME, "Robin", True).delivery


def in_record(store):
    return [(item.record.id, item.received_at, item.came_by) for item in held_records_of(store, SITE)]


TAKEN = [(PLACE["id"], CAME, "Robin")]


@pytest.mark.parametrize("is_dropped", [False, True])
def test_a_folder_loaded_while_the_site_is_made_takes_its_places_over(empty, folder, is_dropped):
    begin_site(empty, SITE, "Small", "Kim", AT)
    keep_for_new_site(empty, delivered())
    if is_dropped:
        drop_draft(empty, SITE, 1, "Kim", AT)
    load_site(empty, folder, AT)
    assert in_record(empty) == TAKEN
    load_site(empty, folder, AT)
    assert in_record(empty) == TAKEN


@pytest.mark.parametrize("kept", ["history", "site alone"])
def test_a_backup_brought_back_takes_them_over_too(empty, store, folder, kept):
    begin_site(empty, SITE, "Small", "Kim", AT)
    keep_for_new_site(empty, delivered())
    drop_draft(empty, SITE, 1, "Kim", AT)
    whole = taken_from(store, SITE)
    alone = zipped({"site.toml": (folder / "site.toml").read_bytes()})
    bring_back(empty, opened(whole if kept == "history" else alone), AT, "b.zip")
    assert in_record(empty) == TAKEN


def test_what_waits_for_a_site_that_stands_goes_over_with_the_next_load(store, folder):
    (sent,) = delivered().sent
    with store.writing() as transaction:
        add_waiting(transaction, SITE, [WaitingRecord(sent, CAME, "Robin")])
    assert not load_site(store, folder, AT).new
    assert in_record(store) == TAKEN


def test_a_place_that_comes_just_as_the_site_was_loaded_is_in_the_record(store):
    assert keep_for_new_site(store, delivered()).taken.outcomes == [("new", "")]
    assert in_record(store) == TAKEN
