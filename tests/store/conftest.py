"""A store that holds a version of one site, and records for it."""

from datetime import UTC, datetime

import pytest

from fieldapp.formats.record_text import checked_text
from fieldapp.formats.records import SentRecord, read_record
from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.store.records import NewRecord, add_records, held_records
from fieldapp.store.sites import add_version
from tests.field_records import mark_document, undo_document

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def settings(tmp_path):
    return Settings(data_dir=tmp_path / "data")


@pytest.fixture
def store(settings):
    opened = open_store(settings)
    with opened.writing() as transaction:
        add_version(transaction, "links", "c" * 64, "document", NOON, "links")
    yield opened
    opened.close()


@pytest.fixture
def mark():
    def made(number, **changes):
        whole = mark_document(id=f"mark-{number:04d}", site="links")
        whole["target"] |= {"bunker": "b1", "number": number}
        return whole | changes

    return made


@pytest.fixture
def undo(mark):
    def made(number, **changes):
        whole = undo_document(mark(number), id=f"undo-{number:04d}")
        return whole | changes

    return made


@pytest.fixture
def new():
    def made(document):
        sent = SentRecord(read_record(document), checked_text(document))
        return NewRecord(sent, 1, NOON, (1.5, 2.5), 0.707, "")

    return made


@pytest.fixture
def add(store, new):
    def made(*documents):
        with store.writing() as transaction:
            return [
                outcome for document in documents for outcome in add_records(transaction, [new(document)])
            ]

    return made


@pytest.fixture
def held(store):
    def made(**where):
        with store.reading() as transaction:
            return held_records(transaction, **where)

    return made
