"""Moments as people read them."""

from __future__ import annotations

from datetime import UTC, datetime


def moment_words(moment: datetime) -> str:
    """Return a moment in UTC to the minute, and say so."""
    return f"{moment.astimezone(UTC):%Y-%m-%d %H:%M} UTC"


def time_words(moment: datetime, now: datetime) -> str:
    """Return the same as a sentence ends with it: the time alone where it is of the day of `now`."""
    there = moment.astimezone(UTC)
    on_day = "" if there.date() == now.astimezone(UTC).date() else f"on {there:%Y-%m-%d} "
    return f"{on_day}at {there:%H:%M} UTC"
