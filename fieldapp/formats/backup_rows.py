"""The JSON files of a backup, read as strictly as they were written."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime
from typing import Any, TypeVar

from fieldapp.errors import FormatError, RecordError
from fieldapp.formats.json_fields import read_moment
from fieldapp.formats.json_text import read_json_bytes

T = TypeVar("T")
KINDS = {"str": str, "int": int, "list[str]": list, "list[float]": list}


def read_document(content: bytes, file: str) -> dict[str, Any]:
    """Return a file of a backup as an object; raises FormatError."""
    try:
        found = read_json_bytes(content)
    except (ValueError, RecursionError) as fault:
        raise unreadable(file) from fault
    if not isinstance(found, dict):
        raise unreadable(file)
    return found


def read_rows(
    document: dict[str, Any], key: str, kind: type[T], moments: Sequence[str], file: str
) -> tuple[T, ...]:
    """Return the rows under a key as dataclasses of plain fields; those named in `moments` must be moments."""
    found = document.get(key)
    rows: list[Any] = found if isinstance(found, list) else [None]
    names = {field.name: str(field.type) for field in fields(kind)}  # type: ignore[arg-type]
    for row in rows:
        if not isinstance(row, dict) or set(row) != set(names):
            raise unreadable(file)
        if not all(_is_of(row[name], of) for name, of in names.items()):
            raise unreadable(file)
        for name in moments:
            backed_moment(row[name], file)
    return tuple(kind(**row) for row in rows)


def backed_moment(text: object, file: str) -> datetime:
    """Return a moment in a file of a backup; raises FormatError."""
    try:
        return read_moment({"at": text}, "at")
    except RecordError as fault:
        raise unreadable(file) from fault


def unreadable(file: str) -> FormatError:
    """Return the refusal of a file of a backup that is not as it was written."""
    return FormatError(
        f"{file} in the zip cannot be read as it was written; take it out, or take the zip anew."
    )


def _is_of(value: object, kind: str) -> bool:
    if type(value) is not KINDS[kind]:
        return False
    if kind == "list[str]":
        return all(isinstance(one, str) for one in value)  # type: ignore[attr-defined]
    if kind == "list[float]":
        return all(type(one) in (int, float) and math.isfinite(one) for one in value)  # type: ignore[attr-defined]
    return True
