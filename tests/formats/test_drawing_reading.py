"""Drawings of every kind: which kind it is, what is guessed and why, what is left out, what is refused."""

import json

import pytest
from pyproj import CRS

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import read_drawing
from fieldapp.geodesy.known_system import known_system, system_text
from tests.formats.drawing_files import samples

KINDS = {
    "geojson": "geojson",
    "csv": "csv",
    "dxf": "dxf",
    "gpx": "gpx",
    "kml": "kml",
    "kmz": "kml",
    "zip": "shapefile",
}


@pytest.mark.parametrize("name", samples())
def test_what_kind_it_is_is_seen_by_its_content(name):
    drawing = read_drawing("a name that says nothing", samples()[name])
    assert drawing.kind == KINDS[name.rpartition(".")[2]]
    assert drawing.lines
    assert all(drawing.reasons)


@pytest.mark.parametrize("name", ["course.geojson", "own.csv", "own.dxf", "own.zip"])
def test_our_own_files_say_that_they_are_in_course_metres(name):
    drawing = read_drawing(name, samples()[name])
    assert (drawing.system, drawing.unit_m) == ("course", 1.0)
    assert [(line.layer, line.closed) for line in drawing.lines if line.layer == "drain"] == [
        ("drain", False)
    ]
    assert [(spot.layer, spot.x, spot.y) for spot in drawing.spots] == [("peg", 95.0, 185.0)]


def geojson(coordinates, kind="LineString", **more):
    feature = {"type": "Feature", "properties": {}, "geometry": {"type": kind, "coordinates": coordinates}}
    return json.dumps({"type": "FeatureCollection", "features": [feature], **more}).encode()


def crs(name):
    return {"type": "name", "properties": {"name": name}}


@pytest.mark.parametrize(
    ("content", "system", "unit_m", "why"),
    [
        (geojson([[-5.0, 53.6], [-5.001, 53.6]]), "lonlat", None, "GeoJSON wants just that (RFC 7946)"),
        (geojson([[512000.0, 6512000.0], [512010.0, 6512000.0]]), None, None, "no degrees"),
        (geojson([[0.0, 0.0], [30.0, 12.0]]), None, None, "span too much for degrees"),
        (geojson([[5e5, 6e6], [5e5, 6e6 + 1]], crs=crs("EPSG:3006")), "projected EPSG:3006", 1.0, "SWEREF99 TM"),
        (geojson([[5e5, 2e5], [5e5, 2e5 + 1]], crs=crs("EPSG:2263")), "projected EPSG:2263", 1200 / 3937, "New York"),
        (geojson([[-5.0, 53.6], [-5.1, 53.6]], crs=crs("urn:ogc:def:crs:OGC:1.3:CRS84")), "lonlat", None, "CRS84"),
        (geojson([[5.0, 53.6], [5.1, 53.6]], crs=crs("the old club grid")), None, None, "which is not known here"),
    ],
)  # fmt: skip
def test_the_system_of_a_geojson_is_guessed_with_the_reason(content, system, unit_m, why):
    drawing = read_drawing("x", content)
    assert drawing.system == system
    assert drawing.unit_m == (unit_m if unit_m is None else pytest.approx(unit_m, rel=1e-12))
    assert why in " ".join(drawing.reasons)


def test_the_kinds_of_geometry_of_a_geojson():
    drawing = read_drawing("x", samples()["collection.geojson"])
    assert [(len(line.points), line.closed) for line in drawing.lines] == [(3, True), (2, False), (2, False)]
    assert [(spot.x, spot.y) for spot in drawing.spots] == [(0.0, 0.0), (1.0, 1.0)]


