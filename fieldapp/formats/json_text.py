"""JSON that somebody sent, as it may be wrong.

JSON has no number that is not finite. Where one stands all the same (NaN, 1e999), it is taken for the text that it is,
so that only the record that holds it is refused, and it never turns into something else.
"""

from __future__ import annotations

import json
import math

import orjson


def read_json(text: str) -> object:
    """Return what a JSON text says; raises ValueError (json.JSONDecodeError where it is none), RecursionError."""
    found: object = json.loads(text, parse_constant=str, parse_float=_finite_or_text)
    return found


def read_json_bytes(content: bytes) -> object:
    """Return the same of UTF-8, the quick way, and what that declines the thorough way."""
    try:
        found: object = orjson.loads(content)
    except orjson.JSONDecodeError:
        return read_json(content.decode("utf-8"))
    return found


def _finite_or_text(number: str) -> float | str:
    value = float(number)
    return value if math.isfinite(value) else number
