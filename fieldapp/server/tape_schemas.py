"""JSON Schemas of the records of pegs and tapes, and of a record of any kind."""

from __future__ import annotations

from typing import get_args

from fieldapp.formats import tape_records
from fieldapp.model import PART_NAMES, PegState
from fieldapp.model.site import PegKind
from fieldapp.model.tape_record import (
    CapturedBy,
    CaptureMethod,
    MorningVerdict,
    PlacedBy,
    Side,
    TapedVerdict,
)
from fieldapp.server.record_schemas import (
    CHECK_IN,
    COMMON,
    FIX,
    ID,
    MARK,
    NAME,
    NUMBER,
    PART,
    PLACE_READ,
    READING,
    SIZE,
    TRIAL,
    UNDO,
    WORDS,
    YARDAGE,
    Schema,
    object_,
    or_null_,
    text_,
)


def _list(item: Schema, most: int, **more: object) -> Schema:
    return {"type": "array", "items": item, "maxItems": most, **more}


COURSE_M: Schema = {**NUMBER, "description": "course metres"}
TIE = object_({"peg": NAME, "distance_m": {**SIZE, "description": "level, ground metres"}})
USED_PEG = object_({"peg": NAME, "x": COURSE_M, "y": COURSE_M}, {"within_m": or_null_(SIZE)})
USED_PEGS = _list(USED_PEG, tape_records.MOST_PEGS)
NAMES = _list(NAME, tape_records.MOST_PEGS)
PLACE: Schema = {
    "if": {"properties": {"state": {"enum": list(tape_records.PLACES_A_PEG)}}},
    "then": {"required": ["x", "y"], "properties": {"x": NUMBER, "y": NUMBER}},
    "else": {
        "anyOf": [
            {"required": ["x", "y"], "properties": {"x": NUMBER, "y": NUMBER}},
            {"properties": {"x": {"type": "null"}, "y": {"type": "null"}}},
        ]
    },
}
PEG = object_(
    {
        **COMMON,
        "kind": {"const": "peg"},
        "receiver": WORDS,
        "peg": NAME,
        "peg_kind": text_(enum=list(get_args(PegKind))),
        "state": text_(enum=list(get_args(PegState))),
        "placed_by": text_(enum=list(get_args(PlacedBy))),
        "note": WORDS,
    },
    {
        "bunker": or_null_(NAME),
        "x": or_null_(COURSE_M),
        "y": or_null_(COURSE_M),
        "within_m": or_null_(SIZE),
        "photos": _list(
            ID, tape_records.MOST_PHOTOS, description="ids of pictures, which are sent by themselves"
        ),
        "ties": _list(TIE, tape_records.MOST_PEGS),
        "reading": or_null_(READING),
    },
    description="What was found of a peg; one planned, new or set again says where it is.",
    **PLACE,
)
LINE = object_(
    {"one": NAME, "other": NAME, "distance_m": {**SIZE, "description": "as read on the tape, ground metres"}},
    {"level_difference_m": or_null_(NUMBER)},
)
TAPED = object_(
    {
        **COMMON,
        "kind": {"const": "taped"},
        "receiver": WORDS,
        "pegs": USED_PEGS,
        "lines": _list(LINE, tape_records.MOST_LINES, minItems=1),
        "tape_error_m": {**SIZE, "description": "one sigma of a taped distance"},
        "verdict": text_(enum=list(get_args(TapedVerdict))),
        "words": WORDS,
    },
    {
        "bunker": or_null_(NAME),
        "suspects": NAMES,
        "suspect_line": or_null_({**_list(NAME, 2), "minItems": 2}),
    },
    description="Distances between pegs as they were taped, and what the phone made of them.",
)


def _point(by: CapturedBy) -> Schema:
    least, most = tape_records.PEGS_OF[by]
    variants = [
        object_(
            {
                "by": {"const": by},
                "pegs": {**_list(NAME, count), "minItems": count},
                "distances_m": {**_list(NUMBER, count), "minItems": count},
                "side": text_(enum=list(get_args(Side))),
                "x": COURSE_M,
                "y": COURSE_M,
            },
            {"within_m": or_null_(SIZE)},
        )
        for count in range(least, most + 1)
    ]
    return {"oneOf": variants}


WALK_FIX = object_(
    {"t_s": SIZE, "lat_deg": FIX["properties"]["lat_deg"], "lon_deg": FIX["properties"]["lon_deg"]},
    {"sigma_m": or_null_(SIZE)},
)
POINTS = _list({"oneOf": [_point(by) for by in get_args(CapturedBy)]}, tape_records.MOST_POINTS)
FIXES = _list(WALK_FIX, tape_records.MOST_FIXES)
PARTS: Schema = {"type": "array", "items": PART, "minItems": 1, "maxItems": 10}
CAPTURE = object_(
    {
        **COMMON,
        "kind": {"const": "capture"},
        "receiver": WORDS,
        "bunker": NAME,
        "outline": NAME,
        "part": text_(enum=list(PART_NAMES)),
        "revision": WORDS,
        "method": text_(enum=list(get_args(CaptureMethod))),
        "closed": {"type": "boolean"},
        "curve": text_(enum=["smooth", "straight"]),
        "tape_error_m": SIZE,
        "spread": {"type": "number", "minimum": 1, "maximum": 1e15},
        "shift_x_m": NUMBER,
        "shift_y_m": NUMBER,
        "note": WORDS,
    },
    {
        "pegs": USED_PEGS,
        "points": POINTS,
        "fixes": FIXES,
        "check_in": or_null_(ID),
        "shift_radius95_m": or_null_(SIZE),
    },
    description="An outline as it is sprayed on the ground, measured so that it can be brought back.",
    **{
        "if": {"properties": {"method": {"const": "walk"}}},
        "then": {
            "required": ["fixes", "parts"],
            "properties": {"fixes": {"minItems": tape_records.LEAST_POINTS}, "parts": PARTS},
        },
        "else": {
            "required": ["points"],
            "properties": {"points": {"minItems": tape_records.LEAST_POINTS}},
        },
    },
)
MORNING = object_(
    {
        **COMMON,
        "kind": {"const": "morning"},
        "receiver": WORDS,
        "bunker": NAME,
        "revision": WORDS,
        "states": _list(
            {
                "type": "array",
                "prefixItems": [NAME, text_(enum=list(get_args(PegState)))],
                "items": {"type": "string"},
                "minItems": 2,
                "maxItems": 2,
            },
            tape_records.MOST_PEGS,
        ),
        "verdict": text_(enum=list(get_args(MorningVerdict))),
        "words": WORDS,
    },
    {"check_in": or_null_(ID), "taped": or_null_(ID), "reset": NAMES},
    description="The pegs of a bunker were checked before work goes on.",
)
RECORD: Schema = {
    "oneOf": [MARK, UNDO, CHECK_IN, TRIAL, YARDAGE, PLACE_READ, PEG, TAPED, CAPTURE, MORNING],
}