@pytest.mark.parametrize(
    ("text", "system", "why"),
    [
        ("x,y\n512000,6512000\n512001,6512000", None, "'x' is taken for x and 'y' for y"),
        ("Northing;Easting\n6512000,5;512000,25\n6512001;512000", None, "'easting' is taken for x"),
        ("lat,lon\n53.6,-5\n53.6,-5.01", "lonlat", "'lon' is taken for x and 'lat' for y"),
        ("x (m)\ty (m)\n1\t2\n300\t4", None, "parted by tabs"),
        ("1 512000.0 6512000.0 12.5\n2 512001.0 6512000.0 12.5", None, "No column has a name"),
        ("512000.0,6512000.0\n512001.0,6512000.0", None, "the first is taken for x, the second for y"),
    ],
)
def test_the_columns_of_a_csv_are_guessed_with_the_reason(text, system, why):
    drawing = read_drawing("x.csv", text.encode())
    assert drawing.system == system
    assert why in " ".join(drawing.reasons)


def test_a_decimal_comma_and_which_column_is_north():
    drawing = read_drawing("x.csv", "Northing;Easting\n6512000,5;512000,25\n6512001;512000".encode("utf-16"))
    assert [(at.x, at.y) for at in drawing.lines[0].points] == [(512000.25, 6512000.5), (512000.0, 6512001.0)]


def test_rows_of_one_layer_and_name_make_a_line_and_one_by_itself_a_spot():
    text = (
        "layer,name,x,y,role,curve,closed\n"
        "sand edge,s,0,0,,smooth,yes\nsand edge,s,500,0,corner\nsand edge,s,500,400\n"
        "mound foot,m,0,0\nmound foot,m,1,1,through\nmound foot,m,2,0\npeg,p,7,8\n,,here,there\n"
    )
    drawing = read_drawing("x.csv", text.encode())
    assert [(line.layer, line.curve, line.closed) for line in drawing.lines] == [
        ("sand edge", "smooth", True), ("mound foot", "straight", False)
    ]  # fmt: skip
    assert [at.role for at in drawing.lines[0].points] == ["plain", "corner", "plain"]
    assert drawing.lines[1].points[1].role == "through"
    assert [(spot.layer, spot.name) for spot in drawing.spots] == [("peg", "p")]
    assert drawing.remarks == ("Left out: 1 rows without two numbers.",)


def test_surveyed_points_with_numbers_of_their_own_make_lines_by_their_codes():
    text = (
        "1,512000,6512000,1.1,SE\n2,512001,6512000,1.1,SE\n3,512009,6512000,1.1,MF\n4,512008,6512000,1.0,MF\n"
    )
    drawing = read_drawing("x.csv", text.encode())
    assert [(line.layer, len(line.points)) for line in drawing.lines] == [("SE", 2), ("MF", 2)]
    assert "the names are those of points" in " ".join(drawing.reasons)


GPX = b"""<?xml version="1.0"?><gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="53.5" lon="-5.1"><ele>3</ele><name>peg</name></wpt>
<rte><name>R</name><rtept lat="53.5" lon="-5"/><rtept lat="53.6" lon="-5"/></rte>
<trk><name>T</name><trkseg><trkpt lat="53.5" lon="-5"/><trkpt lat="53.51" lon="-5"/></trkseg>
<trkseg><trkpt lat="53.7" lon="-5"/><trkpt lat="53.71" lon="-5"/></trkseg></trk></gpx>"""


def test_tracks_routes_and_waypoints_of_a_gpx():
    drawing = read_drawing("x", GPX)
    assert [(line.layer, line.name) for line in drawing.lines] == [
        ("tracks", "T"),
        ("tracks", "T"),
        ("routes", "R"),
    ]
    assert (drawing.lines[0].points[0].x, drawing.lines[0].points[0].y) == (-5.0, 53.5)
    assert [(spot.layer, spot.name, spot.x, spot.y) for spot in drawing.spots] == [
        ("waypoints", "peg", -5.1, 53.5)
    ]
    assert drawing.system == "lonlat"


