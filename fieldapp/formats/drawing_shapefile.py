"""Drawings as zipped shapefiles: every .shp in the zip, with its table for names and its .prj for the system."""

from __future__ import annotations

import io
import logging
import zipfile
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import PurePosixPath
from typing import Any

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_found import Found, clean, plain
from fieldapp.formats.drawing_out import DrawingOut, LineOut, SpotOut
from fieldapp.formats.drawing_system import named_system, system_of_numbers
from fieldapp.formats.drawing_zip import unpacked

ENDINGS = (".shp", ".shx", ".dbf", ".prj", ".cpg")
LAYER_FIELDS = ("layer", "part", "kind", "type", "class", "category")
NAME_FIELDS = ("name", "outline", "label", "title", "id")
POINTS, MULTIPOINTS = (1, 11, 21), (8, 18, 28)
LINES, AREAS = (3, 13, 23), (5, 15, 25)
COURSE_FIELD, COURSE = "coords", "course m"
"""A field that holds this word says that the coordinates are course metres."""
TOLD_OF_ALL = ("site", "bunker", "revision", "units")
LONGEST_VALUE = 240
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
            starts = [*(getattr(shape, "parts", ()) or (0,)), len(places)]
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


def shapefile_of(drawing: DrawingOut, name: str) -> bytes:
    """Write a drawing as a zip of shapefiles: areas, lines and spots, and what is told of it as a text.

    Areas run clockwise and the fixed part of a header is big endian, its rest little endian (ESRI Shapefile Technical
    Description, 1998).
    """
    areas = [line for line in drawing.lines if line.shape.closed]
    lines = [line for line in drawing.lines if not line.shape.closed]
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("read-me.txt", "\r\n".join(drawing.told) + "\r\n")
        for kind, what in (("areas", areas), ("lines", lines), ("spots", drawing.spots)):
            for ending, inner in _layer_of(drawing, kind, what).items() if what else ():
                archive.writestr(f"{name}-{kind}.{ending}", inner)
    return packed.getvalue()


def _layer_of(drawing: DrawingOut, kind: str, things: Sequence[LineOut | SpotOut]) -> dict[str, bytes]:
    import shapefile

    files = {ending: io.BytesIO() for ending in ("shp", "shx", "dbf")}
    of_all = [(name[:10], value) for name, value in drawing.facts if name in TOLD_OF_ALL]
    types = {"areas": shapefile.POLYGON, "lines": shapefile.POLYLINE, "spots": shapefile.POINT}
    with shapefile.Writer(**files, shapeType=types[kind], encoding="utf-8") as writer:
        for field in ("layer", "name", COURSE_FIELD, *(name for name, _ in of_all), "note"):
            writer.field(field, "C", size=LONGEST_VALUE)
        for thing in things:
            _write_shape(writer, kind, thing)
            coordinates = COURSE if drawing.coordinates == "course" else "lon lat"
            values = thing.layer, thing.name, coordinates, *(value for _, value in of_all), thing.words
            writer.record(*(_fitting(value) for value in values))
    inner = {ending: file.getvalue() for ending, file in files.items()}
    inner["cpg"] = b"UTF-8"
    return {**inner, "prj": drawing.system.encode()} if drawing.system else inner


def _write_shape(writer: Any, kind: str, thing: LineOut | SpotOut) -> None:
    if isinstance(thing, SpotOut):
        writer.point(thing.x, thing.y)
    elif kind == "areas":
        writer.poly([[*thing.trace[:-1].tolist(), thing.trace[0].tolist()]])
    else:
        writer.line([thing.trace.tolist()])


def _fitting(text: str) -> str:
    """Return as much of a text as a field holds, in whole letters."""
    return text.encode()[:LONGEST_VALUE].decode("utf-8", "ignore")
