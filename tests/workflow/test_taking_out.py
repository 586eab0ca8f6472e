"""What is taken out, read again by our own reader and by others, lies where the bunker lies."""

import csv
import io
import json
import math
import struct
import zipfile
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely
import shapely.geometry

from fieldapp.formats.drawing import read_drawing
from fieldapp.formats.drawing_dxf_out import dxf_of
from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.model import DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.laid_out import lay_out_bunker
from fieldapp.server.drawing_kinds import KINDS
from fieldapp.workflow.taking_out import Chosen, drawing_out
from tests.workflow.drawn_site import EVERY_KIND, standing

WITHIN_M, FINE_M = 0.0001, 0.00002
TODAY = date(2026, 5, 2)
WAYS = [(kind, coordinates) for kind, file in KINDS.items() for coordinates in file.coordinates] + [
    ("r12", "course")
]
SITE = standing()


def chosen(bunker_id, site=SITE):
    bunker = site.site.bunker(bunker_id)
    return Chosen(site, bunker, bunker.revision, bunker.revision)


@cache
def written(bunker_id, kind, coordinates="course", site=SITE):
    drawing = drawing_out(chosen(bunker_id, site), coordinates, TODAY)
    return dxf_of(drawing, "R12") if kind == "r12" else KINDS[kind].write(drawing, "x")


@cache
def true_places(bunker_id):
    """Places on a bunker's curves by part, at most 0.02 mm between chord and curve."""
    bunker = SITE.site.bunker(bunker_id)
    laid_out = lay_out_bunker(SITE.site, bunker, SITE.ground_scale(1))
    return {outline.part: outline.curve.vertices(FINE_M) for outline in laid_out.outlines}


def apart_m(places, dense):
    """The largest distance between two dense chains of places, both ways."""
    one, other = shapely.LineString(places), shapely.LineString(dense)
    shapely.prepare([one, other])
    there = shapely.distance(shapely.points(dense), one).max()
    return max(there, shapely.distance(shapely.points(np.asarray(places)), other).max())


def lies_there(found, bunker_id):
    """Hold that places by part, course metres, are the bunker's curves; more parts than those may be found."""
    true = true_places(bunker_id)
    assert set(true) <= set(found)
    return max(apart_m(found[part], places) for part, places in true.items()) <= WITHIN_M - FINE_M


@pytest.mark.parametrize(
    ("kind", "coordinates", "bunker_id"),
    [(*way, "lines") for way in WAYS] + [("geojson", "lonlat", "bean"), ("dxf", "course", "bean")],
)
def test_what_is_written_is_read_again_within_a_tenth_of_a_millimetre(kind, coordinates, bunker_id):
    drawing = read_drawing("x", written(bunker_id, kind, coordinates))
    assert (drawing.system, drawing.unit_m) == (coordinates, 1.0 if coordinates == "course" else None)
    found = {}
    for line in drawing.lines:
        places = np.array([(at.x, at.y) for at in line.points])
        places = places if coordinates == "course" else SITE.grid.to_course(places)
        points = tuple(replace(at, x=x, y=y) for at, (x, y) in zip(line.points, places.tolist(), strict=True))
        curve = build_curve(DrawnShape(points, line.curve, line.closed))
        found[line.layer.replace("_", " ")] = curve.vertices(FINE_M)
    assert lies_there(found, bunker_id)


@pytest.mark.parametrize("kind", ["geojson", "csv", "dxf"])
def test_the_very_points_that_lines_are_drawn_through_come_back(kind):
    drawing = read_drawing("x", written("lines", kind))
    lines = {line.layer: line for line in drawing.lines}
    for _, part, shape in EVERY_KIND:
        line = lines[part]
        assert line.closed == shape.closed
        assert line.curve == shape.curve
        back = [(at.x, at.y) for at in line.points]
        first = min(
            range(len(back)), key=lambda at: math.dist(back[at], (shape.points[0].x, shape.points[0].y))
        )
        turned = (*line.points[first:], *line.points[:first])
        assert len(turned) == len(shape.points)
        for one, other in zip(turned, shape.points, strict=True):
            assert math.dist((one.x, one.y), (other.x, other.y)) <= WITHIN_M
            assert one.role == other.role


