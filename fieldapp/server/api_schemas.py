"""JSON Schemas of what the interface for programs takes and answers, as its description shows them."""

from __future__ import annotations

from typing import Any, get_args

from fieldapp.formats import bundle, json_fields, records
from fieldapp.model import Verdict
from fieldapp.model.visitor import ROLES
from fieldapp.server import offline

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
PLACE = {
    "lat_deg": FIX["properties"]["lat_deg"],
    "lon_deg": FIX["properties"]["lon_deg"],
    "radius95_basis": WORDS,
}
READING = _object(
    {**PLACE, "seconds": SIZE, "fixes": WHOLE, "left_out": WHOLE},
    {"radius95_m": _or_null(SIZE), "check_in": _or_null(ID), "check_in_age_s": _or_null(SIZE)},
    description="Fixes combined while standing still.",
)
MARK = _object(
    {**COMMON, "kind": {"const": "mark"}, "receiver": WORDS, "target": TARGET, "verdict": VERDICT},
    {
        "fix": _or_null(FIX),
        "reading": _or_null(READING),
        "off_m": _or_null({**SIZE, "description": "ground metres, as the phone had it"}),
    },
    description="A paint point was sprayed or pegged.",
)
UNDO = _object(
    {**COMMON, "kind": {"const": "undo"}, "undoes": ID},
    description="An earlier record of the same device, site and hole is taken back; practice takes back practice only.",
)
ON_PEG = {"receiver": WORDS, "peg": NAME, "peg_x": NUMBER, "peg_y": NUMBER}
CHECK_IN = _object(
    {
        **COMMON,
        "kind": {"const": "check_in"},
        **ON_PEG,
        "reading": READING,
        "shift_x_m": NUMBER,
        "shift_y_m": NUMBER,
    },
    description="A reading on a known peg, and how far off it was: course metres.",
)
PART = {
    "type": "array",
    "prefixItems": [{"type": "number", "minimum": 0, "maximum": 1}, SIZE],
    "items": SIZE,
    "minItems": 2,
    "maxItems": 2,
}
TRIAL = _object(
    {
        **COMMON,
        "kind": {"const": "trial"},
        **ON_PEG,
        "seconds": SIZE,
        "fixes": WHOLE,
        "scatter_m": SIZE,
        "parts": {"type": "array", "items": PART, "minItems": 1, "maxItems": records.MOST_PARTS},
        "spread": {"type": "number", "minimum": 1, "maximum": 1e15},
        "offset_x_m": NUMBER,
        "offset_y_m": NUMBER,
    },
    {"accuracy_m": _or_null(SIZE), "offset_radius95_m": _or_null(SIZE)},
    description="What minutes on a peg told of a receiver: scatter on one axis, parts of its error, offset.",
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
    "Record": {"oneOf": [MARK, UNDO, CHECK_IN, TRIAL]},
    "Batch": _object(
        {
            "format": {"const": records.FORMAT},
            "version": {"const": records.VERSION},
            "records": _list(ref("Record")),
        },
        description=f"At most {records.MOST_IN_BATCH:,} records; each is taken or refused by itself.",
    ),
    "Receipt": _object(
        {
            "stored": {**_list(_text()), "description": "ids that are on disk now"},
            "refused": _list(_object({"id": _or_null(_text()), **NOTE})),
            "remarks": _list(_object({"id": _text(), **NOTE})),
        }
    ),
    "Clock": _object({"now": MOMENT}),
    "FieldIndex": _object(
        {
            "format": {"const": offline.INDEX_FORMAT},
            "version": {"const": offline.INDEX_VERSION},
            "site": _text(),
            "name": _text(),
            "now": MOMENT,
            "pegs": {"type": "integer"},
            "holes": _list(
                _object(
                    {
                        "number": {"type": "integer"},
                        "name": _text(),
                        "bundle_url": _text(),
                        "content_id": _text(),
                        "bunkers": _list(
                            _object(
                                {
                                    "id": _text(),
                                    "name": _text(),
                                    "revision": _text(),
                                    "points": {"type": "integer"},
                                }
                            )
                        ),
                    }
                )
            ),
        },
        description="What a phone keeps of a site.",
    ),
    "Place": _object(
        {"device": ID, "person": WORDS, "hole": WHOLE, "bunker": NAME, "outline": NAME},
        {"number": _or_null(WHOLE)},
        description="Where a phone works now; kept in memory for seconds only.",
    ),
    "Company": _object(
        {
            "others": _list(
                _object(
                    {
                        "device": _text(),
                        "person": _text(),
                        "bunker": _text(),
                        "outline": _text(),
                        "number": _or_null({"type": "integer"}),
                        "seconds": {"type": "number"},
                    }
                )
            )
        }
    ),
    "RecordsSince": _object(
        {"sequence": {"type": "integer"}, "marks": _list(ref("StandingMark")), "undone": _list(_text())}
    ),
}
