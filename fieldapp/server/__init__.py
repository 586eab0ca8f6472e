"""Server: pages and API over the workflow; the only rooms that know FastAPI."""
