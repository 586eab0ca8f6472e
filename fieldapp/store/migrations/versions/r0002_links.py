"""Invitation links, the devices they let in, and their ends."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from fieldapp.store.engine import forbid_changes

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

SEQUENCE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "link",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("id", sa.String(20), nullable=False, unique=True),
        sa.Column("token_hash", sa.String(64), nullable=False, unique=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.String(10), nullable=False),
        sa.Column("is_crew", sa.Boolean, nullable=False),
        sa.Column("most_devices", sa.Integer, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("ends_at", sa.String(40)),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "link_device",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("link", SEQUENCE, sa.ForeignKey("link.sequence"), nullable=False),
        sa.Column("cookie_hash", sa.String(64), nullable=False, unique=True),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("link_device_by_link", "link_device", ["link"])
    op.create_table(
        "link_end",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("link", SEQUENCE, sa.ForeignKey("link.sequence"), nullable=False),
        sa.Column("ended_at", sa.String(40), nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("link_end_by_link", "link_end", ["link"])
    for table in ("link", "link_device", "link_end"):
        forbid_changes(op.get_bind(), table)
