"""Pictures to draw over: only ever added; one that is taken off has a row that says so."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select

from fieldapp.formats.records import moment_text
from fieldapp.store.tables import BACKDROP, BACKDROP_GONE


@dataclass(frozen=True)
class Backdrop:
    """A picture that is shown, without its content; `world` are the six numbers to course metres."""

    id: str
    site_id: str
    name: str
    media_type: str
    width: int
    height: int
    world: tuple[float, ...]
    fitted_by: str
    person: str
    made_at: datetime


def add_backdrop(connection: Connection, new: Backdrop, content: bytes) -> None:
    """Add a picture; its id must be new."""
    values = {
        **vars(new),
        "world": json.dumps(new.world),
        "made_at": moment_text(new.made_at),
        "content": content,
    }
    connection.execute(insert(BACKDROP).values(values))


def standing_backdrops(connection: Connection, site_id: str) -> tuple[Backdrop, ...]:
    """Return the pictures of a site that were not taken off, oldest first."""
    table = BACKDROP.c
    columns = [column for column in BACKDROP.c if column.name != "content"]
    gone = select(BACKDROP_GONE.c.backdrop)
    query = select(*columns).where(table.site_id == site_id, table.id.not_in(gone)).order_by(table.sequence)
    return tuple(_backdrop(row) for row in connection.execute(query))


def backdrop_content(connection: Connection, site_id: str, backdrop_id: str) -> bytes | None:
    """Return the picture itself, also of one that was taken off; None where it was never held."""
    query = select(BACKDROP.c.content).where(BACKDROP.c.id == backdrop_id, BACKDROP.c.site_id == site_id)
    return connection.execute(query).scalar()


def take_off(connection: Connection, backdrop_id: str, person: str, at: datetime) -> None:
    """Say that a picture is taken off; it must be held and stand."""
    values = {"backdrop": backdrop_id, "person": person, "made_at": moment_text(at)}
    connection.execute(insert(BACKDROP_GONE).values(values))


def _backdrop(row: Row[Any]) -> Backdrop:
    return Backdrop(
        id=row.id,
        site_id=row.site_id,
        name=row.name,
        media_type=row.media_type,
        width=row.width,
        height=row.height,
        world=tuple(json.loads(row.world)),
        fitted_by=row.fitted_by,
        person=row.person,
        made_at=datetime.fromisoformat(row.made_at),
    )
