"""The database: opening, bringing up to date, transactions. All that only SQLite knows is here."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any, TypeVar

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, SQLAlchemyError

from fieldapp.errors import StoreError
from fieldapp.settings import DATABASE_FILE, Settings

BUSY_TIMEOUT_S = 30
MOST_CONNECTIONS = 20
"""More than the server has threads, so that nobody waits for a connection."""
WRITES = "fieldapp_writes"
PRAGMAS = (
    f"busy_timeout={BUSY_TIMEOUT_S * 1000}",
    "synchronous=FULL",
    "foreign_keys=ON",
    "wal_autocheckpoint=8000",
)
"""Every commit is flushed to the log. The log, some 32 MB at most, is written back seldom, since all wait for that."""
Item = TypeVar("Item")
Answer = TypeVar("Answer")
Transaction = Connection
"""What `reading` and `writing` give, by a name that the layers above may use."""
MIGRATIONS = Path(__file__).resolve().parent / "migrations"


class Store:
    """The open database. `reading` and `writing` are its transactions; every one is all or nothing.

    SQLite has one writer at a time and lets the others try again by chance; so the threads here take turns.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._turns = threading.Lock() if engine.dialect.name == "sqlite" else nullcontext()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Read in one consistent view; raises StoreError."""
        with self._transaction(writes=False) as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Write; what was written is on disk once the block was left without an error. Raises StoreError."""
        with self._turns, self._transaction(writes=True) as connection:
            yield connection

    def write_all(
        self, work: Callable[[Connection, list[Item]], list[Answer]], items: Sequence[Item]
    ) -> list[Answer | Exception]:
        """Write items by `work` in one transaction; return for each its answer, or why it could not be written.

        `work` gets all of them and gives an answer for each. Where it fails, each is written by itself, so that no item
        takes another with it.
        """
        try:
            with self.writing() as connection:
                answers: list[Answer | Exception] = list(work(connection, list(items)))
        except Exception as fault:
            if len(items) == 1:
                return [fault]
            return [answer for item in items for answer in self.write_all(work, [item])]
        return answers

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    @contextmanager
    def _transaction(self, writes: bool) -> Iterator[Connection]:
        try:
            with self._engine.connect() as connection:
                connection = connection.execution_options(**{WRITES: writes})
                with connection.begin():
                    yield connection
        except SQLAlchemyError as fault:
            raise StoreError(f"The database cannot be used: {_reason(fault)}.") from fault


def open_store(settings: Settings) -> Store:
    """Open the database, making it or bringing its tables up to date where needed; raises StoreError."""
    if not settings.database_url:
        _make_data_folder(settings.data_dir)
    url = database_url(settings)
    try:
        engine = create_engine(url, pool_size=MOST_CONNECTIONS, max_overflow=0)
    except (ArgumentError, ImportError, SQLAlchemyError) as fault:
        raise StoreError(
            f"FIELDAPP_DATABASE_URL cannot be used: {_reason(fault)}; "
            "give an SQLAlchemy address and install its driver."
        ) from fault
    if engine.dialect.name == "sqlite":
        _speak_sqlite(engine)
    store = Store(engine)
    try:
        with store.writing() as connection:
            _bring_up_to_date(connection)
    except StoreError:
        store.close()
        raise
    return store


def open_held_store(settings: Settings) -> Store:
    """Open a database that must be there already; raises StoreError."""
    file = settings.data_dir / DATABASE_FILE
    if not settings.database_url and not file.is_file():
        raise StoreError(
            f"There is no fieldapp data in '{settings.data_dir}'; give the folder that was given to "
            "'fieldapp serve', 'fieldapp demo' or 'fieldapp site load' with --data."
        )
    return open_store(settings)


def database_url(settings: Settings) -> URL:
    """Return the address of the database; raises StoreError."""
    if not settings.database_url:
        return URL.create("sqlite+pysqlite", database=str(settings.data_dir / DATABASE_FILE))
    try:
        return make_url(settings.database_url)
    except ArgumentError as fault:
        raise StoreError(
            "FIELDAPP_DATABASE_URL is not an SQLAlchemy address, such as postgresql+psycopg://user@host/name."
        ) from fault


def forbid_changes(connection: Connection, table: str) -> None:
    """Make the database itself refuse to change or delete rows of a table, where it is SQLite."""
    if connection.dialect.name != "sqlite":
        return
    for verb in ("UPDATE", "DELETE"):
        connection.execute(
            text(
                f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, 'rows of {table} are only ever added'); END"
            )
        )


def _make_data_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise StoreError(
            f"The data folder '{folder}' cannot be made: {fault.strerror}; choose another with --data."
        ) from fault


def _speak_sqlite(engine: Engine) -> None:
    """Log ahead, and flush to the disk at every commit: what was acknowledged survives a power cut."""

    @event.listens_for(engine, "connect")
    def _prepare(dbapi_connection: Any, _record: Any) -> None:
        dbapi_connection.isolation_level = None
        for pragma in PRAGMAS:
            dbapi_connection.execute(f"PRAGMA {pragma}").close()
        _write_ahead(dbapi_connection)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get(WRITES, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _write_ahead(dbapi_connection: Any) -> None:
    """Turn the write-ahead log on; SQLite does not wait by itself while another opening does the same."""
    until = time.monotonic() + BUSY_TIMEOUT_S
    while True:
        try:
            dbapi_connection.execute("PRAGMA journal_mode=WAL").close()
            return
        except sqlite3.OperationalError:
            if time.monotonic() > until:
                raise
            time.sleep(0.02)


def _bring_up_to_date(connection: Connection) -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    scripts = ScriptDirectory.from_config(config)
    held = MigrationContext.configure(connection).get_current_revision()
    if held == scripts.get_current_head():
        return
    if held is not None and held not in {script.revision for script in scripts.walk_revisions()}:
        raise StoreError("The data was written by a newer fieldapp; install that version or a later one.")
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _reason(fault: BaseException) -> str:
    told = fault.orig if isinstance(fault, DBAPIError) and fault.orig is not None else fault
    return " ".join(str(told).split()).rstrip(".") or type(told).__name__
