"""The first tables: versions of sites, and field records."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from fieldapp.store.engine import forbid_changes

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

SEQUENCE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "site_version",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("site_id", sa.String(200), nullable=False),
        sa.Column("content_id", sa.String(64), nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("loaded_at", sa.String(40), nullable=False),
        sa.Column("loaded_from", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("site_version_by_site", "site_version", ["site_id", "sequence"])
    op.create_table(
        "field_record",
        sa.Column("sequence", SEQUENCE, primary_key=True, autoincrement=True),
        sa.Column("id", sa.String(64), nullable=False, unique=True),
        sa.Column("site_id", sa.String(200), nullable=False),
        sa.Column("site_version", SEQUENCE, sa.ForeignKey("site_version.sequence"), nullable=False),
        sa.Column("hole", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("bunker", sa.Text),
        sa.Column("outline", sa.Text),
        sa.Column("number", sa.Integer),
        sa.Column("revision", sa.Text),
        sa.Column("practice", sa.Boolean, nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("received_at", sa.String(40), nullable=False),
        sa.Column("undoes", sa.String(64)),
        sa.Column("course_x", sa.Double),
        sa.Column("course_y", sa.Double),
        sa.Column("off_m", sa.Double),
        sa.Column("remarks", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("field_record_by_site", "field_record", ["site_id", "sequence"])
    op.create_index("field_record_by_undoes", "field_record", ["undoes"])
    for table in ("site_version", "field_record"):
        forbid_changes(op.get_bind(), table)