def test_geojson_holds_for_shapely_and_runs_as_rfc_7946_has_it():
    # RFC 7946 (2016), section 3.1.1: longitude first; 3.1.6: the outer ring runs anticlockwise
    document = json.loads(written("lines", "geojson", "lonlat"))
    found = {}
    for feature in document["features"]:
        shape = shapely.geometry.shape(feature["geometry"])
        if shape.geom_type == "Polygon":
            assert shapely.is_ccw(shape.exterior)
            shape = shape.exterior
        found[feature["properties"]["layer"]] = SITE.grid.to_course(np.array(shape.coords))
    assert lies_there(found, "lines")
    lon, lat = shapely.geometry.shape(document["features"][0]["geometry"]).centroid.coords[0]
    assert -9.5 < lon < -9.3
    assert 57.1 < lat < 57.3


def test_csv_holds_the_points_for_the_csv_module():
    text = written("lines", "csv").decode()
    rows = list(csv.DictReader(line for line in io.StringIO(text) if not line.startswith("#")))
    for name, part, shape in EVERY_KIND:
        own = [row for row in rows if (row["layer"], row["name"]) == (part, name)]
        assert [(float(row["x"]), float(row["y"]), row["role"]) for row in own] == [
            (at.x, at.y, at.role) for at in shape.points
        ]
        assert {(row["curve"], row["closed"]) for row in own} == {
            (shape.curve, "yes" if shape.closed else "no")
        }


def test_dxf_holds_for_the_library_that_others_read_it_with():
    from ezdxf import recover

    document, auditor = recover.read(io.BytesIO(written("lines", "dxf")))
    assert not auditor.has_errors
    assert document.header["$INSUNITS"] == 6
    found = {}
    for entity in document.modelspace().query("LWPOLYLINE SPLINE"):
        spline = entity.dxftype() == "SPLINE"
        for part in [entity] if spline else entity.virtual_entities():
            flat = [part.dxf.start, part.dxf.end] if part.dxftype() == "LINE" else part.flattening(FINE_M)
            found.setdefault(entity.dxf.layer, []).append([(at.x, at.y) for at in flat])
    whole = {
        layer: shapely.line_merge(shapely.set_precision(shapely.MultiLineString(parts), 1e-6))
        for layer, parts in found.items()
    }
    assert {line.geom_type for line in whole.values()} == {"LineString"}
    assert lies_there({layer: np.array(line.coords) for layer, line in whole.items()}, "lines")


def group_codes(content):
    """DXF's tags by hand: a line with a group code, then a line with its value."""
    lines = content.decode("ascii").splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def arc(start, end, bulge):
    """Places on an arc from its bulge, the tangent of a quarter of its included angle (Autodesk, DXF Reference)."""
    angle = 4 * math.atan(bulge)
    (x, y), (to_x, to_y) = start, end
    radius = math.hypot(to_x - x, to_y - y) / 2 / math.sin(angle / 2)
    toward = math.atan2(to_y - y, to_x - x) + math.pi / 2 - angle / 2
    centre_x, centre_y = x + radius * math.cos(toward), y + radius * math.sin(toward)
    first = math.atan2(y - centre_y, x - centre_x)
    return [
        (centre_x + abs(radius) * math.cos(at), centre_y + abs(radius) * math.sin(at))
        for at in np.linspace(first, first + angle, 600)
    ]


def test_r12_holds_for_a_reader_of_group_codes():
    found, vertices, layer, closed, kind = {}, [], "", False, ""

    def end():
        ring = [*vertices, vertices[0]] if closed else vertices
        places = []
        for (x, y, bulge), (to_x, to_y, _) in pairwise(ring):
            places += arc((x, y), (to_x, to_y), bulge) if bulge else [(x, y), (to_x, to_y)]
        found[layer.replace("_", " ")] = places

    for code, value in group_codes(written("lines", "r12")):
        if code == 0:
            if value == "POLYLINE":
                vertices, closed = [], False
            elif value == "VERTEX":
                vertices.append([0.0, 0.0, 0.0])
            elif value == "SEQEND":
                end()
            kind = value
        elif kind == "POLYLINE" and code == 8:
            layer = value
        elif kind == "POLYLINE" and code == 70:
            closed = bool(int(value) & 1)
        elif kind == "VERTEX" and code in (10, 20, 42):
            vertices[-1][{10: 0, 20: 1, 42: 2}[code]] = float(value)
    assert lies_there(found, "lines")


def test_gpx_holds_for_a_plain_xml_reader():
    root = ElementTree.fromstring(written("lines", "gpx", "lonlat"))
    space = {"g": "http://www.topografix.com/GPX/1/1"}
    found = {}
    for track in root.findall("g:trk", space):
        places = [(float(at.get("lon")), float(at.get("lat"))) for at in track.iterfind(".//g:trkpt", space)]
        found[track.findtext("g:type", None, space)] = SITE.grid.to_course(np.array(places))
    assert lies_there(found, "lines")
    order = [element.tag.rpartition("}")[2] for element in root]
    assert order == sorted(order, key=["metadata", "wpt", "rte", "trk"].index)


