"""Field records as JSON: what phones send, and marks as phones are given them. Version 1, which only grows.

A batch is {"format": "fieldapp-records", "version": 1, "sent_at": …, "records": [...]}; `sent_at`, what the phone's
clock said then, may be left out. Only what cannot be read is
refused, record by record; whether it fits the site is another question, so that no mark is lost over it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any, cast, get_args

from fieldapp.errors import FormatError, RecordError
from fieldapp.formats.json_fields import (
    ID,
    Json,
    read_id,
    read_moment,
    read_name,
    read_number,
    read_object,
    read_one_of,
    read_optional_size,
    read_text,
    read_whole,
    shown,
)
from fieldapp.formats.record_parts import (
    read_check,
    read_fix,
    read_parts,
    read_peg,
    read_reading,
    read_target,
)
from fieldapp.formats.record_text import checked_text
from fieldapp.formats.tape_records import read_capture, read_morning, read_peg_report, read_taped
from fieldapp.model import (
    CheckIn,
    FieldRecord,
    Mark,
    PlaceKind,
    PlaceRead,
    Trial,
    Undo,
    Verdict,
    YardageCheck,
)

FORMAT = "fieldapp-records"
VERSION = 1
MOST_IN_BATCH = 5_000


@dataclass(frozen=True)
class SentRecord:
    """A record that could be read, and its text as it is held."""

    record: FieldRecord
    text: str


@dataclass(frozen=True)
class Refusal:
    """A record that is not taken, and why; `id` is None where it has none that can be read."""

    id: str | None
    detail: str


def read_records(document: object) -> tuple[list[SentRecord], list[Refusal]]:
    """Read a batch; each record is taken or refused by itself.

    Raises FormatError when it is no batch, or one of more records than MOST_IN_BATCH, before any is looked at.
    """
    records = _records_of(document)
    if len(records) > MOST_IN_BATCH:
        raise FormatError(f"The body holds {len(records):,} records; send at most {MOST_IN_BATCH:,} at once.")
    return read_each(records)


def read_each(records: Sequence[object]) -> tuple[list[SentRecord], list[Refusal]]:
    """Read records; each is taken or refused by itself."""
    sent: list[SentRecord] = []
    refused: list[Refusal] = []
    for index, item in enumerate(records, 1):
        try:
            sent.append(_sent(item))
        except RecordError as fault:
            refused.append(
                Refusal(_readable_id(item), f"Record {index} of the batch cannot be taken: {fault}")
            )
    return sent, refused


def read_records_of_backup(document: object) -> list[SentRecord]:
    """Read every record of a backup; raises FormatError where it is no batch or one of them cannot be read."""
    sent, refused = read_each(_records_of(document))
    if refused:
        raise FormatError(refused[0].detail)
    return sent


def _records_of(document: object) -> list[object]:
    if not isinstance(document, dict):
        raise FormatError(f"The body must be a JSON object with format '{FORMAT}'.")
    if document.get("format") != FORMAT:
        raise FormatError(f"The body says format {shown(document.get('format'))}; it must say '{FORMAT}'.")
    if document.get("version") != VERSION or isinstance(document.get("version"), bool):
        raise FormatError(
            f"The body says version {shown(document.get('version'))} of '{FORMAT}'; "
            f"this server knows {VERSION}."
        )
    records = document.get("records")
    if not isinstance(records, list):
        raise FormatError("The body must hold its records as a list called 'records'.")
    return records


def sent_at(document: object) -> datetime | None:
    """Return what the phone's clock said when it sent a batch, where the batch tells it."""
    try:
        return read_moment(document, "sent_at") if isinstance(document, dict) else None
    except RecordError:
        return None


def read_record(item: object) -> FieldRecord:
    """Read one record; raises RecordError in words."""
    return _sent(item).record


def _sent(item: object) -> SentRecord:
    if not isinstance(item, dict):
        raise RecordError("it must be a JSON object.")
    text = checked_text(item)
    return SentRecord(_record(item), text)


def read_held_text(text: str) -> FieldRecord:
    """Read a record from the text of one that was taken."""
    return _record(json.loads(text))


def _record(item: Json) -> FieldRecord:
    kind = item.get("kind")
    reader = _READERS.get(kind) if isinstance(kind, str) else None
    if reader is None:
        known = ", ".join(f"'{name}'" for name in _READERS)
        raise RecordError(f"its kind is {shown(kind)}; this server knows {known}.")
    return reader(item)


