"""Drawings as zipped shapefiles: every .shp in the zip, with its table for names and its .prj for the system."""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from itertools import pairwise
from pathlib import PurePosixPath
from typing import Any

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_found import Found, clean, plain
from fieldapp.formats.drawing_system import named_system, system_of_numbers
from fieldapp.formats.drawing_zip import unpacked

ENDINGS = (".shp", ".shx", ".dbf", ".prj", ".cpg")
LAYER_FIELDS = ("layer", "part", "kind", "type", "class", "category")
NAME_FIELDS = ("name", "outline", "label", "title", "id")
POINTS, MULTIPOINTS = (1, 11, 21), (8, 18, 28)
LINES, AREAS = (3, 13, 23), (5, 15, 25)
COURSE_FIELD, COURSE = "coords", "course m"
"""A field that holds this word says that the coordinates are course metres."""
logging.getLogger("shapefile").setLevel(logging.CRITICAL)
Values = dict[str, Any]


def read_shapefile_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read every shapefile of a zip; raises FormatError."""
    files = {name.lower(): inner for name, inner in unpacked(content, ENDINGS, limits).items()}
    found = Found("shapefile", limits)
    of_course = False
    for name in (name for name in files if name.endswith(".shp")):
        of_course |= _read_layer(found, name.removesuffix(".shp"), files)
    system, unit_m = _system(found, files, of_course)
    return found.drawing(unit_m, system)


def _read_layer(found: Found, base: str, files: dict[str, bytes]) -> bool:
    """Read one shapefile; return whether it says that it is in course metres."""
    name, of_course = PurePosixPath(base).name, False
    try:
        for kind, parts, values in _shapes(base, files):
            of_course |= values.get(COURSE_FIELD) == COURSE
            _add(found, kind, parts, _first(values, LAYER_FIELDS) or name, _first(values, NAME_FIELDS))
    except (FormatError, MemoryError):
        raise
    except Exception as fault:
        # pyshp lets errors of every kind through where a length or an offset is broken
        raise FormatError(
            f"Its layer '{clean(name)}' is broken; write it anew from the program that made it."
        ) from fault
    return of_course


def _shapes(base: str, files: dict[str, bytes]) -> Iterator[tuple[int, list[list[Any]], Values]]:
    """Yield type, places by part and table values of every shape."""
    import shapefile

    parts = {
        end: io.BytesIO(files[f"{base}.{end}"]) for end in ("shp", "shx", "dbf") if f"{base}.{end}" in files
    }
    encoding = files.get(f"{base}.cpg", b"").decode("ascii", "replace").strip() or "utf-8"
    with shapefile.Reader(**parts, encoding=_known(encoding), encodingErrors="replace") as reader:
        fields = (
            [field[0].lower() for field in reader.fields if field[0] != "DeletionFlag"]
            if "dbf" in parts
            else []
        )
        for index, shape in enumerate(reader.iterShapes()):
            values = dict(zip(fields, reader.record(index) or (), strict=False)) if fields else {}
            places = list(getattr(shape, "points", ()))
            starts = [*getattr(shape, "parts", [0]), len(places)] if places else [0]
            yield shape.shapeType, [places[a:b] for a, b in pairwise(starts)], values


def _known(encoding: str) -> str:
    try:
        "".encode(encoding)
    except LookupError:
        return "utf-8"
    return encoding


def _add(found: Found, kind: int, parts: list[list[Any]], layer: str, name: str) -> None:
    if kind in POINTS or kind in MULTIPOINTS:
        for place in (place for part in parts for place in part):
            found.add_spot(layer, name, place[0], place[1])
    elif kind in LINES or kind in AREAS:
        for part in parts:
            found.add_line(layer, name, plain(part), closed=kind in AREAS)
    else:
        found.leave_out("empty shapes" if kind == 0 else f"shapes of type {kind}")


def _first(values: Values, fields: tuple[str, ...]) -> str:
    return next((text for text in (clean(values.get(field)) for field in fields) if text), "")


def _system(found: Found, files: dict[str, bytes], of_course: bool) -> tuple[str | None, float | None]:
    texts = {
        inner.decode("utf-8", "replace").strip() for name, inner in files.items() if name.endswith(".prj")
    }
    if of_course:
        found.reasons.append("Its table says that its coordinates are course metres.")
        return "course", 1.0
    if len(texts) == 1:
        system, unit_m, reason = named_system(texts.pop(), "Its .prj file names the system")
    else:
        system, reason = system_of_numbers(found.lines, found.spots)
        unit_m = None
        found.reasons.append("It has .prj files of different systems." if texts else "It has no .prj file.")
    found.reasons.append(reason)
    return system, unit_m
