"""A draft of a bunker as JSON, format fieldapp-draft version 1. Lengths in metres, places in course metres."""

from __future__ import annotations

from typing import Any, Literal, cast

from fieldapp.errors import FormatError, RecordError
from fieldapp.formats.json_fields import (
    Json,
    read_name,
    read_number,
    read_object,
    read_one_of,
    read_optional_number,
    read_text,
    read_whole,
)
from fieldapp.model import PART_NAMES, Bunker, ControlPoint, DrawnShape, Outline, PartName, Plan
from fieldapp.model.draft import Draft
from fieldapp.model.site import Role

FORMAT, VERSION = "fieldapp-draft", 1
MOST_OUTLINES, MOST_POINTS = 40, 2_000
ROLES: tuple[str, ...] = ("plain", "corner", "through")


def draft_document(draft: Draft) -> Json:
    """Return a draft as a JSON object."""
    bunker = draft.bunker
    return {
        "format": FORMAT,
        "version": VERSION,
        "bunker": {
            "id": bunker.id,
            "hole": bunker.hole,
            "name": bunker.name,
            "note": bunker.note,
            "floor_level_m": bunker.floor_level_m,
        },
        "from": {"revision": draft.from_revision, "site_version": draft.from_version},
        "outlines": [outline_document(outline) for outline in bunker.outlines],
        "plan": None if bunker.plan is None else vars(bunker.plan),
    }


def outline_document(outline: Outline) -> Json:
    """Return one outline of a draft as a JSON object."""
    shape = outline.shape
    if not isinstance(shape, DrawnShape):
        raise TypeError("an outline of a draft is a drawn one")
    return {
        "id": outline.id,
        "part": outline.part,
        "curve": shape.curve,
        "closed": shape.closed,
        "points": [point_document(point) for point in shape.points],
        "level_m": outline.level_m,
        "above_ground_m": outline.above_ground_m,
    }


def point_document(point: ControlPoint) -> list[Any]:
    """Return a control point as [x, y], with its role where it has one."""
    return [point.x, point.y] if point.role == "plain" else [point.x, point.y, point.role]


def read_draft(document: object) -> Draft:
    """Read a draft; raises FormatError for what is none, saying where."""
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise FormatError(f"This is no draft of a bunker: its format is not '{FORMAT}'.")
    if document.get("version") != VERSION:
        raise FormatError(
            f"This draft is of version {document.get('version')}; this server reads version {VERSION}."
        )
    try:
        return _read(document)
    except RecordError as fault:
        raise FormatError(f"The draft cannot be taken: {fault}") from fault


def _read(document: Json) -> Draft:
    head, grown = read_object(document, "bunker"), read_object(document, "from")
    given = document.get("outlines")
    if not isinstance(given, list) or len(given) > MOST_OUTLINES:
        raise RecordError(f"'outlines' must be a list of at most {MOST_OUTLINES}.")
    bunker = Bunker(
        id=read_name(head, "id"),
        hole=read_whole(head, "hole"),
        name=read_name(head, "name"),
        revision="",
        outlines=tuple(read_outline(item, index) for index, item in enumerate(given)),
        plan=None if document.get("plan") is None else _read_plan(read_object(document, "plan")),
        note=read_text(head, "note"),
        floor_level_m=read_optional_number(head, "floor_level_m"),
    )
    names = [outline.id for outline in bunker.outlines]
    if len(set(names)) < len(names):
        raise RecordError("two outlines have the same id; give each its own.")
    return Draft(
        bunker,
        None if grown.get("revision") is None else read_text(grown, "revision"),
        None if grown.get("site_version") is None else read_whole(grown, "site_version"),
    )


def read_outline(item: object, index: int = 0) -> Outline:
    """Read one outline of a draft; raises RecordError in words, which call it `index` + 1."""
    if not isinstance(item, dict):
        raise RecordError(f"outline {index + 1} is no object.")
    closed = item.get("closed")
    if not isinstance(closed, bool):
        raise RecordError(f"outline {index + 1}: 'closed' must be true or false.")
    shape = DrawnShape(
        points=_read_points(item, index),
        curve=cast(Literal["straight", "smooth"], read_one_of(item, "curve", ("smooth", "straight"))),
        closed=closed,
    )
    outline = Outline(
        id=read_name(item, "id"),
        part=cast(PartName, read_one_of(item, "part", PART_NAMES)),
        shape=shape,
        level_m=read_optional_number(item, "level_m"),
        above_ground_m=read_optional_number(item, "above_ground_m"),
    )
    if outline.level_m is not None and outline.above_ground_m is not None:
        raise RecordError(
            f"outline '{outline.id}' has a level and a height above the ground; give one of the two."
        )
    return outline


def _read_points(item: Json, index: int) -> tuple[ControlPoint, ...]:
    points = item.get("points")
    if not isinstance(points, list) or len(points) > MOST_POINTS:
        raise RecordError(f"outline {index + 1}: 'points' must be a list of at most {MOST_POINTS}.")
    return tuple(_read_point(point, index, number) for number, point in enumerate(points, 1))


def _read_point(point: object, index: int, number: int) -> ControlPoint:
    if not isinstance(point, list) or len(point) not in (2, 3):
        raise RecordError(f"outline {index + 1}, point {number} must be [x, y] or [x, y, role].")
    named = {"x": point[0], "y": point[1], "role": point[2] if len(point) == 3 else "plain"}
    try:
        role = cast(Role, read_one_of(named, "role", ROLES))
        return ControlPoint(read_number(named, "x"), read_number(named, "y"), role)
    except RecordError as fault:
        raise RecordError(f"outline {index + 1}, point {number}: {fault}") from fault


def _read_plan(item: Json) -> Plan:
    plan = Plan(
        tee=read_name(item, "tee"),
        reach_m=read_optional_number(item, "reach_m"),
        carry_m=read_optional_number(item, "carry_m"),
        along_m=read_optional_number(item, "along_m"),
        offset_m=read_optional_number(item, "offset_m"),
        tolerance_m=read_number(item, "tolerance_m", 0.001, 100.0),
    )
    if plan.reach_m is not None and plan.carry_m is not None and plan.reach_m > plan.carry_m:
        raise RecordError("the planned reach is longer than the planned carry; correct one.")
    return plan
