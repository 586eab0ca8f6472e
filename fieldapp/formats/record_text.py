"""The text of a record as it is held, and whether two texts say the same.

Phones hold nothing that cannot be kept, so for nearly every record one look at its text is enough; only where that
finds something is the content itself gone through.
"""

from __future__ import annotations

import json
import re

import orjson

from fieldapp.errors import RecordError

DEEPEST = 20
NO_TEXT = re.compile("[\0\ud800-\udfff]")


def checked_text(item: object) -> str:
    """Return the JSON text, keys in order, of what `json_text` read, which holds no number that is not finite.

    Raises RecordError for what no database or reader can hold.
    """
    try:
        text = orjson.dumps(item, option=orjson.OPT_SORT_KEYS).decode()
    except orjson.JSONEncodeError:
        _check_content(item)
        return json.dumps(item, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    if "\\u0000" in text or text.count("{") + text.count("[") > DEEPEST:
        _check_content(item)
    return text


def same_content(one: str, other: str) -> bool:
    """Tell whether two texts of records say the same, however their numbers are written and their keys ordered."""
    return one == other or bool(json.loads(one) == json.loads(other))


def _check_content(value: object, left: int = DEEPEST) -> None:
    if isinstance(value, str):
        if NO_TEXT.search(value):
            raise RecordError("it holds characters that are no text.")
    elif isinstance(value, dict | list):
        if left == 0:
            raise RecordError("it is nested too deeply.")
        for part in [*value, *value.values()] if isinstance(value, dict) else value:
            _check_content(part, left - 1)
