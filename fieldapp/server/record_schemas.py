"""JSON Schemas of field records, and the pieces that schemas are made of."""

from __future__ import annotations

from typing import Any, get_args

from fieldapp.formats import json_fields, record_parts
from fieldapp.model import CheckBasis, CheckFigure, CheckVerdict, PlaceKind, Verdict

Schema = dict[str, Any]


def ref(name: str) -> Schema:
    """Return a reference to one of the schemas of the description."""
    return {"$ref": f"#/components/schemas/{name}"}


def text_(**more: Any) -> Schema:
    """Return the schema of a text."""
    return {"type": "string", **more}


def or_null_(schema: Schema) -> Schema:
    """Return the schema of something that may be null."""
    return {"anyOf": [schema, {"type": "null"}]}


def object_(required: Schema, optional: Schema | None = None, **more: Any) -> Schema:
    """Return the schema of an object with fields that it must have and others that it may have."""
    return {
        "type": "object",
        "properties": {**required, **(optional or {})},
        "required": list(required),
        **more,
    }


def list_(item: Schema) -> Schema:
    """Return the schema of a list."""
    return {"type": "array", "items": item}


NUMBER: Schema = {"type": "number", "minimum": -1e15, "maximum": 1e15}
SIZE: Schema = {"type": "number", "minimum": 0, "maximum": 1e15}
WHOLE: Schema = {"type": "integer", "minimum": 0, "maximum": json_fields.LARGEST_WHOLE}
WORDS = text_(maxLength=json_fields.LONGEST_TEXT)
NAME = text_(minLength=1, maxLength=json_fields.LONGEST_TEXT)
ID = text_(pattern=f"^{json_fields.ID.pattern}$")
MOMENT = text_(format="date-time", description="ISO 8601 with its zone")
VERDICT = text_(enum=list(get_args(Verdict)))

COMMON = {
    "id": ID,
    "site": NAME,
    "hole": WHOLE,
    "made_at": MOMENT,
    "person": WORDS,
    "device": WORDS,
    "practice": {"type": "boolean"},
}
TARGET = object_(
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
FIX = object_(
    {
        "lat_deg": {"type": "number", "minimum": -90, "maximum": 90},
        "lon_deg": {"type": "number", "minimum": -180, "maximum": 180},
        "radius95_basis": WORDS,
        "age_s": NUMBER,
    },
    {"accuracy_m": or_null_(SIZE), "radius95_m": or_null_(SIZE), "height_m": or_null_(NUMBER)},
)
PLACE = {
    "lat_deg": FIX["properties"]["lat_deg"],
    "lon_deg": FIX["properties"]["lon_deg"],
    "radius95_basis": WORDS,
}
READING = object_(
    {**PLACE, "seconds": SIZE, "fixes": WHOLE, "left_out": WHOLE},
    {"radius95_m": or_null_(SIZE), "check_in": or_null_(ID), "check_in_age_s": or_null_(SIZE)},
    description="Fixes combined while standing still.",
)
MARK = object_(
    {**COMMON, "kind": {"const": "mark"}, "receiver": WORDS, "target": TARGET, "verdict": VERDICT},
    {
        "fix": or_null_(FIX),
        "reading": or_null_(READING),
        "off_m": or_null_({**SIZE, "description": "ground metres, as the phone had it"}),
    },
    description="A paint point was sprayed or pegged.",
)
UNDO = object_(
    {**COMMON, "kind": {"const": "undo"}, "undoes": ID},
    description="An earlier record of the same device, site and hole is taken back; practice takes back practice only.",
)
ON_PEG = {"receiver": WORDS, "peg": NAME, "peg_x": NUMBER, "peg_y": NUMBER}
CHECK_IN = object_(
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
TRIAL = object_(
    {
        **COMMON,
        "kind": {"const": "trial"},
        **ON_PEG,
        "seconds": SIZE,
        "fixes": WHOLE,
        "scatter_m": SIZE,
        "parts": {"type": "array", "items": PART, "minItems": 1, "maxItems": record_parts.MOST_PARTS},
        "spread": {"type": "number", "minimum": 1, "maximum": 1e15},
        "offset_x_m": NUMBER,
        "offset_y_m": NUMBER,
    },
    {"accuracy_m": or_null_(SIZE), "offset_radius95_m": or_null_(SIZE)},
    description="What minutes on a peg told of a receiver: scatter on one axis, parts of its error, offset.",
)
CHECK_TARGET = object_(
    {
        "bunker": NAME,
        "revision": WORDS,
        "tee": NAME,
        "tee_x": {**NUMBER, "description": "course metres"},
        "tee_y": {**NUMBER, "description": "course metres"},
        "figure": text_(enum=list(get_args(CheckFigure))),
        "basis": text_(enum=list(get_args(CheckBasis)), description="what it was compared with"),
    }
)
YARDAGE = object_(
    {
        **COMMON,
        "kind": {"const": "yardage"},
        "receiver": WORDS,
        "target": CHECK_TARGET,
        "reading": READING,
        "measured_m": {**NUMBER, "description": "ground metres, an offset right positive"},
        "planned_m": NUMBER,
        "tolerance_m": SIZE,
        "verdict": text_(enum=list(get_args(CheckVerdict))),
        "settle": WORDS,
    },
    {
        "range95_m": or_null_({**SIZE, "description": "half-width of the 95 % range of the figure"}),
        "reading95_m": or_null_({**SIZE, "description": "95 % radius of the position"}),
        "tee95_m": or_null_({**SIZE, "description": "95 % radius of the tee plate"}),
        "grid95_m": or_null_({**SIZE, "description": "95 % radius of the grid"}),
        "off_line_m": or_null_(NUMBER),
        "own_line_m": or_null_(NUMBER),
        "line_effect_m": or_null_(NUMBER),
        "edge_slope": or_null_({**SIZE, "description": "metres along the shot per metre across it"}),
    },
    description="A figure of a bunker was measured on the ground from a tee plate.",
)
PLACE_READ = object_(
    {
        **COMMON,
        "kind": {"const": "place"},
        "receiver": WORDS,
        "what": text_(enum=list(get_args(PlaceKind))),
        "name": NAME,
        "reading": READING,
        "note": WORDS,
    },
    description="Somebody stood at a place that the site is made of; hole 0 is a peg off every hole.",
)
STANDING_MARK = object_(
    {
        "id": ID,
        "bunker": NAME,
        "outline": NAME,
        "number": WHOLE,
        "revision": WORDS,
        "person": WORDS,
        "made_at": MOMENT,
        "practice": {"type": "boolean"},
        "off_m": or_null_(SIZE),
        "radius95_m": or_null_(SIZE),
        "verdict": VERDICT,
    }
)
