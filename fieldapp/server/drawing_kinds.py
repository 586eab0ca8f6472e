"""The kinds of files that a bunker can be taken out as."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fieldapp.formats.drawing_csv import csv_of
from fieldapp.formats.drawing_dxf_out import dxf_of
from fieldapp.formats.drawing_geojson import geojson_of
from fieldapp.formats.drawing_gpx import gpx_of
from fieldapp.formats.drawing_kml import kml_of
from fieldapp.formats.drawing_out import Coordinates, DrawingOut
from fieldapp.formats.drawing_shapefile import shapefile_of
from fieldapp.server.page_contexts import DrawingLink


@dataclass(frozen=True)
class FileKind:
    """A kind of file: what people call it, what its coordinates are in, its media type, and how it is written.

    `coordinates` are those it can carry, the first unless another is asked for; `write` takes a drawing and the name
    that the file gets, without its ending.
    """

    name: str
    words: str
    media_type: str
    coordinates: tuple[Coordinates, ...]
    write: Callable[[DrawingOut, str], bytes]


KINDS = {
    "geojson": FileKind(
        "GeoJSON",
        "longitude, latitude",
        "application/geo+json",
        ("lonlat", "course"),
        lambda drawing, _: geojson_of(drawing).encode(),
    ),
    "csv": FileKind(
        "CSV",
        "course metres",
        "text/csv; charset=utf-8",
        ("course", "lonlat"),
        lambda drawing, _: "".join(csv_of(drawing)).encode(),
    ),
    "dxf": FileKind("DXF", "course metres", "image/vnd.dxf", ("course",), lambda drawing, _: dxf_of(drawing)),
    "gpx": FileKind(
        "GPX",
        "longitude, latitude",
        "application/gpx+xml",
        ("lonlat",),
        lambda drawing, _: "".join(gpx_of(drawing)).encode(),
    ),
    "kml": FileKind(
        "KML",
        "longitude, latitude",
        "application/vnd.google-earth.kml+xml",
        ("lonlat",),
        lambda drawing, _: "".join(kml_of(drawing)).encode(),
    ),
    "zip": FileKind("Shapefile", "course metres", "application/zip", ("course", "lonlat"), shapefile_of),
}


def drawing_links(site_id: str, bunker_id: str) -> tuple[DrawingLink, ...]:
    """Return the way to each file of a bunker's standing revision."""
    base = f"/sites/{site_id}/bunkers/{bunker_id}/drawing"
    return tuple(DrawingLink(kind.name, kind.words, f"{base}.{ending}") for ending, kind in KINDS.items())
