"""JSON Schemas of drawings brought in and of pictures to draw over, as the API's description shows them."""

from __future__ import annotations

from typing import get_args

from fieldapp.formats.drawing import DrawingKind
from fieldapp.model import PART_NAMES
from fieldapp.model.drawing_reading import AXIS_ORDERS, BY_PEGS, COURSE, DRAWING_UNITS, LONLAT
from fieldapp.server.draft_schemas import PERSON, THING
from fieldapp.server.import_asking import MOST_CLEARANCE_M
from fieldapp.server.record_schemas import (
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
from fieldapp.workflow.backdrops import MOST_PLACES
from fieldapp.workflow.drawing_placing import MOST_TIES
from fieldapp.workflow.drawing_uses import USES
from fieldapp.workflow.imports import State

COUNT: Schema = {"type": "integer", "minimum": 0}
WORLD = {**list_({"type": "number"}), "description": "A, D, B, E, C, F of a world file"}
READING = object_(
    {
        "system": text_(
            pattern=f"^({COURSE}|{LONLAT}|{BY_PEGS}|EPSG:[0-9]{{4,6}})$",
            description=f"'{BY_PEGS}' fits the drawing to the course by its ties",
        ),
        "unit": text_(enum=list(DRAWING_UNITS)),
        "order": text_(enum=list(AXIS_ORDERS), description="yx has the northing first, or the latitude"),
    },
    {"ties": {**list_(object_({"x": NUMBER, "y": NUMBER, "mark": NAME})), "maxItems": MOST_TIES}},
    description="How the numbers of a drawing are read.",
)
SHAPE = {
    "curve": text_(enum=["smooth", "straight"]),
    "closed": {"type": "boolean"},
    "points": list_(ref("DraftPoint")),
}
FOUND = object_(
    {
        "kind": text_(enum=list(get_args(DrawingKind))),
        "layers": list_(
            object_({"name": text_(), "lines": COUNT, "closed": COUNT, "spots": COUNT, "use": text_()})
        ),
        "says": list_(text_()),
        "remarks": list_(text_()),
        "reading": ref("DrawingReading"),
        "why": object_({"unit": text_(), "order": text_(), "system": text_()}),
    },
    description="What is in the drawing, and how it is best read, with the reasons.",
)
BACKDROP = {
    "id": text_(),
    "name": text_(),
    "width": COUNT,
    "height": COUNT,
    "world": WORLD,
    "url": text_(),
    "fitted_by": text_(),
}
WAITING = {key: BACKDROP[key] for key in ("id", "name", "width", "height", "url")}

IMPORT_SCHEMAS: dict[str, Schema] = {
    "DrawingReading": READING,
    "Import": object_(
        {
            "id": text_(),
            "name": text_(),
            "state": text_(enum=list(get_args(State))),
            "size": COUNT,
            "seconds": SIZE,
            "words": text_(description="why it was refused"),
            "peak_bytes": COUNT,
        },
        {"found": FOUND},
        description="How far a drawing that was sent has come; `found` once it is ready, where a hole is named.",
    ),
    "AskedOfImport": object_(
        {"hole": WHOLE},
        {
            "reading": ref("DrawingReading"),
            "layers": {
                "type": "object",
                "additionalProperties": text_(enum=list(USES)),
                "description": "what each layer becomes, by its name",
            },
            "clearances_m": {
                "type": "object",
                "additionalProperties": {"type": "number", "minimum": 0, "maximum": MOST_CLEARANCE_M},
                "description": "how far to stay from the things of a layer, ground metres, by its name",
            },
            "left_out": {**list_(COUNT), "description": "lines by their index"},
            "bunker": object_({}, {"id": WORDS, "name": WORDS}),
            **PERSON,
        },
    ),
    "ImportPreview": object_(
        {
            "reading": ref("DrawingReading"),
            "lines": list_(
                object_({"index": COUNT, "layer": text_(), "name": text_(), "away_m": SIZE, **SHAPE})
            ),
            "lines_in_all": COUNT,
            "away_m": or_null_(SIZE),
            "outlines": list_(object_({"id": text_(), "part": text_(enum=list(PART_NAMES)), **SHAPE})),
            "keep_clear": list_(object_(THING)),
            "told": list_(text_()),
            "faults": list_(text_()),
        },
        description="What an import comes to, in course metres; nothing of it is kept.",
    ),
    "TakenImport": object_({"bunker_id": text_(), "draft_number": or_null_(COUNT), "things": COUNT}),
    "Backdrops": object_(
        {"backdrops": list_(object_(BACKDROP))},
        description="Pictures to draw over; `world` takes the centre of a pixel to course metres.",
    ),
    "SentPicture": {
        "anyOf": [
            object_({**BACKDROP, "state": {"const": "kept"}, "told": list_(text_())}),
            object_(
                {**WAITING, "state": {"const": "waiting"}, "asks": text_()},
                {"world": WORLD, "told": list_(text_())},
            ),
        ],
        "description": "A picture that is kept, or one that waits to be laid on the course by what is seen in it.",
    },
    "PicturePlaces": object_(
        {
            "places": {
                **list_(object_({"column": NUMBER, "row": NUMBER, "mark": NAME})),
                "maxItems": MOST_PLACES,
            }
        },
        {"keep": {"type": "boolean"}},
        description="Pixels, and the peg or tee plate seen at each; `keep` keeps the picture as it then lies.",
    ),
    "TakenOff": object_({"off": text_()}),
}
