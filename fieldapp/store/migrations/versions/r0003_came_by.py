"""By which link a field record came; those held already came by none that is known."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("field_record", sa.Column("came_by", sa.Text, nullable=False, server_default=""))
