"""The parts of a field record, read from JSON: targets, fix, reading, peg; each raises RecordError in words."""

from __future__ import annotations

from typing import cast, get_args

from fieldapp.errors import RecordError
from fieldapp.formats.json_fields import (
    Json,
    read_id,
    read_name,
    read_number,
    read_object,
    read_one_of,
    read_optional_number,
    read_optional_size,
    read_text,
    read_whole,
)
from fieldapp.model import (
    CheckBasis,
    CheckFigure,
    CheckTarget,
    CheckVerdict,
    Fix,
    StoodReading,
    Target,
)

MOST_PARTS = 10


def read_target(item: Json) -> Target:
    """Read which paint point was meant."""
    return Target(
        bunker=read_name(item, "bunker"),
        outline=read_name(item, "outline"),
        part=read_text(item, "part"),
        number=read_whole(item, "number"),
        revision=read_text(item, "revision"),
        x=read_number(item, "x"),
        y=read_number(item, "y"),
    )


def read_fix(item: Json) -> Fix:
    """Read one position as the receiver gave it."""
    return Fix(
        lat_deg=read_number(item, "lat_deg", -90.0, 90.0),
        lon_deg=read_number(item, "lon_deg", -180.0, 180.0),
        accuracy_m=read_optional_size(item, "accuracy_m"),
        radius95_m=read_optional_size(item, "radius95_m"),
        radius95_basis=read_text(item, "radius95_basis"),
        age_s=read_number(item, "age_s"),
        height_m=read_optional_number(item, "height_m"),
    )


def read_reading(item: Json) -> StoodReading:
    """Read what was made of fixes."""
    return StoodReading(
        lat_deg=read_number(item, "lat_deg", -90.0, 90.0),
        lon_deg=read_number(item, "lon_deg", -180.0, 180.0),
        radius95_m=read_optional_size(item, "radius95_m"),
        radius95_basis=read_text(item, "radius95_basis"),
        seconds=read_number(item, "seconds", 0.0),
        fixes=read_whole(item, "fixes"),
        left_out=read_whole(item, "left_out"),
        check_in=None if item.get("check_in") is None else read_id(item, "check_in"),
        check_in_age_s=read_optional_size(item, "check_in_age_s"),
    )


def read_peg(item: Json) -> Json:
    """Read the fields that say which peg was stood on, with which receiver."""
    return {
        "receiver": read_text(item, "receiver"),
        "peg": read_name(item, "peg"),
        "peg_x": read_number(item, "peg_x"),
        "peg_y": read_number(item, "peg_y"),
    }


def read_parts(item: Json) -> tuple[tuple[float, float], ...]:
    """Read the parts of a receiver's error: pairs of a share of its variance and a time constant, s."""
    value = item.get("parts")
    if not isinstance(value, list) or not 1 <= len(value) <= MOST_PARTS:
        raise RecordError(f"'parts' must be a list of 1 to {MOST_PARTS} pairs of a share and seconds.")
    pairs = []
    for part in value:
        if not isinstance(part, list) or len(part) != 2:
            raise RecordError("each of 'parts' must be a pair of a share and seconds.")
        pair = {"share of a part": part[0], "time of a part": part[1]}
        pairs.append(
            (read_number(pair, "share of a part", 0.0, 1.0), read_number(pair, "time of a part", 0.0))
        )
    return tuple(pairs)


def _check_target(item: Json) -> CheckTarget:
    return CheckTarget(
        bunker=read_name(item, "bunker"),
        revision=read_text(item, "revision"),
        tee=read_name(item, "tee"),
        tee_x=read_number(item, "tee_x"),
        tee_y=read_number(item, "tee_y"),
        figure=cast(CheckFigure, read_one_of(item, "figure", get_args(CheckFigure))),
        basis=cast(CheckBasis, read_one_of(item, "basis", get_args(CheckBasis))),
    )


def read_check(item: Json) -> Json:
    """Read the fields of a yardage check that are no other record's."""
    sizes = ("range95_m", "reading95_m", "tee95_m", "grid95_m", "edge_slope")
    lengths = ("off_line_m", "own_line_m", "line_effect_m")
    return {
        "target": _check_target(read_object(item, "target")),
        "measured_m": read_number(item, "measured_m"),
        "planned_m": read_number(item, "planned_m"),
        "tolerance_m": read_number(item, "tolerance_m", 0.0),
        "verdict": cast(CheckVerdict, read_one_of(item, "verdict", get_args(CheckVerdict))),
        "settle": read_text(item, "settle"),
        **{name: read_optional_size(item, name) for name in sizes},
        **{name: read_optional_number(item, name) for name in lengths},
    }
