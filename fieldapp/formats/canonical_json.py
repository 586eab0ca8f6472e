"""JSON that is the same text whenever its content is, so that a record sent again is known again.

Phones write no 2.0 for 2 and hold nothing that cannot be kept, so for nearly every record one look at its text is
enough; only where that finds something is the content itself gone through.
"""

from __future__ import annotations

import json
import math
import re

from fieldapp.errors import RecordError

DEEPEST = 20
NO_TEXT = re.compile("[\0\ud800-\udfff]")
_ENCODE = json.JSONEncoder(
    sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"), check_circular=False
).encode


def checked_text(item: object) -> str:
    """Return canonical text; raises RecordError for what no database or reader can hold."""
    try:
        text = _ENCODE(item)
        text.encode()
    except (ValueError, RecursionError):
        text = "\\u0000"
    if text.count("{") + text.count("[") <= DEEPEST and not _is_suspect(text):
        return text
    _check_content(item)
    return canonical_text(item)


def _is_suspect(text: str) -> bool:
    return "\\u0000" in text or ".0," in text or ".0}" in text or ".0]" in text


def canonical_text(item: object) -> str:
    """Return JSON text that is the same whenever the content is: keys in order, 2.0 as 2, no spaces."""
    return _ENCODE(_plain(item))


def _plain(value: object) -> object:
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_plain(part) for part in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    return value


def _check_content(value: object, left: int = DEEPEST) -> None:
    if isinstance(value, str):
        if NO_TEXT.search(value):
            raise RecordError("it holds characters that are no text.")
    elif isinstance(value, float) and not math.isfinite(value):
        raise RecordError("it holds a number that is not finite.")
    elif isinstance(value, dict | list):
        if left == 0:
            raise RecordError("it is nested too deeply.")
        for part in [*value, *value.values()] if isinstance(value, dict) else value:
            _check_content(part, left - 1)
