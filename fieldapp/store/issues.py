"""Revisions that were issued here: only ever added."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select

from fieldapp.formats.records import moment_text
from fieldapp.store.tables import ISSUE


@dataclass(frozen=True)
class Issue:
    """A revision that was issued: `site_version` is the sequence of the site version it made.

    `came_from` is "draft 7" or "capture <id>"; `acknowledged` what it comes too near to, as it was told then.
    """

    site_id: str
    bunker_id: str
    revision: str
    site_version: int
    came_from: str
    person: str
    why: str
    issued_at: datetime
    acknowledged: tuple[str, ...] = ()


def add_issue(connection: Connection, new: Issue) -> None:
    """Add an issue."""
    values = {
        **vars(new),
        "issued_at": moment_text(new.issued_at),
        "acknowledged": json.dumps(list(new.acknowledged), ensure_ascii=False),
    }
    connection.execute(insert(ISSUE).values(values))


def issues_of(connection: Connection, site_id: str) -> tuple[Issue, ...]:
    """Return the revisions that were issued of a site, oldest first."""
    query = select(ISSUE).where(ISSUE.c.site_id == site_id).order_by(ISSUE.c.sequence)
    return tuple(
        Issue(
            site_id=row.site_id,
            bunker_id=row.bunker_id,
            revision=row.revision,
            site_version=row.site_version,
            came_from=row.came_from,
            person=row.person,
            why=row.why,
            issued_at=datetime.fromisoformat(row.issued_at),
            acknowledged=tuple(json.loads(row.acknowledged)),
        )
        for row in connection.execute(query)
    )
