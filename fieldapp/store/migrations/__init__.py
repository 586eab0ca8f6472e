"""Versions of the tables, oldest first; run by `store.engine.open_store`."""