KML = b"""<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>D</name><Folder><name>sand</name>
<Placemark><name>a</name><MultiGeometry>
<Polygon><outerBoundaryIs><LinearRing><coordinates>-5,53.5,7 -5.001,53.5,7 -5.001,53.501,7 -5,53.5,7</coordinates>
</LinearRing></outerBoundaryIs><innerBoundaryIs><LinearRing><coordinates>-5,53.5 -5.001,53.5 -5.001,53.501</coordinates>
</LinearRing></innerBoundaryIs></Polygon><Point><coordinates> -5.2,53.6 </coordinates></Point>
</MultiGeometry></Placemark>
</Folder><GroundOverlay/><NetworkLink/><Placemark><LineString><coordinates>-5,53.5
-5.1,53.5</coordinates></LineString></Placemark></Document></kml>"""


def test_areas_lines_and_points_of_a_kml_and_what_is_told():
    drawing = read_drawing("x", KML)
    assert [(line.layer, line.name, line.closed, len(line.points)) for line in drawing.lines] == [
        ("sand", "a", True, 3), ("sand", "a", True, 3), ("", "", False, 2)
    ]  # fmt: skip
    assert [(spot.layer, spot.x, spot.y) for spot in drawing.spots] == [("sand", -5.2, 53.6)]
    assert drawing.remarks == (
        "Heights (altitudes) of a KML are not taken.", "Left out: 1 GroundOverlay, 1 NetworkLink."
    )  # fmt: skip


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "It is empty."),
        (b"AC1032\x00\x00", "It is a DWG file; save it as DXF"),
        (b"%PDF-1.7 ...", "It is a PDF"),
        (b"\x89PNG\r\n\x1a\n", "It is a picture"),
        (b"\x00\x00\x27\x0a\x00", "pack its .shp, .dbf and .prj into one zip"),
        (b"PK\x05\x06" + bytes(18), "holds neither a shapefile"),
        (b"PK\x03\x04 no zip at all", "The zip is broken"),
        (b"<svg></svg>", "neither GPX nor KML"),
        (b"<gpx><trk>", "no sound XML"),
        (b'{"a": 1}', "no GeoJSON"),
        (b'{"type": "FeatureCollection",\n "features": [', "Line 2 is no JSON"),
        (b'{"type": "Feature", "geometry": {"type": "Point", "coordinates": ["a", 1]}}', "[number, number]"),
        (b'{"type": "FeatureCollection", "features": []}', "No line and no point is in it"),
        (b"a,b\n1,2\n", "it must name two columns"),
        (b"just some words\n", "it must name two columns"),
        (b"word\n", "bring in GeoJSON, CSV, DXF, GPX, KML, KMZ or a zipped shapefile"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\nword\nword\n", "Its DXF is broken"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF\n", "No line and no point is in it"),
    ],
)
def test_what_is_no_drawing_is_refused_in_a_sentence(content, words):
    with pytest.raises(FormatError) as refusal:
        read_drawing("plans/3-left.bin", content)
    assert str(refusal.value).startswith("'plans/3-left.bin' cannot be brought in: ")
    assert words in str(refusal.value)


def test_a_prj_text_is_known_as_every_program_writes_it():
    for code in (3006, 27700, 2056, 2263, 32629):
        assert known_system(CRS.from_epsg(code).to_wkt("WKT1_ESRI")).code == f"EPSG:{code}"
        assert known_system(system_text(f"EPSG:{code}")).code == f"EPSG:{code}"
    own = known_system(
        'PROJCS["Club",GEOGCS["G",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137,298.257223563]],PRIMEM["Greenwich",0],'
        'UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["Latitude_Of_Origin",53.6],'
        'PARAMETER["Central_Meridian",-5],PARAMETER["Scale_Factor",1.00001],UNIT["Foot",0.3048]]'
    )
    assert (own.name, own.code, own.metres_per_unit) == ("Club", None, 0.3048)
    assert known_system("EPSG:999999") is None
    assert known_system("+proj=utm +zone=29") is None
    assert system_text("EPSG:999999") == ""
