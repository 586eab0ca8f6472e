"""JSON Schemas of what the interface for programs takes and answers, as its description shows them."""

from __future__ import annotations

from typing import Any, get_args

from fieldapp.formats import bundle, json_fields, records
from fieldapp.model import Verdict
from fieldapp.model.visitor import ROLES

Schema = dict[str, Any]


def _text(**more: Any) -> Schema:
    return {"type": "string", **more}


def _or_null(schema: Schema) -> Schema:
    return {"anyOf": [schema, {"type": "null"}]}


def _object(required: Schema, optional: Schema | None = None, **more: Any) -> Schema:
    return {
        "type": "object",
        "properties": {**required, **(optional or {})},
        "required": list(required),
        **more,
    }


def _list(item: Schema) -> Schema:
    return {"type": "array", "items": item}


def ref(name: str) -> Schema:
    """Return a reference to one of SCHEMAS."""
    return {"$ref": f"#/components/schemas/{name}"}


NUMBER: Schema = {"type": "number", "minimum": -1e15, "maximum": 1e15}
SIZE: Schema = {"type": "number", "minimum": 0, "maximum": 1e15}
WHOLE: Schema = {"type": "integer", "minimum": 0, "maximum": json_fields.LARGEST_WHOLE}
WORDS = _text(maxLength=json_fields.LONGEST_TEXT)
NAME = _text(minLength=1, maxLength=json_fields.LONGEST_TEXT)
ID = _text(pattern=f"^{json_fields.ID.pattern}$")
MOMENT = _text(format="date-time", description="ISO 8601 with its zone")
VERDICT = _text(enum=list(get_args(Verdict)))

COMMON = {
    "id": ID,
    "site": NAME,
    "hole": WHOLE,
    "made_at": MOMENT,
    "person": WORDS,
    "device": WORDS,
    "practice": {"type": "boolean"},
}
TARGET = _object(
    {
        "bunker": NAME,
        "outline": NAME,
        "part": WORDS,
        "number": WHOLE,
        "revision": WORDS,
        "x": {**NUMBER, "description": "course metres"},
        "y": {**NUMBER, "description": "course metres"},
    }
)
FIX = _object(
    {
        "lat_deg": {"type": "number", "minimum": -90, "maximum": 90},
        "lon_deg": {"type": "number", "minimum": -180, "maximum": 180},
        "radius95_basis": WORDS,
        "age_s": NUMBER,
    },
    {"accuracy_m": _or_null(SIZE), "radius95_m": _or_null(SIZE), "height_m": _or_null(NUMBER)},
)
MARK = _object(
    {**COMMON, "kind": {"const": "mark"}, "receiver": WORDS, "target": TARGET, "verdict": VERDICT},
    {"fix": _or_null(FIX), "off_m": _or_null({**SIZE, "description": "ground metres, as the phone had it"})},
    description="A paint point was sprayed or pegged.",
)
UNDO = _object(
    {**COMMON, "kind": {"const": "undo"}, "undoes": ID}, description="An earlier record is taken back."
)
OTHER = _object(
    {**COMMON, "kind": _text(enum=["check_in", "trial"])},
    description="What a receiver was found to be worth on a peg.",
)
STANDING_MARK = _object(
    {
        "id": ID,
        "bunker": NAME,
        "outline": NAME,
        "number": WHOLE,
        "revision": WORDS,
        "person": WORDS,
        "made_at": MOMENT,
        "practice": {"type": "boolean"},
        "off_m": _or_null(SIZE),
        "radius95_m": _or_null(SIZE),
        "verdict": VERDICT,
    }
)
NOTE = {"detail": _text()}

SCHEMAS: dict[str, Schema] = {
    "Problem": _object(
        {
            "type": _text(),
            "title": _text(),
            "status": {"type": "integer", "minimum": 400, "maximum": 599},
            "detail": _text(description="what is wrong, where, and what to do, for a person"),
            "instance": _text(),
        },
        description="RFC 9457.",
    ),
    "Me": _object(
        {"name": _text(), "role": _text(enum=list(ROLES)), "crew": {"type": "boolean"}},
        description="Who asks, by the link that let this device in.",
    ),
    "Sites": _object(
        {
            "sites": _list(
                _object(
                    {
                        "id": _text(),
                        "name": _text(),
                        "note": _text(),
                        "content_id": _text(),
                        "sequence": {"type": "integer"},
                        "loaded_at": MOMENT,
                        "holes": _list(_object({"number": {"type": "integer"}, "name": _text()})),
                        "bunkers": _list(
                            _object(
                                {
                                    "id": _text(),
                                    "hole": {"type": "integer"},
                                    "name": _text(),
                                    "revision": _text(),
                                }
                            )
                        ),
                    }
                )
            )
        }
    ),
    "Bundle": _object(
        {
            "format": {"const": bundle.FORMAT},
            "version": {"const": bundle.VERSION},
            "content_id": _text(),
            "made_at": MOMENT,
            "site": _object({"id": _text(), "name": _text()}),
            "hole": {"type": "object"},
            "bunkers": _list({"type": "object"}),
            "marks": _list(ref("StandingMark")),
        },
        description="Everything a phone needs for one hole.",
    ),
    "StandingMark": STANDING_MARK,
    "Record": {"oneOf": [MARK, UNDO, OTHER]},
    "Batch": _object(
        {
            "format": {"const": records.FORMAT},
            "version": {"const": records.VERSION},
            "records": _list(ref("Record")),
        },
        description="Each record is taken or refused by itself.",
    ),
    "Receipt": _object(
        {
            "stored": {**_list(_text()), "description": "ids that are on disk now"},
            "refused": _list(_object({"id": _or_null(_text()), **NOTE})),
            "remarks": _list(_object({"id": _text(), **NOTE})),
        }
    ),
    "RecordsSince": _object(
        {"sequence": {"type": "integer"}, "marks": _list(ref("StandingMark")), "undone": _list(_text())}
    ),
}
