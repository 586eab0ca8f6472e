"""Drawings that come in files: lines and spots as the file has them, and what it says of its unit and system.

Coordinates stay as they are in the file; taking them to the course is done elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from fieldapp.errors import FormatError
from fieldapp.model import ControlPoint

DrawingKind = Literal["geojson", "csv", "dxf", "gpx", "kml", "shapefile"]
BINARY_DXF = b"AutoCAD Binary DXF\r\n\x1a\x00"
_DXF = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*(?:999[ \t]*\r?\n[^\n]*\n\s*)*0[ \t]*\r?\n\s*SECTION\s", re.IGNORECASE
)
_ROOT = re.compile(rb"<(?:\w+:)?([A-Za-z][\w.-]*)[\s>/]")
STRANGERS = (
    (b"AC10", "It is a DWG file; save it as DXF in the program that made it, and bring that in."),
    (b"%PDF", "It is a PDF, which holds a picture of a drawing; bring in the drawing as DXF or GeoJSON."),
    (b"\x89PNG", "It is a picture; put it under the plan as a backdrop instead."),
    (b"\xff\xd8\xff", "It is a picture; put it under the plan as a backdrop instead."),
    (b"II*\x00", "It is a picture; put it under the plan as a backdrop instead."),
    (b"MM\x00*", "It is a picture; put it under the plan as a backdrop instead."),
    (b"\x1f\x8b", "It is packed with gzip; unpack it and bring in what is in it."),
    (b"\x00\x00\x27\x0a", "It is one file of a shapefile; pack its .shp, .dbf and .prj into one zip."),
)


@dataclass(frozen=True)
class DrawnLine:
    """A line or the edge of an area. An arc has its 'through' point among `points`; a closed line's last point is
    not the first again.
    """

    layer: str
    name: str
    points: tuple[ControlPoint, ...]
    curve: Literal["straight", "smooth"] = "straight"
    closed: bool = False


@dataclass(frozen=True)
class DrawnSpot:
    """A single place."""

    layer: str
    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Drawing:
    """What a file holds.

    `unit_m` is metres per unit, None where the file does not say. `system` is "lonlat" (degrees, longitude first),
    "projected EPSG:n" (x east, y north in that system's unit), "course", or None. `reasons` say in words why the unit
    and system are taken so; `remarks` what was left out, by count.
    """

    kind: DrawingKind
    lines: tuple[DrawnLine, ...]
    spots: tuple[DrawnSpot, ...]
    unit_m: float | None = None
    system: str | None = None
    reasons: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class DrawingLimits:
    """How large a drawing may be before it is refused.

    `most_bytes` is the file as it came, `most_dxf_bytes` likewise of a DXF, which takes much more memory to read.
    `most_unpacked_bytes`, `most_members` and `most_ratio` (unpacked to packed) bound a zip; `most_points` and
    `most_lines` what is read from it, `most_depth` how deep blocks, folders or lists lie in each other.
    """

    most_bytes: int = 52_428_800
    most_dxf_bytes: int = 20_971_520
    most_unpacked_bytes: int = 104_857_600
    most_members: int = 200
    most_ratio: float = 200.0
    most_points: int = 200_000
    most_lines: int = 20_000
    most_depth: int = 32


Reader = Callable[[bytes, DrawingLimits], Drawing]


def read_drawing(name: str, content: bytes, limits: DrawingLimits = DrawingLimits()) -> Drawing:
    """Read a drawing, whatever kind it is by its content; `name` is only told in refusals.

    Raises FormatError, in one sentence.
    """
    if len(content) > limits.most_bytes:
        raise FormatError(
            f"{_told(name)} has {len(content) / 1e6:,.1f} MB and at most {limits.most_bytes / 1e6:,.1f} MB are read; "
            "keep only the layers that are needed."
        )
    try:
        return _reader(content)(content, limits)
    except FormatError as fault:
        raise FormatError(f"{_told(name)} cannot be brought in: {fault}") from fault


def _told(name: str) -> str:
    return f"'{name[-80:]}'" if name else "The file"


def _reader(content: bytes) -> Reader:
    """Return the reader of the kind that the content is of. Each is imported only when it is needed."""
    from fieldapp.formats import (
        drawing_csv,
        drawing_dxf,
        drawing_geojson,
        drawing_gpx,
        drawing_kml,
        drawing_shapefile,
    )

    if not content.strip(b"\x00 \t\r\n"):
        raise FormatError("It is empty.")
    for start, words in STRANGERS:
        if content.startswith(start):
            raise FormatError(words)
    if content.startswith(BINARY_DXF) or _DXF.match(content[:4096]):
        return drawing_dxf.read_dxf_drawing
    if content.startswith(b"PK"):
        return (
            drawing_kml.read_kmz_drawing if _holds_kml(content) else drawing_shapefile.read_shapefile_drawing
        )
    head = content[:4096].replace(b"\x00", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if head.startswith(b"<"):
        return _reader_of_xml(head, drawing_gpx.read_gpx_drawing, drawing_kml.read_kml_drawing)
    return drawing_geojson.read_geojson_drawing if head[:1] in (b"{", b"[") else drawing_csv.read_csv_drawing


def _holds_kml(content: bytes) -> bool:
    from fieldapp.formats.drawing_zip import names_in

    names = [name.lower() for name in names_in(content)]
    if any(name.endswith(".shp") for name in names):
        return False
    if any(name.endswith(".kml") for name in names):
        return True
    raise FormatError(
        "The zip holds neither a shapefile (.shp) nor a KML; unpack it and bring in what is in it."
    )


def _reader_of_xml(head: bytes, gpx: Reader, kml: Reader) -> Reader:
    found = _ROOT.search(head)
    readers = {b"gpx": gpx, b"kml": kml}
    if found is None or found[1].lower() not in readers:
        raise FormatError("It is XML, but neither GPX nor KML.")
    return readers[found[1].lower()]
