"""Drafts and issued revisions in the store, and what older databases told of captures that were confirmed."""

from datetime import UTC, datetime

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine, text

from fieldapp.errors import StoreError
from fieldapp.settings import DATABASE_FILE
from fieldapp.store.drafts import KeptDraft, add_draft, drafts_of, newest_draft, newest_drafts
from fieldapp.store.engine import MIGRATIONS, open_store
from fieldapp.store.issues import Issue, add_issue, issues_of

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def draft(number, bunker="b1", **more):
    return KeptDraft(
        **{
            "site_id": "links", "bunker_id": bunker, "number": number, "state": "open", "document": f"{number}",
            "person": "Ada", "made_at": NOON,
        } | more
    )  # fmt: skip


def test_every_save_of_a_draft_is_kept_and_the_newest_stands(store):
    with store.writing() as transaction:
        for new in (draft(1), draft(1, "b0"), draft(2, person="Kim"), draft(3, state="issued")):
            add_draft(transaction, new)
    with store.reading() as transaction:
        assert [kept.number for kept in drafts_of(transaction, "links", "b1")] == [3, 2, 1]
        assert newest_draft(transaction, "links", "b1") == draft(3, state="issued")
        assert newest_draft(transaction, "links", "b9") is None
        newest = [(kept.bunker_id, kept.number) for kept in newest_drafts(transaction, "links")]
    assert newest == [("b0", 1), ("b1", 3)]


def test_one_number_of_a_draft_is_saved_once(store):
    with store.writing() as transaction:
        add_draft(transaction, draft(1))
    with pytest.raises(StoreError, match="UNIQUE"), store.writing() as transaction:
        add_draft(transaction, draft(1, person="Kim"))
    with store.reading() as transaction:
        assert newest_draft(transaction, "links", "b1") == draft(1)


@pytest.mark.parametrize("table", ["draft", "issue"])
def test_a_save_and_an_issue_are_never_changed(store, table):
    issue = Issue("links", "b1", "B", 1, "draft 3", "Ada", "a drain", NOON, ("drain-4: 0.80 m",))
    with store.writing() as transaction:
        add_draft(transaction, draft(1))
        add_issue(transaction, issue)
    with pytest.raises(StoreError, match="only ever added"), store.writing() as transaction:
        transaction.execute(text(f"UPDATE {table} SET person = 'Kim'"))
    with store.reading() as transaction:
        assert issues_of(transaction, "links") == (issue,)
        assert issues_of(transaction, "other") == ()


def test_an_older_database_tells_of_its_confirmed_captures(settings):
    settings.data_dir.mkdir()
    engine = create_engine(f"sqlite:///{settings.data_dir / DATABASE_FILE}")
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    told = (
        "capture 5f-1 as revision D of bunker 4-right, confirmed by Ada of bunker fame, confirmed by no one"
    )
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0004")
        for loaded_from in ("sample_sites/links", told):
            connection.execute(
                text("INSERT INTO site_version VALUES (NULL, 'links', 'c', 'doc', :at, :told)"),
                {"at": "2026-05-01T12:00:00.000Z", "told": loaded_from},
            )
    engine.dispose()
    opened = open_store(settings)
    with opened.reading() as transaction:
        (issue,) = issues_of(transaction, "links")
    opened.close()
    assert issue == Issue(
        "links", "4-right", "D", 2, "capture 5f-1", "Ada of bunker fame, confirmed by no one", "", NOON
    )