def test_kml_holds_for_a_plain_xml_reader():
    # OGC 12-007r2 (KML 2.3): longitude, latitude and altitude, commas between; outer rings anticlockwise
    root = ElementTree.fromstring(written("lines", "kml", "lonlat"))
    space = {"k": "http://www.opengis.net/kml/2.2"}
    found = {}
    for folder in root.iterfind(".//k:Folder", space):
        for placemark in folder.iterfind("k:Placemark", space):
            words = placemark.find(".//k:coordinates", space).text.split()
            places = np.array([tuple(map(float, word.split(","))) for word in words])
            if placemark.find("k:Polygon", space) is not None:
                assert shapely.is_ccw(shapely.LinearRing(places))
            if len(places) > 1:
                found[folder.findtext("k:name", None, space)] = SITE.grid.to_course(places)
    assert lies_there(found, "lines")


def shapes_by_hand(content):
    """Points of every record of a .shp, by the ESRI Shapefile Technical Description (1998), pages 3 to 8."""
    code, length = struct.unpack(">i20xi", content[:28])
    version, _ = struct.unpack("<ii", content[28:36])
    assert (code, version, 2 * length) == (9994, 1000, len(content))
    at, shapes = 100, []
    while at < len(content):
        _, words = struct.unpack(">ii", content[at : at + 8])
        body = content[at + 8 : at + 8 + 2 * words]
        kind = struct.unpack("<i", body[:4])[0]
        if kind == 1:
            shapes.append((kind, np.array([struct.unpack("<dd", body[4:20])])))
        else:
            parts, points = struct.unpack("<ii", body[36:44])
            assert parts == 1
            shapes.append((kind, np.frombuffer(body, "<f8", 2 * points, 44 + 4 * parts).reshape(-1, 2)))
        at += 8 + 2 * words
    return shapes


def layers_by_hand(content):
    """The first field of every record of a .dbf: its header says where records begin and how long they are."""
    count, start, size = struct.unpack("<4xIHH", content[:12])
    records = [content[start + index * size : start + (index + 1) * size] for index in range(count)]
    return [record[1:241].decode().strip() for record in records]


def test_shapefiles_hold_for_a_reader_of_their_bytes():
    files = zipfile.ZipFile(io.BytesIO(written("lines", "zip")))
    found = {}
    for kind, name in ((5, "x-areas"), (3, "x-lines"), (1, "x-spots")):
        shapes, layers = shapes_by_hand(files.read(f"{name}.shp")), layers_by_hand(files.read(f"{name}.dbf"))
        assert {one for one, _ in shapes} == {kind}
        for layer, (_, places) in zip(layers, shapes, strict=True):
            found[layer] = places
            if kind == 5:
                assert not shapely.is_ccw(shapely.LinearRing(places)), "outer rings run clockwise (page 8)"
    assert lies_there(found, "lines")


@pytest.mark.parametrize(("kind", "coordinates"), WAYS)
def test_every_file_says_what_it_is_and_that_a_drawing_is_no_detection(kind, coordinates):
    content = written("lines", kind, coordinates)
    if kind == "zip":
        content = zipfile.ZipFile(io.BytesIO(content)).read("read-me.txt")
    text = content.decode()
    told = ("Small Links (invented) (small-links)", "Every line (lines), hole 1", "2026-05-02", LOCATE_FIRST)
    for words in (*told, "metre" if coordinates == "course" else "degree"):
        assert words in text
    assert ("course metres" in text) == (coordinates == "course")
    layers = {
        line.layer.replace("_", " ") for line in read_drawing("x", written("lines", kind, coordinates)).lines
    }
    assert layers == {"sand edge", "mound foot", "swale", "mound top", "drain", "cable"}


def test_what_lies_far_off_stays_out_and_without_services_nothing_is_said_of_them():
    assert b"Far pipe" not in written("lines", "csv")
    assert LOCATE_FIRST.encode() not in written("lines", "csv", site=standing(things=()))


def test_a_published_grid_is_named_in_a_prj_file():
    site = standing(projected=True)
    files = zipfile.ZipFile(io.BytesIO(written("lines", "zip", site=site)))
    assert b"WGS_1984_UTM_Zone_29N" in files.read("x-areas.prj")
    assert "x-areas.prj" not in zipfile.ZipFile(io.BytesIO(written("lines", "zip"))).namelist()