def _mark(item: Json) -> Mark:
    return Mark(
        **_common(item),
        receiver=read_text(item, "receiver"),
        target=read_target(read_object(item, "target")),
        fix=None if item.get("fix") is None else read_fix(read_object(item, "fix")),
        off_m=read_optional_size(item, "off_m"),
        verdict=cast(Verdict, read_one_of(item, "verdict", get_args(Verdict))),
        reading=None if item.get("reading") is None else read_reading(read_object(item, "reading")),
    )


def _undo(item: Json) -> Undo:
    return Undo(**_common(item), undoes=read_id(item, "undoes"))


def _check_in(item: Json) -> CheckIn:
    return CheckIn(
        **_common(item),
        **read_peg(item),
        reading=read_reading(read_object(item, "reading")),
        shift_x_m=read_number(item, "shift_x_m"),
        shift_y_m=read_number(item, "shift_y_m"),
    )


def _trial(item: Json) -> Trial:
    return Trial(
        **_common(item),
        **read_peg(item),
        seconds=read_number(item, "seconds", 0.0),
        fixes=read_whole(item, "fixes"),
        accuracy_m=read_optional_size(item, "accuracy_m"),
        scatter_m=read_number(item, "scatter_m", 0.0),
        parts=read_parts(item),
        spread=read_number(item, "spread", 1.0),
        offset_x_m=read_number(item, "offset_x_m"),
        offset_y_m=read_number(item, "offset_y_m"),
        offset_radius95_m=read_optional_size(item, "offset_radius95_m"),
    )


def _yardage(item: Json) -> YardageCheck:
    return YardageCheck(
        **_common(item),
        **read_check(item),
        receiver=read_text(item, "receiver"),
        reading=read_reading(read_object(item, "reading")),
    )


def _place(item: Json) -> PlaceRead:
    return PlaceRead(
        **_common(item),
        receiver=read_text(item, "receiver"),
        what=cast(PlaceKind, read_one_of(item, "what", get_args(PlaceKind))),
        name=read_name(item, "name"),
        reading=read_reading(read_object(item, "reading")),
        note=read_text(item, "note"),
    )


_READERS: dict[str, Callable[[Json], FieldRecord]] = {
    "mark": _mark,
    "undo": _undo,
    "check_in": _check_in,
    "trial": _trial,
    "yardage": _yardage,
    "place": _place,
    "peg": lambda item: read_peg_report(_common(item), item),
    "taped": lambda item: read_taped(_common(item), item),
    "capture": lambda item: read_capture(_common(item), item),
    "morning": lambda item: read_morning(_common(item), item),
}


def _common(item: Json) -> Json:
    practice = item.get("practice")
    if not isinstance(practice, bool):
        raise RecordError("'practice' must be true or false.")
    return {
        "id": read_id(item, "id"),
        "site": read_name(item, "site"),
        "hole": read_whole(item, "hole"),
        "made_at": read_moment(item, "made_at"),
        "person": read_text(item, "person"),
        "device": read_text(item, "device"),
        "practice": practice,
    }


def _readable_id(item: object) -> str | None:
    value = item.get("id") if isinstance(item, dict) else None
    return value if isinstance(value, str) and ID.fullmatch(value) else None


def record_to_dict(record: FieldRecord) -> Json:
    """Return a record as it is sent."""
    return {**asdict(record), "made_at": moment_text(record.made_at)}


def mark_for_phone(mark: Mark, off_m: float | None) -> Json:
    """Return a mark as a bundle carries it; `off_m` is the server's own."""
    return {
        "id": mark.id,
        "bunker": mark.target.bunker,
        "outline": mark.target.outline,
        "number": mark.target.number,
        "revision": mark.target.revision,
        "person": mark.person,
        "made_at": moment_text(mark.made_at),
        "practice": mark.practice,
        "off_m": None if off_m is None else round(off_m, 4),
        "radius95_m": mark.position.radius95_m if mark.position else None,
        "verdict": mark.verdict,
    }


def moment_text(moment: datetime) -> str:
    """Return a moment as ISO 8601 in UTC to the millisecond."""
    in_utc = moment if moment.tzinfo is UTC else moment.astimezone(UTC)
    return in_utc.isoformat(timespec="milliseconds")[:-6] + "Z"


def batch(records: list[Mapping[str, Any]]) -> Json:
    """Return a batch of records as it is sent."""
    return {"format": FORMAT, "version": VERSION, "records": records}
