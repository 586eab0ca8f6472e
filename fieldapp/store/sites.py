"""Versions of sites in the store: added, never changed; the newest of a site stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, func, insert, select

from fieldapp.formats.records import moment_text
from fieldapp.store.tables import SITE_VERSION


@dataclass(frozen=True)
class SiteVersion:
    """A version of a site as loaded; `document` is its whole text."""

    sequence: int
    site_id: str
    content_id: str
    document: str
    loaded_at: datetime
    loaded_from: str


def add_version(
    connection: Connection,
    site_id: str,
    content_id: str,
    document: str,
    loaded_at: datetime,
    loaded_from: str,
) -> int:
    """Add a version, which then stands; return its sequence number."""
    done = connection.execute(
        insert(SITE_VERSION).values(
            site_id=site_id,
            content_id=content_id,
            document=document,
            loaded_at=moment_text(loaded_at),
            loaded_from=loaded_from,
        )
    )
    return int(done.inserted_primary_key[0]) if done.inserted_primary_key else 0


def standing_version(connection: Connection, site_id: str) -> SiteVersion | None:
    """Return the version of a site that stands; None when the site was never loaded."""
    newest = versions(connection, site_id, limit=1)
    return newest[0] if newest else None


def versions(connection: Connection, site_id: str, limit: int | None = None) -> list[SiteVersion]:
    """Return the versions of a site, newest first."""
    table = SITE_VERSION.c
    query = select(SITE_VERSION).where(table.site_id == site_id).order_by(table.sequence.desc()).limit(limit)
    return [_version(row) for row in connection.execute(query)]


def version_at(connection: Connection, site_id: str, sequence: int) -> SiteVersion | None:
    """Return the version of a site that has a sequence number; None where it has none of it."""
    table = SITE_VERSION.c
    query = select(SITE_VERSION).where(table.site_id == site_id, table.sequence == sequence)
    row = connection.execute(query).first()
    return None if row is None else _version(row)


def site_ids(connection: Connection) -> list[str]:
    """Return the ids of all sites, in the order they were first loaded."""
    table = SITE_VERSION.c
    query = select(table.site_id).group_by(table.site_id).order_by(func.min(table.sequence))
    return list(connection.execute(query).scalars())


def _version(row: Row[Any]) -> SiteVersion:
    return SiteVersion(
        sequence=row.sequence,
        site_id=row.site_id,
        content_id=row.content_id,
        document=row.document,
        loaded_at=datetime.fromisoformat(row.loaded_at),
        loaded_from=row.loaded_from,
    )
