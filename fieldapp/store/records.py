"""Field records in the store: added once by their id, never changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Literal

from sqlalchemy import Connection, Dialect, FromClause, Row, Select, and_, bindparam, exists, insert, select
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.sql.elements import ColumnElement

from fieldapp.formats.record_text import same_content
from fieldapp.formats.records import SentRecord, moment_text, read_held_text
from fieldapp.model import (
    Capture,
    FieldRecord,
    HeldRecord,
    Mark,
    Morning,
    PegReport,
    Taped,
    Undo,
    YardageCheck,
)
from fieldapp.store.tables import FIELD_RECORD

Outcome = Literal["new", "held", "contradicts"]
ADDING = insert(FIELD_RECORD)
COLUMNS = tuple(column.name for column in FIELD_RECORD.c if column.name != "sequence")
BODIES = select(FIELD_RECORD.c.id, FIELD_RECORD.c.body).where(
    FIELD_RECORD.c.id.in_(bindparam("wanted", expanding=True))
)
MOST_ASKED = 500
SAME_IN_BOTH = ("site_id", "hole", "practice", "device")
"""What an undo and the record it names must have alike, or it takes nothing back."""
_UNDO = FIELD_RECORD.alias()
_NAMED = FIELD_RECORD.alias()


def _takes_back(undo: FromClause, named: FromClause) -> ColumnElement[bool]:
    alike = (undo.c[name] == named.c[name] for name in SAME_IN_BOTH)
    return and_(undo.c.undoes == named.c.id, *alike)


LATE = (
    select(
        FIELD_RECORD.c.kind,
        FIELD_RECORD.c.practice,
        FIELD_RECORD.c.undoes,
        FIELD_RECORD.c.off_m,
        FIELD_RECORD.c.body,
        exists().where(_takes_back(_UNDO, FIELD_RECORD)).label("undone"),
        exists().where(_takes_back(FIELD_RECORD, _NAMED)).label("takes_back"),
    )
    .where(
        FIELD_RECORD.c.site_id == bindparam("site"),
        FIELD_RECORD.c.hole == bindparam("hole"),
        FIELD_RECORD.c.sequence > bindparam("since"),
    )
    .order_by(FIELD_RECORD.c.sequence)
)


@dataclass(frozen=True)
class NewRecord:
    """A record to be held, with what the server found out about it through the grid of `site_version`."""

    sent: SentRecord
    site_version: int
    received_at: datetime
    course_xy: tuple[float, float] | None
    off_m: float | None
    remarks: str
    came_by: str = ""


def add_records(connection: Connection, news: Sequence[NewRecord]) -> list[Outcome]:
    """Add each record unless one of its id is held: "held" if that is the same, "contradicts" if another."""
    bodies = held_bodies(connection, [new.sent.record.id for new in news])
    outcomes: list[Outcome] = []
    missing: list[NewRecord] = []
    for new in news:
        body = bodies.get(new.sent.record.id)
        if body is None:
            bodies[new.sent.record.id] = new.sent.text
            missing.append(new)
            outcomes.append("new")
        else:
            outcomes.append("held" if same_content(body, new.sent.text) else "contradicts")
    if missing:
        _add_rows(connection, [_row(new) for new in missing])
    return outcomes


def _add_rows(connection: Connection, rows: list[tuple[Any, ...]]) -> None:
    """Add rows of COLUMNS, where it can be by the driver itself: they need none of what SQLAlchemy would look for."""
    adding = _adding(connection.dialect)
    if adding.positiontup is None:
        connection.execute(ADDING, [dict(zip(COLUMNS, row, strict=True)) for row in rows])
    else:
        connection.exec_driver_sql(str(adding), rows)


@lru_cache(maxsize=4)
def _adding(dialect: Dialect) -> SQLCompiler:
    compiled = ADDING.values({name: bindparam(name) for name in COLUMNS}).compile(dialect=dialect)
    assert isinstance(compiled, SQLCompiler)
    assert compiled.positiontup in (None, list(COLUMNS))
    return compiled


def held_bodies(connection: Connection, ids: Sequence[str]) -> dict[str, str]:
    """Return the texts of those records of these ids that are held."""
    found: dict[str, str] = {}
    for start in range(0, len(ids), MOST_ASKED):
        rows = connection.execute(BODIES, {"wanted": list(ids[start : start + MOST_ASKED])})
        found |= {row.id: row.body for row in rows}
    return found


def held_records(
    connection: Connection,
    site_id: str | None = None,
    hole: int | None = None,
    kinds: Sequence[str] | None = None,
) -> list[HeldRecord]:
    """Return the records, oldest first, of one site or all, of one hole or all, of some kinds or all."""
    query = select(FIELD_RECORD).order_by(FIELD_RECORD.c.sequence)
    if kinds is not None:
        query = query.where(FIELD_RECORD.c.kind.in_(kinds))
    if hole is not None:
        query = query.where(FIELD_RECORD.c.hole == hole)
    undone = _undone(connection, site_id)
    return [_held(row, undone) for row in connection.execute(_of_site(query, site_id))]


def held_texts(connection: Connection, site_id: str) -> list[tuple[FieldRecord, str, datetime, str, str]]:
    """Return the records of a site, oldest first, each with its text, when and by whose link it came, its remarks."""
    query = _of_site(select(FIELD_RECORD).order_by(FIELD_RECORD.c.sequence), site_id)
    return [
        (
            read_held_text(row.body),
            row.body,
            datetime.fromisoformat(row.received_at),
            row.came_by,
            row.remarks,
        )
        for row in connection.execute(query)
    ]


def late_records(connection: Connection, site_id: str, hole: int, since: int) -> Sequence[Row[Any]]:
    """Return what phones are told of records of a hole after a sequence number, oldest first.

    Rows of kind, practice, undoes, off_m, body, undone: whether it is taken back, and takes_back: whether it is an undo
    that takes back a record held.
    """
    return connection.execute(LATE, {"site": site_id, "hole": hole, "since": since}).all()


def marked_revisions(connection: Connection, site_id: str) -> set[tuple[str, str]]:
    """Return the bunkers and revisions that real marks are held of, taken back or not."""
    table = FIELD_RECORD.c
    query = select(table.bunker, table.revision).where(table.kind == "mark", table.practice.is_(False))
    return {
        (bunker, revision) for bunker, revision in connection.execute(_of_site(query.distinct(), site_id))
    }


def newest_sequence(connection: Connection, site_id: str, kinds: Sequence[str] | None = None) -> int:
    """Return the sequence number of the newest record of a site, of some kinds or all; 0 when there is none."""
    query = _of_site(select(FIELD_RECORD.c.sequence), site_id)
    if kinds is not None:
        query = query.where(FIELD_RECORD.c.kind.in_(kinds))
    return connection.execute(query.order_by(FIELD_RECORD.c.sequence.desc()).limit(1)).scalar() or 0


def _of_site(query: Select[Any], site_id: str | None) -> Select[Any]:
    return query if site_id is None else query.where(FIELD_RECORD.c.site_id == site_id)


def _row(new: NewRecord) -> tuple[Any, ...]:
    """Return a row of COLUMNS, in their order."""
    record = new.sent.record
    return (
        record.id,
        record.site,
        new.site_version,
        record.hole,
        record.kind,
        *_target_columns(record),
        record.practice,
        record.person,
        record.device,
        moment_text(record.made_at),
        _received_text(new.received_at),
        record.undoes if isinstance(record, Undo) else None,
        *(new.course_xy or (None, None)),
        new.off_m,
        new.remarks,
        new.sent.text,
        new.came_by,
    )


_received_text = lru_cache(maxsize=64)(moment_text)
"""A batch came at one moment."""


def _target_columns(record: FieldRecord) -> tuple[str | None, str | None, int | None, str | None]:
    """Return bunker, outline, number and revision."""
    if isinstance(record, YardageCheck):
        return record.target.bunker, None, None, record.target.revision
    if isinstance(record, PegReport | Taped):
        return record.bunker, None, None, None
    if isinstance(record, Morning):
        return record.bunker, None, None, record.revision
    if isinstance(record, Capture):
        return record.bunker, record.outline, None, record.revision
    if not isinstance(record, Mark):
        return None, None, None, None
    target = record.target
    return target.bunker, target.outline, target.number, target.revision


_Undone = dict[tuple[Any, ...], str]


def _undone(connection: Connection, site_id: str | None) -> _Undone:
    """Return which undo came first for a record of an id and of what must be alike."""
    table = FIELD_RECORD.c
    alike = (table[name] for name in SAME_IN_BOTH)
    query = select(table.id, table.undoes, *alike).where(table.kind == "undo")
    undone: _Undone = {}
    for undo, *key in connection.execute(_of_site(query.order_by(table.sequence), site_id)):
        undone.setdefault(tuple(key), undo)
    return undone


def _held(row: Row[Any], undone: _Undone) -> HeldRecord:
    key = row.id, *(getattr(row, name) for name in SAME_IN_BOTH)
    return HeldRecord(
        record=read_held_text(row.body),
        sequence=row.sequence,
        received_at=datetime.fromisoformat(row.received_at),
        course_xy=None if row.course_x is None else (row.course_x, row.course_y),
        off_m=row.off_m,
        undone_by=undone.get(key) if row.kind != "undo" else None,
        remarks=row.remarks,
        came_by=row.came_by,
    )
