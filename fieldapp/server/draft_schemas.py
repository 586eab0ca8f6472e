"""JSON Schemas of drafts of bunkers and of what to keep clear of, as the API's description shows them."""

from __future__ import annotations

from typing import get_args

from fieldapp.formats import draft, keep_clear
from fieldapp.formats.site_table import ID_RULE
from fieldapp.model import KEEP_CLEAR_KINDS, PART_NAMES
from fieldapp.model.keep_clear import EXTENTS
from fieldapp.server.record_schemas import (
    MOMENT,
    NAME,
    NUMBER,
    SIZE,
    WHOLE,
    WORDS,
    Schema,
    list_,
    object_,
    or_null_,
    ref,
    text_,
)
from fieldapp.store.drafts import DraftState

PLACE: Schema = {"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2}
POINT: Schema = {
    "type": "array",
    "prefixItems": [NUMBER, NUMBER, text_(enum=list(draft.ROLES))],
    "items": False,
    "minItems": 2,
    "maxItems": 3,
    "description": "x and y, course metres, and what the line does there",
}
OUTLINE = object_(
    {
        "id": text_(pattern=f"^{ID_RULE}$"),
        "part": text_(enum=list(PART_NAMES)),
        "curve": text_(enum=["smooth", "straight"]),
        "closed": {"type": "boolean"},
        "points": {**list_(ref("DraftPoint")), "maxItems": draft.MOST_POINTS},
    },
    {"level_m": or_null_(NUMBER), "above_ground_m": or_null_(NUMBER)},
    description="One outline of a draft, by points in course metres; at most one of the two heights.",
)
PLAN = object_(
    {"tee": NAME, "tolerance_m": {"type": "number", "minimum": 0.001, "maximum": 100}},
    {name: or_null_(NUMBER) for name in ("reach_m", "carry_m", "along_m", "offset_m")},
)
DRAFT = object_(
    {
        "format": {"const": draft.FORMAT},
        "version": {"const": draft.VERSION},
        "bunker": object_(
            {"id": NAME, "hole": WHOLE, "name": NAME, "note": WORDS}, {"floor_level_m": or_null_(NUMBER)}
        ),
        "from": object_({}, {"revision": or_null_(WORDS), "site_version": or_null_(WHOLE)}),
        "outlines": {**list_(ref("DraftOutline")), "maxItems": draft.MOST_OUTLINES},
    },
    {"plan": or_null_(PLAN)},
    description="A bunker as it is being drawn; every outline is drawn in course metres.",
)
STATE = text_(enum=list(get_args(DraftState)))
SAVE = {"number": {"type": "integer", "minimum": 1}, "person": text_(), "made_at": MOMENT, "state": STATE}
CLEARANCE = object_(
    {
        "id": text_(),
        "name": text_(),
        "kind": text_(),
        "is_service": {"type": "boolean"},
        "distance_m": SIZE,
        "clearance_m": SIZE,
        "is_too_near": {"type": "boolean"},
        "bunker_at": PLACE,
        "thing_at": PLACE,
    }
)
FIGURES = object_(
    {
        "tee": text_(),
        "middle": PLACE,
        "along_m": NUMBER,
        "offset_m": NUMBER,
        "reach_m": or_null_(NUMBER),
        "carry_m": or_null_(NUMBER),
        "is_behind": {"type": "boolean"},
        "long_axis_m": SIZE,
        "short_axis_m": SIZE,
        "slant_deg": SIZE,
        "area_m2": or_null_(SIZE),
        "perimeter_m": SIZE,
        "nearest_peg": or_null_(object_({"id": text_(), "distance_m": SIZE})),
        "clearances": list_(CLEARANCE),
    },
    description="Ground metres, but for the middle, which is in course metres.",
)
PERSON = {"person": {**WORDS, "description": "who, where the link is a crew's; else the name on the link"}}

THING = {
    "id": NAME,
    "kind": text_(enum=list(KEEP_CLEAR_KINDS)),
    "name": WORDS,
    "extent": text_(enum=list(EXTENTS)),
    "points": {**list_(PLACE), "minItems": 1, "maxItems": keep_clear.MOST_POINTS},
    "clearance_m": SIZE,
    "note": WORDS,
}
THINGS = {"type": "array", "maxItems": keep_clear.MOST_THINGS}

DRAFT_SCHEMAS: dict[str, Schema] = {
    "DraftPoint": POINT,
    "DraftOutline": OUTLINE,
    "Draft": DRAFT,
    "SentDraft": object_({"draft": ref("Draft"), **PERSON}, {"device": WORDS}),
    "Signed": object_(PERSON),
    "StandingDraft": object_(
        {
            "draft": {"type": "object"},
            "number": {"type": "integer", "minimum": 0},
            "state": or_null_(STATE),
            "person": text_(),
            "made_at": or_null_(MOMENT),
            "standing_revision": or_null_(text_()),
            "remarks": list_(text_()),
        },
        description="A bunker's draft to work on; its ETag is its number in quotes.",
    ),
    "DraftSave": object_(SAVE),
    "DraftSaves": object_({"drafts": list_(object_({**SAVE, "changes": list_(text_())}))}),
    "KeptDraft": object_({**SAVE, "draft": {"type": "object"}}),
    "CheckedDraft": object_({"figures": or_null_(FIGURES), "faults": list_(text_()), "remark": text_()}),
    "KeepClear": object_(
        {
            "site": text_(),
            "version": {"type": "integer"},
            "keep_clear": list_(object_({**THING, "is_service": {"type": "boolean"}})),
            "caution": text_(),
        },
        description="What a dig must keep clear of; places in course metres, clearances in ground metres.",
    ),
    "SentKeepClear": object_({"keep_clear": {**THINGS, "items": object_(THING)}, **PERSON}),
    "Offset": object_(
        {
            "outline": ref("DraftOutline"),
            "by_m": {**NUMBER, "description": "ground metres, outward positive"},
            "part": text_(enum=list(PART_NAMES)),
            "hole": WHOLE,
        }
    ),
    "OffsetOutline": object_(
        {
            "outline": {"type": "object"},
            "off_m": {
                **SIZE,
                "description": "how far its curve leaves the true distance, ground metres at most",
            },
        }
    ),
}
