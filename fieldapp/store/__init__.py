"""Store: what is kept, in a database; the only rooms that know SQLAlchemy."""
