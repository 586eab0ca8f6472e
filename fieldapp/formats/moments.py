"""Moments as people read them."""

from __future__ import annotations

from datetime import UTC, datetime


def moment_words(moment: datetime) -> str:
    """Return a moment in UTC to the minute, and say so."""
    return f"{moment.astimezone(UTC):%Y-%m-%d %H:%M} UTC"
