"""Pictures to draw over: only ever added; one that is taken off has a row that says so."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, insert, select

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


@dataclass(frozen=True)
class HeldBackdrop:
    """A picture that is held; `gone_by` and `gone_at` say who took it off and when, empty and None where it stands."""

    backdrop: Backdrop
    gone_by: str
    gone_at: datetime | None


def all_backdrops(connection: Connection, site_id: str) -> tuple[HeldBackdrop, ...]:
    """Return every picture of a site, also those that were taken off, oldest first."""
    return _held(connection, BACKDROP.c.site_id == site_id)


def held_backdrop(connection: Connection, backdrop_id: str) -> HeldBackdrop | None:
    """Return a picture of any site by its id; None where it is not held."""
    found = _held(connection, BACKDROP.c.id == backdrop_id)
    return found[0] if found else None


def standing_backdrops(connection: Connection, site_id: str) -> tuple[Backdrop, ...]:
    """Return the pictures of a site that were not taken off, oldest first."""
    return tuple(held.backdrop for held in all_backdrops(connection, site_id) if held.gone_at is None)


def backdrop_content(connection: Connection, site_id: str, backdrop_id: str) -> bytes | None:
    """Return the picture itself, also of one that was taken off; None where it was never held."""
    query = select(BACKDROP.c.content).where(BACKDROP.c.id == backdrop_id, BACKDROP.c.site_id == site_id)
    return connection.execute(query).scalar()


def take_off(connection: Connection, backdrop_id: str, person: str, at: datetime) -> None:
    """Say that a picture is taken off; it must be held and stand."""
    values = {"backdrop": backdrop_id, "person": person, "made_at": moment_text(at)}
    connection.execute(insert(BACKDROP_GONE).values(values))


def _held(connection: Connection, which: ColumnElement[bool]) -> tuple[HeldBackdrop, ...]:
    gone = BACKDROP_GONE.c
    columns = [column for column in BACKDROP.c if column.name != "content"]
    query = (
        select(*columns, gone.person.label("gone_by"), gone.made_at.label("gone_at"))
        .outerjoin(BACKDROP_GONE, gone.backdrop == BACKDROP.c.id)
        .where(which)
        .order_by(BACKDROP.c.sequence)
    )
    return tuple(
        HeldBackdrop(
            _backdrop(row), row.gone_by or "", datetime.fromisoformat(row.gone_at) if row.gone_at else None
        )
        for row in connection.execute(query)
    )


def _backdrop(row: Any) -> Backdrop:
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
