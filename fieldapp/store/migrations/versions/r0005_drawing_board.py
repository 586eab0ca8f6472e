"""Drafts of bunkers, revisions that were issued, and pictures to draw over."""

from __future__ import annotations

import re

import sqlalchemy as sa
from alembic import op

from fieldapp.store.engine import forbid_changes

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

SEQUENCE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
ISSUED = re.compile(r"(capture \S+) as revision ([A-Z]+) of bunker (.+?), confirmed by (.*)", re.DOTALL)


def upgrade() -> None:
    op.create_table(
        "draft",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("site_id", sa.String(200), nullable=False),
        sa.Column("bunker_id", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("state", sa.String(20), nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.UniqueConstraint("site_id", "bunker_id", "number", name="draft_once"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "issue",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("site_id", sa.String(200), nullable=False),
        sa.Column("bunker_id", sa.Text, nullable=False),
        sa.Column("revision", sa.Text, nullable=False),
        sa.Column("site_version", SEQUENCE, sa.ForeignKey("site_version.sequence"), nullable=False),
        sa.Column("came_from", sa.Text, nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("acknowledged", sa.Text, nullable=False),
        sa.Column("issued_at", sa.String(40), nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("issue_by_site", "issue", ["site_id", "sequence"])
    op.create_table(
        "backdrop",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("id", sa.String(64), nullable=False, unique=True),
        sa.Column("site_id", sa.String(200), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("media_type", sa.String(40), nullable=False),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("world", sa.Text, nullable=False),
        sa.Column("fitted_by", sa.Text, nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("backdrop_by_site", "backdrop", ["site_id", "sequence"])
    op.create_table(
        "backdrop_gone",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("backdrop", sa.String(64), nullable=False, unique=True),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sqlite_autoincrement=True,
    )
    _take_over_issues()
    for table in ("draft", "issue", "backdrop", "backdrop_gone"):
        forbid_changes(op.get_bind(), table)


def _take_over_issues() -> None:
    """What site versions say of captures that were confirmed becomes a row each."""
    version = sa.table("site_version", *map(sa.column, ("sequence", "site_id", "loaded_at", "loaded_from")))
    issue = sa.table(
        "issue",
        *map(
            sa.column,
            (
                "site_id", "bunker_id", "revision", "site_version", "came_from", "person", "why", "acknowledged",
                "issued_at",
            ),
        ),
    )  # fmt: skip
    for row in op.get_bind().execute(sa.select(version).order_by(version.c.sequence)).all():
        found = ISSUED.fullmatch(row.loaded_from)
        if found:
            capture, revision, bunker, person = found.groups()
            op.get_bind().execute(
                sa.insert(issue).values(
                    site_id=row.site_id,
                    bunker_id=bunker,
                    revision=revision,
                    site_version=row.sequence,
                    came_from=capture,
                    person=person,
                    why="",
                    acknowledged="[]",
                    issued_at=row.loaded_at,
                )
            )
