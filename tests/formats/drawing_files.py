"""Valid drawings of every kind, small ones, to begin tests from."""

from __future__ import annotations

import io
import json
import zipfile
from functools import cache

import numpy as np

from fieldapp.formats.drawing_csv import csv_of
from fieldapp.formats.drawing_dxf_out import dxf_of
from fieldapp.formats.drawing_geojson import geojson_of
from fieldapp.formats.drawing_gpx import gpx_of
from fieldapp.formats.drawing_kml import kml_of
from fieldapp.formats.drawing_out import DrawingOut, LineOut, SpotOut
from fieldapp.formats.drawing_shapefile import shapefile_of
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve

SMOOTH = DrawnShape(
    (
        ControlPoint(100.0, 200.0),
        ControlPoint(104.0, 205.0, "corner"),
        ControlPoint(110.0, 203.0),
        ControlPoint(112.5, 196.0),
        ControlPoint(103.0, 194.0),
    )
)
STRAIGHT = DrawnShape(
    (
        ControlPoint(120.0, 200.0),
        ControlPoint(124.0, 200.0),
        ControlPoint(126.5, 202.0, "through"),
        ControlPoint(124.0, 204.5),
        ControlPoint(120.0, 205.0),
    ),
    "straight",
)
OPEN = DrawnShape(
    (ControlPoint(98.0, 190.0), ControlPoint(105.0, 188.5), ControlPoint(115.0, 191.0)), "smooth", False
)
LIKE_LONLAT = 1e-5, -5.0, 53.0


def drawing(lonlat: bool = False, trace_m: float = 0.01) -> DrawingOut:
    """A drawing of two areas, a line and a spot; `lonlat` makes degrees of it, a hundred thousandth to a metre."""
    shapes = (("sand edge", "sand", SMOOTH), ("mound foot", "foot", STRAIGHT), ("drain", "main-4", OPEN))
    lines = tuple(
        LineOut(layer, name, shape, build_curve(shape).vertices(trace_m)) for layer, name, shape in shapes
    )
    spots = (SpotOut("peg", "A1", 95.0, 185.0, "control peg"),)
    facts = (("site", "Test Links"), ("bunker", "3 left"), ("revision", "B"), ("units", "metre"))
    system = "longitude and latitude" if lonlat else "course metres"
    made = DrawingOut("3 left", (*facts, ("system", system)), ("A note.",), "course", lines, spots)
    return _as_lonlat(made) if lonlat else made


def _as_lonlat(made: DrawingOut) -> DrawingOut:
    factor, lon, lat = LIKE_LONLAT

    def moved(xy):
        return np.asarray(xy) * factor + (lon, lat)

    lines = []
    for line in made.lines:
        places = moved([(at.x, at.y) for at in line.shape.points])
        points = tuple(
            ControlPoint(x, y, at.role) for (x, y), at in zip(places.tolist(), line.shape.points, strict=True)
        )
        shape = DrawnShape(points, line.shape.curve, line.shape.closed)
        lines.append(LineOut(line.layer, line.name, shape, moved(line.trace)))
    spots = tuple(SpotOut(at.layer, at.name, *moved((at.x, at.y)).tolist()) for at in made.spots)
    return DrawingOut(made.title, made.facts, made.notes, "lonlat", tuple(lines), spots)


def dxf_of_everything(version: str = "R2010", binary: bool = False) -> bytes:
    """A DXF with every kind of entity that is read, and some that are not, as ezdxf writes it."""
    import ezdxf

    document = ezdxf.new(version)
    if version != "R12":
        document.header["$INSUNITS"] = 6
    space, block = document.modelspace(), document.blocks.new("TREE")
    block.add_circle((0, 0), 1)
    block.add_line((0, 0), (1, 0))
    space.add_blockref("TREE", (30, 30), dxfattribs={"xscale": 2, "rotation": 30})
    space.add_line((0, 0), (2, 0))
    space.add_arc((2, 1), 1, -90, 90)
    space.add_circle((20, 0), 3)
    space.add_polyline2d([(0, 9, 0.5), (4, 9, 0), (4, 12, -1)], format="xyb", close=True)
    space.add_polyline3d([(0, 0, 1), (5, 5, 2), (9, 5, 3)])
    space.add_point((1, 1))
    space.add_text("a text")
    if version != "R12":
        space.add_lwpolyline([(0, 5, 1), (4, 5, 0), (4, 8, 0)], format="xyb", close=True)
        space.add_ellipse((30, 0), (3, 0), 0.5, 0, 4)
        space.add_spline([(0, 20), (3, 22), (6, 19), (8, 21)])
    written = io.BytesIO() if binary else io.StringIO()
    document.write(written, fmt="bin") if binary else document.write(written)
    content = written.getvalue()
    return content if isinstance(content, bytes) else content.encode()


@cache
def samples() -> dict[str, bytes]:
    """Return a small valid file of every kind and variety, by a name that ends as the file would."""
    course, lonlat = drawing(), drawing(lonlat=True)
    kmz = io.BytesIO()
    with zipfile.ZipFile(kmz, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("doc.kml", "".join(kml_of(lonlat)))
    collection = {
        "type": "GeometryCollection",
        "geometries": [
            {"type": "MultiPolygon", "coordinates": [[[[0, 0], [2, 0], [2, 2], [0, 0]]]]},
            {"type": "MultiLineString", "coordinates": [[[0, 0], [1, 1, 5]], [[2, 2], [3, 3]]]},
            {"type": "MultiPoint", "coordinates": [[0, 0], [1, 1]]},
        ],
    }
    return {
        "course.geojson": geojson_of(course).encode(),
        "lonlat.geojson": geojson_of(lonlat).encode(),
        "collection.geojson": json.dumps(collection).encode(),
        "own.csv": "".join(csv_of(course)).encode(),
        "surveyed.csv": b"1;512345,120;6512345,900;12,1;SE\r\n2;512346,1;6512344,0;12,2;SE\r\n",
        "own.dxf": dxf_of(course),
        "own-r12.dxf": dxf_of(drawing(trace_m=0.1), "R12"),
        "all.dxf": dxf_of_everything(),
        "all-r12.dxf": dxf_of_everything("R12"),
        "binary.dxf": dxf_of_everything(binary=True),
        "own.gpx": "".join(gpx_of(lonlat)).encode(),
        "own.kml": "".join(kml_of(lonlat)).encode(),
        "own.kmz": kmz.getvalue(),
        "own.zip": shapefile_of(course, "x"),
    }
