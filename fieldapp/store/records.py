"""Field records in the store: added once by their id, never changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import Connection, Row, Select, bindparam, insert, select
from sqlalchemy.exc import IntegrityError

from fieldapp.formats.records import SentRecord, moment_text, read_held_text
from fieldapp.model import HeldRecord, Mark
from fieldapp.store.tables import FIELD_RECORD

Outcome = Literal["new", "held", "contradicts"]
ADDING = insert(FIELD_RECORD)
BODY_BY_ID = select(FIELD_RECORD.c.body).where(FIELD_RECORD.c.id == bindparam("wanted"))


@dataclass(frozen=True)
class NewRecord:
    """A record to be held, with what the server found out about it through the grid of `site_version`."""

    sent: SentRecord
    site_version: int
    received_at: datetime
    course_xy: tuple[float, float] | None
    off_m: float | None
    remarks: str


def add_record(connection: Connection, new: NewRecord) -> Outcome:
    """Add a record unless one of its id is held: "held" if that is the same, "contradicts" if another."""
    outcome = _held_already(connection, new)
    if outcome is not None:
        return outcome
    try:
        with connection.begin_nested():
            connection.execute(ADDING, _values(new))
    except IntegrityError:
        outcome = _held_already(connection, new)
        if outcome is None:
            raise
        return outcome
    return "new"


def held_records(
    connection: Connection, site_id: str | None = None, hole: int | None = None
) -> list[HeldRecord]:
    """Return the records, oldest first, of one site or all, of one hole or all."""
    query = select(FIELD_RECORD).order_by(FIELD_RECORD.c.sequence)
    if hole is not None:
        query = query.where(FIELD_RECORD.c.hole == hole)
    undone = _undone(connection, site_id)
    return [_held(row, undone) for row in connection.execute(_of_site(query, site_id))]


def marked_revisions(connection: Connection, site_id: str) -> set[tuple[str, str]]:
    """Return the bunkers and revisions that real marks are held of, taken back or not."""
    table = FIELD_RECORD.c
    query = select(table.bunker, table.revision).where(table.kind == "mark", table.practice.is_(False))
    return {
        (bunker, revision) for bunker, revision in connection.execute(_of_site(query.distinct(), site_id))
    }


def newest_sequence(connection: Connection, site_id: str) -> int:
    """Return the sequence number of the newest record of a site; 0 when there is none."""
    query = _of_site(select(FIELD_RECORD.c.sequence), site_id)
    return connection.execute(query.order_by(FIELD_RECORD.c.sequence.desc()).limit(1)).scalar() or 0


def _of_site(query: Select[Any], site_id: str | None) -> Select[Any]:
    return query if site_id is None else query.where(FIELD_RECORD.c.site_id == site_id)


def _held_already(connection: Connection, new: NewRecord) -> Outcome | None:
    body = connection.execute(BODY_BY_ID, {"wanted": new.sent.record.id}).scalar()
    if body is None:
        return None
    return "held" if body == new.sent.text else "contradicts"


def _values(new: NewRecord) -> dict[str, Any]:
    record = new.sent.record
    values = {
        "id": record.id,
        "site_id": record.site,
        "site_version": new.site_version,
        "hole": record.hole,
        "kind": record.kind,
        "practice": record.practice,
        "person": record.person,
        "device": record.device,
        "made_at": moment_text(record.made_at),
        "received_at": moment_text(new.received_at),
        "course_x": None if new.course_xy is None else new.course_xy[0],
        "course_y": None if new.course_xy is None else new.course_xy[1],
        "off_m": new.off_m,
        "remarks": new.remarks,
        "body": new.sent.text,
    }
    if not isinstance(record, Mark):
        return values | dict.fromkeys(("bunker", "outline", "number", "revision")) | {"undoes": record.undoes}
    target = record.target
    return values | {
        "undoes": None,
        "bunker": target.bunker,
        "outline": target.outline,
        "number": target.number,
        "revision": target.revision,
    }


_Undone = dict[tuple[str, str, bool], str]


def _undone(connection: Connection, site_id: str | None) -> _Undone:
    """Return which undo took back which record first; a practice undo takes back practice only."""
    table = FIELD_RECORD.c
    query = select(table.site_id, table.undoes, table.practice, table.id).where(table.kind == "undo")
    undone: _Undone = {}
    for site, undoes, practice, undo in connection.execute(_of_site(query.order_by(table.sequence), site_id)):
        undone.setdefault((site, undoes, practice), undo)
    return undone


def _held(row: Row[Any], undone: _Undone) -> HeldRecord:
    is_mark = row.kind == "mark"
    return HeldRecord(
        record=read_held_text(row.body),
        sequence=row.sequence,
        received_at=datetime.fromisoformat(row.received_at),
        course_xy=None if row.course_x is None else (row.course_x, row.course_y),
        off_m=row.off_m,
        undone_by=undone.get((row.site_id, row.id, row.practice)) if is_mark else None,
        remarks=row.remarks,
    )
