"""Drafts of bunkers: every save is a row of its own, numbered from 1; the newest stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import Connection, Row, func, insert, select

from fieldapp.formats.records import moment_text
from fieldapp.store.tables import DRAFT

WHOLE_SITE = ""
"""Stands in the place of a bunker's id where the draft is of the whole site (`formats/site_draft.py`)."""
PLACES = "#places"
"""Likewise where it is a record of a place for a site that does not stand yet (`store/draft_places.py`)."""

DraftState = Literal["open", "issued", "given up"]


@dataclass(frozen=True)
class KeptDraft:
    """A save of a draft of a bunker, or of the whole site; `document` is the text of it."""

    site_id: str
    bunker_id: str
    number: int
    state: DraftState
    document: str
    person: str
    made_at: datetime


def add_draft(connection: Connection, new: KeptDraft) -> None:
    """Add a save; its number must be the next of its bunker."""
    connection.execute(insert(DRAFT).values({**vars(new), "made_at": moment_text(new.made_at)}))


def newest_draft(connection: Connection, site_id: str, bunker_id: str) -> KeptDraft | None:
    """Return the newest save of a bunker's draft; None where there never was one."""
    kept = drafts_of(connection, site_id, bunker_id, limit=1)
    return kept[0] if kept else None


def drafts_of(
    connection: Connection, site_id: str, bunker_id: str, limit: int | None = None
) -> list[KeptDraft]:
    """Return the saves of a bunker's draft, newest first."""
    table = DRAFT.c
    query = select(DRAFT).where(table.site_id == site_id, table.bunker_id == bunker_id)
    return [_kept(row) for row in connection.execute(query.order_by(table.number.desc()).limit(limit))]


def newest_drafts(connection: Connection, site_id: str) -> list[KeptDraft]:
    """Return the newest save of every bunker's draft, in the order of the bunkers' ids."""
    table = DRAFT.c
    bunkers = table.bunker_id.not_in((WHOLE_SITE, PLACES))
    newest = select(func.max(table.sequence)).where(table.site_id == site_id, bunkers)
    newest = newest.group_by(table.bunker_id)
    query = select(DRAFT).where(table.sequence.in_(newest)).order_by(table.bunker_id)
    return [_kept(row) for row in connection.execute(query)]


def all_drafts(connection: Connection, site_id: str) -> list[KeptDraft]:
    """Return every save of every draft of a site, oldest first."""
    query = select(DRAFT).where(DRAFT.c.site_id == site_id).order_by(DRAFT.c.sequence)
    return [_kept(row) for row in connection.execute(query)]


def drafted_sites(connection: Connection) -> list[KeptDraft]:
    """Return the newest save of every draft of a whole site, in the order in which the sites were begun."""
    table = DRAFT.c
    newest = select(func.max(table.sequence)).where(table.bunker_id == WHOLE_SITE).group_by(table.site_id)
    query = select(DRAFT).where(table.sequence.in_(newest)).order_by(table.sequence)
    return [_kept(row) for row in connection.execute(query)]


def _kept(row: Row[Any]) -> KeptDraft:
    return KeptDraft(
        site_id=row.site_id,
        bunker_id=row.bunker_id,
        number=row.number,
        state=row.state,
        document=row.document,
        person=row.person,
        made_at=datetime.fromisoformat(row.made_at),
    )
