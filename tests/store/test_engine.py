"""Opening the database: migrations, what it refuses, and that rows are only ever added."""

import ast
import re
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, text
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

import fieldapp.store
from fieldapp.errors import StoreError
from fieldapp.settings import DATABASE_FILE, Settings
from fieldapp.store.engine import open_held_store, open_store
from fieldapp.store.records import add_records, held_records
from fieldapp.store.tables import METADATA

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def test_migrations_from_nothing_make_the_tables_that_the_code_expects(settings):
    open_store(settings).close()
    engine = create_engine(f"sqlite:///{settings.data_dir / DATABASE_FILE}")
    with engine.connect() as connection:
        found = inspect(connection)
        assert set(found.get_table_names()) == {*METADATA.tables, "alembic_version"}
        for name, table in METADATA.tables.items():
            there = {
                (column["name"], str(column["type"]), column["nullable"])
                for column in found.get_columns(name)
            }
            wanted = {
                (column.name, column.type.compile(engine.dialect), column.nullable)
                for column in table.columns
            }
            assert there == wanted
            indexes = {index["name"] for index in found.get_indexes(name)}
            assert indexes == {index.name for index in table.indexes}
    engine.dispose()


def test_the_tables_can_be_made_in_another_database_too():
    made = "\n".join(
        str(CreateTable(table).compile(dialect=postgresql.dialect())) for table in METADATA.tables.values()
    )
    assert made.count("BIGSERIAL NOT NULL") == len(METADATA.tables)
    assert "DOUBLE PRECISION" in made
    assert "AUTOINCREMENT" not in made


def test_opening_again_keeps_what_is_held(settings, store, add, mark):
    add(mark(1))
    store.close()
    again = open_held_store(settings)
    with again.reading() as transaction:
        assert [item.record.id for item in held_records(transaction)] == ["mark-0001"]
    again.close()


def test_many_openings_at_once_migrate_once(settings):
    faults = []

    def opening():
        try:
            open_store(settings).close()
        except Exception as fault:
            faults.append(fault)

    threads = [threading.Thread(target=opening) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []


def test_sqlite_is_told_to_flush_at_every_commit_and_to_keep_references(store):
    with store.writing() as transaction:
        read = {
            name: transaction.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    assert read == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 30_000}


@pytest.mark.parametrize("table", ["field_record", "site_version"])
@pytest.mark.parametrize("statement", ["UPDATE {} SET site_id = 'x'", "DELETE FROM {}"])
def test_the_database_itself_refuses_to_change_or_delete_a_row(store, table, statement, add, held, mark):
    add(mark(1))
    with pytest.raises(StoreError, match="only ever added"), store.writing() as transaction:
        transaction.execute(text(statement.format(table)))
    assert len(held()) == 1


def test_the_code_of_the_store_holds_no_update_and_no_delete():
    for module in Path(fieldapp.store.__file__).parent.rglob("*.py"):
        tree = ast.parse(module.read_text(encoding="utf-8"))
        called = {
            node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            for node in ast.walk(tree)
            if isinstance(node, ast.Call)
        }
        assert not called & {"update", "delete", "merge", "drop_table"}, module
        texts = [
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        ]
        assert not [
            found for found in texts if re.match(r"\s*(update|delete from|drop|replace)\s", found, re.I)
        ], module


def test_only_the_engine_speaks_sqlite():
    for module in Path(fieldapp.store.__file__).parent.rglob("*.py"):
        if module.name != "engine.py":
            assert not re.search(
                r"PRAGMA|OR IGNORE|ON CONFLICT|TRIGGER|rowid", module.read_text(encoding="utf-8")
            ), module


def test_a_transaction_that_fails_leaves_nothing(store, held, mark, new):
    def fail_half_way():
        with store.writing() as transaction:
            add_records(transaction, [new(mark(1))])
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_half_way()
    assert held() == []


def test_a_folder_without_data_is_refused_and_left_alone(tmp_path):
    with pytest.raises(StoreError, match="no fieldapp data"):
        open_held_store(Settings(data_dir=tmp_path / "nowhere"))
    assert not (tmp_path / "nowhere").exists()


def test_a_data_folder_that_is_a_file_is_refused(tmp_path):
    (tmp_path / "data").write_text("")
    with pytest.raises(StoreError, match="cannot be made"):
        open_store(Settings(data_dir=tmp_path / "data"))


def test_a_file_that_is_no_database_is_refused(tmp_path):
    (tmp_path / DATABASE_FILE).write_text("not a database " * 100)
    with pytest.raises(StoreError, match="not a database"):
        open_store(Settings(data_dir=tmp_path))


def test_data_of_a_newer_release_is_refused(settings, store):
    store.close()
    engine = create_engine(f"sqlite:///{settings.data_dir / DATABASE_FILE}")
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    engine.dispose()
    with pytest.raises(StoreError, match="newer fieldapp"):
        open_store(settings)


@pytest.mark.parametrize("url", ["nonsense", "sqlitee:///x", "postgresql+nodriver://x/y"])
def test_a_database_address_that_cannot_be_used_is_refused_in_words(tmp_path, url):
    with pytest.raises(StoreError, match="FIELDAPP_DATABASE_URL"):
        open_store(Settings(data_dir=tmp_path, database_url=url))


def test_another_database_address_is_used_instead_of_the_data_folder(tmp_path):
    settings = Settings(data_dir=tmp_path / "unused", database_url=f"sqlite:///{tmp_path / 'other.sqlite'}")
    open_store(settings).close()
    open_held_store(settings).close()
    assert (tmp_path / "other.sqlite").is_file()
    assert not (tmp_path / "unused").exists()
