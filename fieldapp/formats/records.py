"""Field records as JSON: what phones send, and marks as phones are given them. Version 1.

A batch is {"format": "fieldapp-records", "version": 1, "records": [...]}. Only what cannot be read is
refused, record by record; whether it fits the site is another question, so that no mark is lost over it.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any, cast, get_args

from fieldapp.errors import FormatError, RecordError
from fieldapp.model import FieldRecord, Fix, HeldRecord, Mark, Target, Undo, Verdict

FORMAT = "fieldapp-records"
VERSION = 1
LONGEST_TEXT = 1000
LARGEST_WHOLE = 2**31 - 1
DEEPEST = 20
ID = re.compile(r"[0-9A-Za-z][0-9A-Za-z-]{7,63}")
NO_TEXT = re.compile("[\0\ud800-\udfff]")

Json = dict[str, Any]


@dataclass(frozen=True)
class SentRecord:
    """A record that could be read, and its text as sent in canonical JSON."""

    record: FieldRecord
    text: str


@dataclass(frozen=True)
class Refusal:
    """A record that is not taken, and why; `id` is None where it has none that can be read."""

    id: str | None
    detail: str


def read_records(document: object) -> tuple[list[SentRecord], list[Refusal]]:
    """Read a batch; each record is taken or refused by itself. Raises FormatError when it is no batch."""
    sent: list[SentRecord] = []
    refused: list[Refusal] = []
    for index, item in enumerate(_records_of(document), 1):
        try:
            sent.append(SentRecord(read_record(item), canonical_text(item)))
        except RecordError as fault:
            refused.append(
                Refusal(_readable_id(item), f"Record {index} of the batch cannot be taken: {fault}")
            )
    return sent, refused


def _records_of(document: object) -> list[object]:
    if not isinstance(document, dict):
        raise FormatError(f"The body must be a JSON object with format '{FORMAT}'.")
    if document.get("format") != FORMAT:
        raise FormatError(f"The body says format {_shown(document.get('format'))}; it must say '{FORMAT}'.")
    if document.get("version") != VERSION or isinstance(document.get("version"), bool):
        raise FormatError(
            f"The body says version {_shown(document.get('version'))} of '{FORMAT}'; "
            f"this server knows {VERSION}."
        )
    records = document.get("records")
    if not isinstance(records, list):
        raise FormatError("The body must hold its records as a list called 'records'.")
    return records


def read_record(item: object) -> FieldRecord:
    """Read one record; raises RecordError in words."""
    if not isinstance(item, dict):
        raise RecordError("it must be a JSON object.")
    _check_content(item)
    return _record(item)


def read_held_text(text: str) -> FieldRecord:
    """Read a record from the canonical text of one that was taken."""
    return _record(json.loads(text))


def _record(item: Json) -> FieldRecord:
    kind = item.get("kind")
    if kind == "mark":
        return _mark(item)
    if kind == "undo":
        return Undo(**_common(item), undoes=_id(item, "undoes"))
    raise RecordError(f"its kind is {_shown(kind)}; this server knows 'mark' and 'undo'.")


def _mark(item: Json) -> Mark:
    verdict = item.get("verdict")
    if verdict not in get_args(Verdict):
        raise RecordError(
            f"'verdict' is {_shown(verdict)}; it must be one of {', '.join(get_args(Verdict))}."
        )
    return Mark(
        **_common(item),
        receiver=_text(item, "receiver"),
        target=_target(_object(item, "target")),
        fix=None if item.get("fix") is None else _fix(_object(item, "fix")),
        off_m=_optional_size(item, "off_m"),
        verdict=cast(Verdict, verdict),
    )


def _common(item: Json) -> Json:
    practice = item.get("practice")
    if not isinstance(practice, bool):
        raise RecordError("'practice' must be true or false.")
    return {
        "id": _id(item, "id"),
        "site": _name(item, "site"),
        "hole": _whole(item, "hole"),
        "made_at": _moment(item, "made_at"),
        "person": _text(item, "person"),
        "device": _text(item, "device"),
        "practice": practice,
    }


def _target(item: Json) -> Target:
    return Target(
        bunker=_name(item, "bunker"),
        outline=_name(item, "outline"),
        part=_text(item, "part"),
        number=_whole(item, "number"),
        revision=_text(item, "revision"),
        x=_number(item, "x"),
        y=_number(item, "y"),
    )


def _fix(item: Json) -> Fix:
    return Fix(
        lat_deg=_number(item, "lat_deg", -90.0, 90.0),
        lon_deg=_number(item, "lon_deg", -180.0, 180.0),
        accuracy_m=_optional_size(item, "accuracy_m"),
        radius95_m=_optional_size(item, "radius95_m"),
        radius95_basis=_text(item, "radius95_basis"),
        age_s=_number(item, "age_s"),
        height_m=None if item.get("height_m") is None else _number(item, "height_m"),
    )


def _id(item: Json, key: str) -> str:
    value = item.get(key)
    if not isinstance(value, str) or not ID.fullmatch(value):
        raise RecordError(f"'{key}' must be an id of 8 to 64 letters, digits and hyphens, made on the phone.")
    return value


def _readable_id(item: object) -> str | None:
    value = item.get("id") if isinstance(item, dict) else None
    return value if isinstance(value, str) and ID.fullmatch(value) else None


def _text(item: Json, key: str) -> str:
    value = item.get(key)
    if not isinstance(value, str):
        raise RecordError(f"'{key}' must be text.")
    if len(value) > LONGEST_TEXT:
        raise RecordError(f"'{key}' is longer than {LONGEST_TEXT} characters.")
    return value


def _name(item: Json, key: str) -> str:
    value = _text(item, key)
    if not value:
        raise RecordError(f"'{key}' is empty.")
    return value


def _whole(item: Json, key: str) -> int:
    value = item.get(key)
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= LARGEST_WHOLE:
        raise RecordError(f"'{key}' must be a whole number, 0 or more.")
    return value


def _number(item: Json, key: str, least: float = -math.inf, most: float = math.inf) -> float:
    value = item.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RecordError(f"'{key}' must be a number.")
    if abs(value) > 1e15 or not math.isfinite(value):
        raise RecordError(f"'{key}' must be a finite number.")
    if not least <= value <= most:
        raise RecordError(f"'{key}' is {value}; it must lie between {least:g} and {most:g}.")
    return float(value)


def _optional_size(item: Json, key: str) -> float | None:
    if item.get(key) is None:
        return None
    value = _number(item, key)
    if value < 0:
        raise RecordError(f"'{key}' is {value}; it cannot be less than 0.")
    return value


def _moment(item: Json, key: str) -> datetime:
    value = item.get(key)
    try:
        moment = datetime.fromisoformat(value) if isinstance(value, str) else None
        if moment is not None and moment.tzinfo is not None:
            return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        pass
    raise RecordError(f"'{key}' must be a date and time with its zone, such as 2026-05-01T09:30:00Z.")


def _object(item: Json, key: str) -> Json:
    value = item.get(key)
    if not isinstance(value, dict):
        raise RecordError(f"'{key}' must be a JSON object.")
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


def _shown(value: object) -> str:
    return repr(value if isinstance(value, str | int | float | None) else type(value).__name__)[:60]


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


def record_to_dict(record: FieldRecord) -> Json:
    """Return a record as it is sent."""
    return {**asdict(record), "made_at": moment_text(record.made_at)}


def mark_for_phone(held: HeldRecord, mark: Mark) -> Json:
    """Return a mark as a bundle carries it; the distance off is the server's own."""
    return {
        "id": mark.id,
        "bunker": mark.target.bunker,
        "outline": mark.target.outline,
        "number": mark.target.number,
        "revision": mark.target.revision,
        "person": mark.person,
        "made_at": moment_text(mark.made_at),
        "practice": mark.practice,
        "off_m": None if held.off_m is None else round(held.off_m, 4),
        "radius95_m": mark.fix.radius95_m if mark.fix else None,
        "verdict": mark.verdict,
    }


def moment_text(moment: datetime) -> str:
    """Return a moment as ISO 8601 in UTC to the millisecond."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def batch(records: list[Mapping[str, Any]]) -> Json:
    """Return a batch of records as it is sent."""
    return {"format": FORMAT, "version": VERSION, "records": records}
