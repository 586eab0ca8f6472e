"""Runs the migrations inside the transaction that `store.engine` has begun."""

from __future__ import annotations

from alembic import context

from fieldapp.store.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"], target_metadata=METADATA, transactional_ddl=True
)
context.run_migrations()
