"""Photos taken at pegs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from fieldapp.store.engine import forbid_changes

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

SEQUENCE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "photo",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("id", sa.String(64), nullable=False, unique=True),
        sa.Column("site_id", sa.String(200), nullable=False),
        sa.Column("sent_hash", sa.String(64), nullable=False),
        sa.Column("media_type", sa.String(40), nullable=False),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("received_at", sa.String(40), nullable=False),
        sa.Column("came_by", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("photo_by_site", "photo", ["site_id", "sequence"])
    forbid_changes(op.get_bind(), "photo")
