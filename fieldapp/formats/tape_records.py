"""Records of pegs and tapes, read from JSON: peg reports, taped distances, captures, mornings; RecordError in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast, get_args

from fieldapp.errors import RecordError
from fieldapp.formats.json_fields import (
    Json,
    read_id,
    read_name,
    read_number,
    read_one_of,
    read_optional_number,
    read_optional_size,
    read_text,
)
from fieldapp.formats.record_parts import read_parts, read_reading
from fieldapp.model import (
    PART_NAMES,
    Capture,
    CapturedPoint,
    Morning,
    PegReport,
    PegState,
    PegTie,
    Taped,
    TapedLine,
    UsedPeg,
    WalkFix,
)
from fieldapp.model.site import PartName, PegKind
from fieldapp.model.tape_record import (
    CapturedBy,
    CaptureMethod,
    MorningVerdict,
    PlacedBy,
    Side,
    TapedVerdict,
)

T = TypeVar("T")
MOST_PHOTOS = 20
MOST_PEGS = 200
MOST_LINES = 500
MOST_POINTS = 2_000
MOST_FIXES = 5_000
LEAST_POINTS = 3
"""An outline of fewer points has no shape."""
PEGS_OF = {"line": (2, 2), "ties": (2, 3), "reading": (0, 0)}
PLACES_A_PEG = ("planned", "new", "reset")
"""The states that say where a peg is."""


def read_peg_report(common: Json, item: Json) -> PegReport:
    """Read what was found of a peg."""
    state = cast(PegState, read_one_of(item, "state", get_args(PegState)))
    x, y = read_optional_number(item, "x"), read_optional_number(item, "y")
    if (x is None) != (y is None) or (x is None and state in PLACES_A_PEG):
        raise RecordError(f"a peg that is '{state}' needs both 'x' and 'y'.")
    return PegReport(
        **common,
        receiver=read_text(item, "receiver"),
        bunker=_optional_name(item, "bunker"),
        peg=read_name(item, "peg"),
        peg_kind=cast(PegKind, read_one_of(item, "peg_kind", get_args(PegKind))),
        state=state,
        x=x,
        y=y,
        within_m=read_optional_size(item, "within_m"),
        placed_by=cast(PlacedBy, read_one_of(item, "placed_by", get_args(PlacedBy))),
        note=read_text(item, "note"),
        photos=tuple(read_id({"photo": photo}, "photo") for photo in _list(item, "photos", MOST_PHOTOS)),
        ties=_each(item, "ties", MOST_PEGS, _tie),
        reading=None if item.get("reading") is None else read_reading(_object(item["reading"], "reading")),
    )


def read_taped(common: Json, item: Json) -> Taped:
    """Read distances taped between pegs."""
    lines = _each(item, "lines", MOST_LINES, _line)
    if not lines:
        raise RecordError("'lines' is empty; tape one distance at least.")
    return Taped(
        **common,
        receiver=read_text(item, "receiver"),
        bunker=_optional_name(item, "bunker"),
        pegs=_each(item, "pegs", MOST_PEGS, _used_peg),
        lines=lines,
        tape_error_m=read_number(item, "tape_error_m", 0.0),
        verdict=cast(TapedVerdict, read_one_of(item, "verdict", get_args(TapedVerdict))),
        suspects=_names(item, "suspects", MOST_PEGS),
        suspect_line=_suspect_line(item),
        words=read_text(item, "words"),
    )


def read_capture(common: Json, item: Json) -> Capture:
    """Read an outline captured on the ground; one of fewer than three points is refused."""
    method = cast(CaptureMethod, read_one_of(item, "method", get_args(CaptureMethod)))
    points = _each(item, "points", MOST_POINTS, _captured_point)
    fixes = _each(item, "fixes", MOST_FIXES, _walk_fix)
    measured = fixes if method == "walk" else points
    if len(measured) < LEAST_POINTS:
        raise RecordError(
            f"a capture of {len(measured)} points has no shape; measure {LEAST_POINTS} at least, better twelve."
        )
    return Capture(
        **common,
        receiver=read_text(item, "receiver"),
        bunker=read_name(item, "bunker"),
        outline=read_name(item, "outline"),
        part=cast(PartName, read_one_of(item, "part", PART_NAMES)),
        revision=read_text(item, "revision"),
        method=method,
        closed=_flag(item, "closed"),
        curve=read_one_of(item, "curve", ("smooth", "straight")),  # type: ignore[arg-type]
        tape_error_m=read_number(item, "tape_error_m", 0.0),
        pegs=_each(item, "pegs", MOST_PEGS, _used_peg),
        points=points,
        fixes=fixes,
        parts=read_parts(item) if method == "walk" else (),
        spread=read_number(item, "spread", 1.0),
        check_in=None if item.get("check_in") is None else read_id(item, "check_in"),
        shift_x_m=read_number(item, "shift_x_m"),
        shift_y_m=read_number(item, "shift_y_m"),
        shift_radius95_m=read_optional_size(item, "shift_radius95_m"),
        note=read_text(item, "note"),
    )


def read_morning(common: Json, item: Json) -> Morning:
    """Read what a morning's check of the pegs found."""
    return Morning(
        **common,
        receiver=read_text(item, "receiver"),
        bunker=read_name(item, "bunker"),
        revision=read_text(item, "revision"),
        check_in=None if item.get("check_in") is None else read_id(item, "check_in"),
        taped=None if item.get("taped") is None else read_id(item, "taped"),
        states=tuple(_state(pair) for pair in _list(item, "states", MOST_PEGS)),
        verdict=cast(MorningVerdict, read_one_of(item, "verdict", get_args(MorningVerdict))),
        reset=_names(item, "reset", MOST_PEGS),
        words=read_text(item, "words"),
    )


