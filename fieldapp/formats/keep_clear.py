"""Things to keep clear of as JSON. Places in course metres, clearances in ground metres."""

from __future__ import annotations

from typing import cast

from fieldapp.errors import FormatError, RecordError
from fieldapp.formats.json_fields import Json, read_name, read_number, read_one_of, read_text
from fieldapp.model import KEEP_CLEAR_KINDS, KeepClear
from fieldapp.model.keep_clear import EXTENTS, Extent, KeepClearKind

LOCATE_FIRST = "A drawing is not a detection: have services located before digging."
MOST_THINGS, MOST_POINTS = 500, 2_000


def thing_document(thing: KeepClear) -> Json:
    """Return one thing as a JSON object."""
    return {
        "id": thing.id,
        "kind": thing.kind,
        "name": thing.name,
        "extent": thing.extent,
        "points": [list(point) for point in thing.points],
        "clearance_m": thing.clearance_m,
        "note": thing.note,
        "is_service": thing.is_service,
    }


def read_things(given: object) -> tuple[KeepClear, ...]:
    """Read a list of things; raises FormatError, in words, for what is none."""
    if not isinstance(given, list) or len(given) > MOST_THINGS:
        raise FormatError(f"'keep_clear' must be a list of at most {MOST_THINGS} things.")
    try:
        return tuple(_read(item, number) for number, item in enumerate(given, 1))
    except RecordError as fault:
        raise FormatError(f"What to keep clear of cannot be taken: {fault}") from fault


def _read(item: object, number: int) -> KeepClear:
    if not isinstance(item, dict):
        raise RecordError(f"thing {number} is no object.")
    try:
        return KeepClear(
            id=read_name(item, "id"),
            kind=cast(KeepClearKind, read_one_of(item, "kind", KEEP_CLEAR_KINDS)),
            name=read_text(item, "name"),
            extent=cast(Extent, read_one_of(item, "extent", EXTENTS)),
            points=_points(item),
            clearance_m=read_number(item, "clearance_m"),
            note=read_text(item, "note"),
        )
    except RecordError as fault:
        raise RecordError(f"thing {number}: {fault}") from fault


def _points(item: Json) -> tuple[tuple[float, float], ...]:
    points = item.get("points")
    if not isinstance(points, list) or not 1 <= len(points) <= MOST_POINTS:
        raise RecordError(f"'points' must be a list of 1 to {MOST_POINTS} places.")
    if not all(isinstance(point, list) and len(point) == 2 for point in points):
        raise RecordError("every point must be [x, y].")
    places = [{"x": x, "y": y} for x, y in points]
    return tuple((read_number(place, "x"), read_number(place, "y")) for place in places)
