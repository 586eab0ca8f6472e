"""JSON that is the same text whenever its content is, so that a record sent again is known again."""

from __future__ import annotations

import json


def canonical_text(item: object) -> str:
    """Return JSON text that is the same whenever the content is: keys in order, 2.0 as 2, no spaces."""
    return json.dumps(
        _plain(item), sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":")
    )


def _plain(value: object) -> object:
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_plain(part) for part in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    return value