def _tie(item: Json) -> PegTie:
    return PegTie(read_name(item, "peg"), read_number(item, "distance_m", 0.0))


def _used_peg(item: Json) -> UsedPeg:
    return UsedPeg(
        read_name(item, "peg"),
        read_number(item, "x"),
        read_number(item, "y"),
        read_optional_size(item, "within_m"),
    )


def _line(item: Json) -> TapedLine:
    return TapedLine(
        read_name(item, "one"),
        read_name(item, "other"),
        read_number(item, "distance_m", 0.0),
        read_optional_number(item, "level_difference_m"),
    )


def _captured_point(item: Json) -> CapturedPoint:
    by = cast(CapturedBy, read_one_of(item, "by", get_args(CapturedBy)))
    pegs = _names(item, "pegs", MOST_PEGS)
    distances = tuple(
        read_number({"distances_m": one}, "distances_m") for one in _list(item, "distances_m", MOST_PEGS)
    )
    least, most = PEGS_OF[by]
    if not least <= len(pegs) <= most or len(distances) != len(pegs):
        raise RecordError(f"a point by {by} has {len(pegs)} pegs and {len(distances)} distances.")
    return CapturedPoint(
        by=by,
        pegs=pegs,
        distances_m=distances,
        side=cast(Side, read_one_of(item, "side", get_args(Side))),
        x=read_number(item, "x"),
        y=read_number(item, "y"),
        within_m=read_optional_size(item, "within_m"),
    )


def _walk_fix(item: Json) -> WalkFix:
    return WalkFix(
        t_s=read_number(item, "t_s", 0.0),
        lat_deg=read_number(item, "lat_deg", -90.0, 90.0),
        lon_deg=read_number(item, "lon_deg", -180.0, 180.0),
        sigma_m=read_optional_size(item, "sigma_m"),
    )


def _state(pair: object) -> tuple[str, PegState]:
    if not isinstance(pair, list) or len(pair) != 2:
        raise RecordError("each of 'states' must be a pair of a peg and what was found of it.")
    found = {"peg of states": pair[0], "state of states": pair[1]}
    state = cast(PegState, read_one_of(found, "state of states", get_args(PegState)))
    return read_name(found, "peg of states"), state


def _suspect_line(item: Json) -> tuple[str, str] | None:
    if item.get("suspect_line") is None:
        return None
    ends = _names(item, "suspect_line", 2)
    if len(ends) != 2:
        raise RecordError("'suspect_line' must name two pegs.")
    return ends[0], ends[1]


def _flag(item: Json, key: str) -> bool:
    value = item.get(key)
    if not isinstance(value, bool):
        raise RecordError(f"'{key}' must be true or false.")
    return value


def _optional_name(item: Json, key: str) -> str | None:
    return None if item.get(key) is None else read_name(item, key)


def _names(item: Json, key: str, most: int) -> tuple[str, ...]:
    return tuple(read_name({key: name}, key) for name in _list(item, key, most))


def _each(item: Json, key: str, most: int, read: Callable[[Json], T]) -> tuple[T, ...]:
    return tuple(read(_object(one, key)) for one in _list(item, key, most))


def _list(item: Json, key: str, most: int) -> list[object]:
    value = item.get(key, [])
    if not isinstance(value, list) or len(value) > most:
        raise RecordError(f"'{key}' must be a list of at most {most:,}.")
    return value


def _object(value: object, key: str) -> Json:
    if not isinstance(value, dict):
        raise RecordError(f"'{key}' must hold JSON objects.")
    return value
