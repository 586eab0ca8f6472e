"""Fields of a JSON object that somebody else wrote, read one by one; each raises RecordError in words."""

from __future__ import annotations

import math
import re
from datetime import UTC, datetime
from typing import Any

from fieldapp.errors import RecordError

LONGEST_TEXT = 1000
LARGEST_WHOLE = 2**31 - 1
LARGEST = 1e15
ID = re.compile(r"[0-9A-Za-z][0-9A-Za-z-]{7,63}")

Json = dict[str, Any]


def read_id(item: Json, key: str) -> str:
    """Return an id made on a phone."""
    value = item.get(key)
    if not isinstance(value, str) or not ID.fullmatch(value):
        raise RecordError(f"'{key}' must be an id of 8 to 64 letters, digits and hyphens, made on the phone.")
    return value


def read_text(item: Json, key: str) -> str:
    """Return text of bounded length."""
    value = item.get(key)
    if not isinstance(value, str):
        raise RecordError(f"'{key}' must be text.")
    if len(value) > LONGEST_TEXT:
        raise RecordError(f"'{key}' is longer than {LONGEST_TEXT} characters.")
    return value


def read_name(item: Json, key: str) -> str:
    """Return text that is not empty."""
    value = read_text(item, key)
    if not value:
        raise RecordError(f"'{key}' is empty.")
    return value


def read_whole(item: Json, key: str) -> int:
    """Return a whole number, 0 or more."""
    value = item.get(key)
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= LARGEST_WHOLE:
        raise RecordError(f"'{key}' must be a whole number, 0 or more.")
    return value


def read_number(item: Json, key: str, least: float = -math.inf, most: float = math.inf) -> float:
    """Return a finite number between two bounds."""
    value = item.get(key)
    if type(value) is float and -LARGEST <= value <= LARGEST and least <= value <= most:
        return value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RecordError(f"'{key}' must be a number.")
    if abs(value) > LARGEST or not math.isfinite(value):
        raise RecordError(f"'{key}' must be a finite number.")
    if not least <= value <= most:
        raise RecordError(f"'{key}' is {value}; it must lie between {least:g} and {most:g}.")
    return float(value)


def read_optional_size(item: Json, key: str) -> float | None:
    """Return a number that is 0 or more, or None where there is none."""
    if item.get(key) is None:
        return None
    value = read_number(item, key)
    if value < 0:
        raise RecordError(f"'{key}' is {value}; it cannot be less than 0.")
    return value


def read_optional_number(item: Json, key: str) -> float | None:
    """Return a finite number, or None where there is none."""
    return None if item.get(key) is None else read_number(item, key)


def read_one_of(item: Json, key: str, words: tuple[str, ...]) -> str:
    """Return one of these words."""
    value = item.get(key)
    if not isinstance(value, str) or value not in words:
        raise RecordError(f"'{key}' is {shown(value)}; it must be one of {', '.join(words)}.")
    return value


def read_moment(item: Json, key: str) -> datetime:
    """Return a moment in UTC."""
    value = item.get(key)
    try:
        moment = datetime.fromisoformat(value) if isinstance(value, str) else None
        if moment is not None and moment.tzinfo is not None:
            return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        pass
    raise RecordError(f"'{key}' must be a date and time with its zone, such as 2026-05-01T09:30:00Z.")


def read_object(item: Json, key: str) -> Json:
    """Return a JSON object."""
    value = item.get(key)
    if not isinstance(value, dict):
        raise RecordError(f"'{key}' must be a JSON object.")
    return value


def shown(value: object) -> str:
    """Return a value as a refusal shows it, cut short."""
    return repr(value if isinstance(value, str | int | float | None) else type(value).__name__)[:60]
