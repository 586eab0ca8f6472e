"""Every mistake in a site folder is told: where it is, what is wrong, what to do; one line each."""

import contextlib
import copy
import shutil
import tomllib
from pathlib import Path

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.errors import SiteFolderError
from fieldapp.formats.site_folder import check_site, load_site, read_site_text

SAMPLE_SITES = Path(__file__).parents[2] / "sample_sites"
SKERRY, VINDELOGA, QUANDARY = "skerry-bank", "vindeloga", "quandary-strait"
TURF = "points = [[-30, 30], [22, 30], [22, 46], [-30, 46]]"
PEG = "lat_deg = 53.600130823\nlon_deg = -4.998989702"
GEOJSON, CSV = "7-left.geojson", "8-front.csv"


@pytest.fixture
def mistakes(tmp_path):
    """Copies a sample, changes its text and files, and returns the mistakes as lines."""

    def found(sample, *changes, files=()):
        folder = Path(shutil.copytree(SAMPLE_SITES / sample, tmp_path / "site"))
        text = (folder / "site.toml").read_text("utf-8")
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        (folder / "site.toml").write_text(text, "utf-8")
        for name, content in dict(files).items():
            (folder / name).write_bytes(content)
        with pytest.raises(SiteFolderError) as refused:
            check_site(folder)
        assert str(refused.value).splitlines() == [str(mistake) for mistake in refused.value.mistakes]
        return str(refused.value).splitlines()

    return found


ONE_MISTAKE = {
    "a place inside a bend": (
        QUANDARY,
        ("along_yd = 278\noffset_yd = 22", "along_yd = 215\noffset_yd = 75"),
        "bunker '12-inner', place: it lies inside a bend, where another leg of the line of play is nearer: "
        "measured, it is",
    ),
    "broken TOML": (
        SKERRY,
        ('hole = 4\nname = "Middle tee"', 'hole = \nname = "Middle tee"'),
        "site.toml line 112: this is not TOML (",
    ),
    "a text that is not closed": (
        SKERRY,
        ('name = "Cuddy"', 'name = "Cuddy'),
        "line 45: this is not TOML (a text is not closed on its line, column 14); write key = value",
    ),
    "a key twice": (SKERRY, ('revision = "C"', 'revision = "C"\nrevision = "D"'), "the key stands twice"),
    "an unknown key": (
        SKERRY,
        ('revision = "C"', 'revison = "C"'),
        "line 326, bunker '4-right', key 'revison': this is not known here; did you mean 'revision'?",
    ),
    "an unknown table": (SKERRY, ("[set_out]", "[setout]"), "line 20, setout: this is not known here; did"),
    "an unknown key like no other": (SKERRY, ('revision = "C"', 'revision = "C"\nwxyz = 1'), "put # before"),
    "a key of the top below": (
        SKERRY,
        ('[[bunker]]\nid = "5-green"', 'spot_levels = "levels.csv"\n[[bunker]]\nid = "5-green"'),
        "it belongs at the top of the file",
    ),
    "a missing key": (
        SKERRY,
        ('revision = "C"\n', ""),
        "line 322, bunker '4-right': the key 'revision' is missing; add a line such as revision = ",
    ),
    "an unknown word": (
        SKERRY,
        ('yardage = "yard"', 'yardage = "yards"'),
        "units, key 'yardage': 'yards' is not known here; did you mean 'yard'?",
    ),
    "a coordinate that is no number": (
        SKERRY,
        ("y = 5040.00", "y = nan"),
        "line 107, tee '4-back', key 'y': the value is NaN and not a number to reckon with",
    ),
    "an endless coordinate": (SKERRY, ("y = 5040.00", "y = -inf"), "the value is -Infinity and not a number"),
    "a huge coordinate": (SKERRY, ("y = 5040.00", "y = 1e300"), "key 'y': the value 1E+300 is far too large"),
    "a number beyond all measure": (SKERRY, ("y = 5040.00", f"y = {'9' * 5000}"), "beyond all measure"),
    "a text for a number": (SKERRY, ("y = 5040.00", 'y = "5040"'), "'5040' and not a number; write figures"),
    "a number for a text": (SKERRY, ('name = "Cuddy"', "name = 3"), "hole 3, key 'name': the value is 3"),
    "a text for yes or no": (
        SKERRY,
        ("closed = false\n", 'closed = "no"\n'),
        "write closed = true or closed",
    ),
    "no whole number": (SKERRY, ("number = 5", "number = 5.5"), "a whole number from 1 to 999"),
    "an id that cannot stand in an address": (SKERRY, ('id = "4-old"', 'id = "4/old"'), "'4/old' cannot"),
    "a negative spacing": (
        SKERRY,
        ("spacing_m = 1.0", "spacing_m = -1.0"),
        "line 22, set_out, key 'spacing_m': -1.0 is too small, the least is 0.01",
    ),
    "a length in two units": (
        SKERRY,
        ("along_yd = 262\n", "along_yd = 262\nalong_m = 240\n"),
        "the same length stands as along_m and along_yd; keep one of them",
    ),
    "a length without a unit": (
        SKERRY,
        ("along_yd = 262\n", "along = 262\n"),
        "key 'along': this is not known here; a length says its unit: write along_m, along_yd or along_ft",
    ),
    "a missing length": (SKERRY, ("along_yd = 262\n", ""), "along_m, along_yd or along_ft is missing; add"),
    "a missing grid": (SKERRY, ("[grid]", "[gird]"), "line 31, gird: this is not known here; did you mean"),
    "a grid of no kind": (SKERRY, ('kind = "local"\n', ""), "grid: the key 'kind' is missing"),
    "a list for a table": (SKERRY, ("[grid]", "[[grid]]"), "write one [grid], single brackets"),
    "a floor above its own sand edge": (
        SKERRY,
        ("floor_level_m = 11.50", "floor_level_m = 12.91"),
        "line 232, bunker '3-pot', key 'floor_level_m': the floor lies above the sand edge 'sand' on line 241; one "
        "of the two levels is wrong: give the floor one below its edge",
    ),
    "a floor in feet above an edge in metres": (
        SKERRY,
        ("floor_level_m = 11.50", "floor_level_ft = 42.33"),
        "key 'floor_level_ft': the floor lies above the sand edge 'sand'",
    ),
    "a self-crossing outline": (
        SKERRY,
        ("[2475.12, 5162.05], [2478.72, 5156.28]", "[2478.72, 5156.28], [2475.12, 5162.05]"),
        "line 241, bunker '3-pot', outline 'sand': the outline crosses or touches itself near x 2478.53, y",
    ),
    "an outline with two points": (
        QUANDARY,
        (TURF, "points = [[-30, 30], [22, 30]]"),
        "bunker '12-inner', outline 'turf': a closed outline needs at least 3 different points and this one",
    ),
    "an outline without points": (QUANDARY, (TURF, "points = []"), "this one has 0; add points"),
    "an outline of nothing": (QUANDARY, (TURF, ""), "the outline has neither shape, points nor file; give"),
    "an outline given twice over": (
        SKERRY,
        ('shape = "kidney"', 'shape = "kidney"\nfile = "a.csv"'),
        "the outline has shape and file; give it exactly one",
    ),
    "a point given twice": (
        SKERRY,
        ("[2178.63, 5202.21],", "[2178.63, 5202.21], [2178.63, 5202.21],"),
        "points 6 and 7 of the outline are the same place (x 2178.630, y 5202.210); take one of them out",
    ),
    "an arc in a straight line": (
        SKERRY,
        ('[2481.92, 5162.29, "through"]', '[2480.14, 5161.185, "through"]'),
        "has its three points in one line; move the 'through' point",
    ),
    "a point of three numbers": (
        SKERRY,
        ("[4.6, 1.2]", "[4.6, 1.2, 7]"),
        "bunker '5-green', outline 'sand', point 4: its third value is 7; write it as [x, y]",
    ),
    "a point of an unknown kind": (SKERRY, ('"corner"]', '"corners"]'), "point 1: 'corners' is no kind of"),
    "an unknown part": (SKERRY, ('"mound foot"', '"mound feet"'), "did you mean 'mound foot'?"),
    "an unknown shape": (SKERRY, ('"kidney"', '"kidny"'), "'kidny' is not known here; did you mean 'kidney'"),
    "a shape of no size": (SKERRY, ("length_m = 12.0", "length_m = 0"), "key 'length_m': 0 is too small"),
    "a waist wider than the kidney": (SKERRY, ("waist_m = 2.0", "waist_m = 8"), "it is only 7 m wide; the"),
    "an ellipse without a place": (
        SKERRY,
        ('[bunker.place]\ntee = "3-back"\nalong_yd = 167\noffset_yd = -19\nskew_deg = 15\n', ""),
        "bunker '3-left', outline 'sand': an ellipse or kidney has no place of its own; give the bunker",
    ),
    "latitude and longitude of a peg swapped": (
        SKERRY,
        (PEG, "lat_deg = -4.998989702\nlon_deg = 53.600130823"),
        "peg 'c1': by its GNSS position it lies 10,662 km from its course coordinates; its latitude and "
        "longitude look swapped",
    ),
    "latitude and longitude of a fitted peg swapped": (
        QUANDARY,
        (
            "lat_deg = -39.903220086\nlon_deg = 145.499163050",
            "lat_deg = 145.499163050\nlon_deg = -39.903220086",
        ),
        "peg 'k1', key 'lat_deg': the GNSS position (145.49916305, -39.903220086) looks swapped: latitude",
    ),
    "half a position": (SKERRY, ("lon_deg = -4.998989702\n", ""), "give both lat_deg and lon_deg"),
    "a position off the earth": (SKERRY, ("origin_lat_deg = 53.6", "origin_lat_deg = 153.6"), "the origin ("),
    "an unknown EPSG code": (
        VINDELOGA,
        ('"EPSG:3006"', '"EPSG:999999"'),
        "grid: there is no coordinate system 'EPSG:999999' (crs of the course grid); give an EPSG code",
    ),
    "a system that is not projected": (VINDELOGA, ('"EPSG:3006"', '"EPSG:4326"'), "is not a projected one"),
    "a site far from its area of use": (
        VINDELOGA,
        ('"EPSG:3006"', '"EPSG:2193"'),
        "it lies 646 km from its area of use (New Zealand",
    ),
    "the unit of no grid": (
        SKERRY,
        ('coordinates = "metre"', 'coordinates = "grid"'),
        "'grid' means the unit",
    ),
    "a peg that contradicts the others": (
        QUANDARY,
        ("x = 6104.93", "x = 6106.93"),
        "grid: the pegs contradict each other: with the best fit peg 'k4' is 0.49 m from where it should be",
    ),
    "a green on the other side of the earth": (
        SKERRY,
        ("green = [2236.45, 5401.14]", "green = [2236.45, 3005401.14]"),
        "line 53, hole 4: it lies 3,000 km from the middle of the site; check its x and y and their unit",
    ),
    "a tee without an x": (
        SKERRY,
        ("x = 2105.00\n", ""),
        "tee '4-back': the key 'x' is missing; add a line such as x = ",
    ),
    "a tee without a y": (
        SKERRY,
        ("y = 5040.00\n", ""),
        "tee '4-back': the key 'y' is missing; add a line such as y = ",
    ),
    "a tee whose place is a word": (
        SKERRY,
        ("x = 2105.00", 'x = "by the hut"'),
        "tee '4-back', key 'x': the value is 'by the hut' and not a number",
    ),
    "a plan that names an unknown tee": (
        SKERRY,
        ('tee = "4-back"\nreach_yd = 184', 'tee = "gold"\nreach_yd = 184'),
        "bunker '4-old', plan, key 'tee': there is no tee 'gold'; write one of 4-back, 4-forward, 4-middle",
    ),
    "two spot levels of one place that disagree": (
        SKERRY,
        ('spot_levels = "levels.csv"', "spot_levels = [[0, 0, 1.2], [5, 5, 1], [0.02, 0.03, 1.23]]"),
        "line 13, spot level 3: the level is 1.23 and at the same place it is 1.2 in spot level 1; "
        "keep the one that is right and take the other out",
    ),
    "a tee of another hole": (
        SKERRY,
        ('tee = "4-back"\nalong_yd = 262', 'tee = "5-back"\nalong_yd = 262'),
        "bunker '4-right', place, key 'tee': tee '5-back' belongs to hole 5 and the bunker to hole 4; name a",
    ),
    "an unknown tee": (
        SKERRY,
        ('tee = "4-back"\nalong_yd = 262', 'tee = "4-bak"\nalong_yd = 262'),
        "there is no tee '4-bak'; did you mean '4-back'?",
    ),
    "an unknown hole": (
        SKERRY,
        ('id = "4-right"\nhole = 4', 'id = "4-right"\nhole = 14'),
        "bunker '4-right', key 'hole': there is no hole 14; write one of 3, 4, 5, or add the hole",
    ),
    "two bunkers of one id": (
        SKERRY,
        ('id = "4-old"', 'id = "4-right"'),
        "line 323, bunker '4-right', key 'id': the bunker '4-right' stands already in line 294; give every",
    ),
    "two tees of one id": (
        SKERRY,
        ('id = "4-middle"', 'id = "4-back"'),
        "the tee '4-back' stands already in",
    ),
    "two outlines of one id": (
        SKERRY,
        ('id = "mound"', 'id = "sand"'),
        "outline 'sand' stands twice in this",
    ),
    "a turning point on the tee": (
        SKERRY,
        ("turning_points = [[2283.55, 5183.09]]", "turning_points = [[2275.00, 5428.00]]"),
        "are the same place (x 2275.00, y 5428.00); the tee, the turning points and the green must be apart",
    ),
    "a plan in the wrong unit": (
        SKERRY,
        ("carry_yd = 268", "carry_m = 268"),
        "by the plan carry is 293.1 yd and by the drawing 267.9 yd; correct the figure or its unit",
    ),
    "a plan that ends before it begins": (
        SKERRY,
        ("reach_yd = 259", "reach_yd = 299"),
        "longer than the carry",
    ),
    "a place beyond the green": (
        SKERRY,
        ("along_yd = 262\n", "along_yd = 1262\n"),
        "it is placed 1,154 m along a line of play of 384 m; correct the distance along",
    ),
    "a place beside the course": (
        SKERRY,
        ("offset_yd = 18\n", "offset_yd = 1800\n"),
        "m off the line of play",
    ),
    "an outline file that is not there": (
        VINDELOGA,
        (f'"{GEOJSON}"', '"7-leftt.geojson"'),
        "key 'file': there is no file '7-leftt.geojson' in this folder; did you mean '7-left.geojson'?",
    ),
    "an outline file outside the folder": (
        VINDELOGA,
        (GEOJSON, "../8-front.csv"),
        "no file '../8-front.csv'",
    ),
    "an outline file of another kind": (VINDELOGA, (GEOJSON, "7.dxf"), "'7.dxf' ends in none of .csv, .geoj"),
    "a closed file called open": (
        VINDELOGA,
        (f'file = "{GEOJSON}"', f'file = "{GEOJSON}"\nclosed = false'),
        "take the key out or write true",
    ),
    "another format": (
        SKERRY,
        ('"fieldapp-site"', '"fieldapp-bundle"'),
        "the format is 'fieldapp-bundle'; a",
    ),
    "another version": (
        SKERRY,
        ("version = 1", "version = 2"),
        "the version is 2; this program reads version 1",
    ),
    "no format": (
        SKERRY,
        ('format = "fieldapp-site"\n', ""),
        "format is missing; begin the file with format",
    ),
}


@pytest.mark.parametrize("name", ONE_MISTAKE)
def test_one_mistake_is_one_clear_line(mistakes, name):
    sample, change, words = ONE_MISTAKE[name]
    (line,) = mistakes(sample, change)
    assert line.startswith("site.toml")
    assert words in line


FILE_MISTAKES = {
    "text in a CSV file": (CSV, b"x,y,role\n1,2,\nabc,4,\n", ["8-front.csv line 3: the value is 'abc' and"]),
    "a CSV file with everything wrong": (
        CSV,
        b"# x\nx,y,role\n1,nan,\n3,4,cornr\n5;6\n",
        ["line 3: the value is NaN", "line 4: 'cornr' is no kind of point", "line 5: the line has 1 columns"],
    ),
    "a CSV file with semicolons": (CSV, b"x;y\n1;2\n", ["line 1: the first line is 'x;y'; it must name the"]),
    "a CSV file in another alphabet": (CSV, b"x,y\n1,2\n# b\xe5k\n", ["8-front.csv: the file is not UTF-8"]),
    "an empty CSV file": (CSV, b"", ["8-front.csv: the file is empty; begin it with a line x,y"]),
    "a CSV file with an endless cell": (CSV, b'x,y\n"' + b"1" * 200_000, ["line 2: the file is not CSV"]),
    "text in the levels": (
        "levels.csv",
        b"x,y,level\n1,2,high\n",
        ["levels.csv line 2: the value is 'high'"],
    ),
    "text in a place of the levels, and a line too short": (
        "levels.csv",
        b"x,y,level\n1,tee,3\n4,5\n",
        [
            "levels.csv line 2: the value is 'tee' and not a number",
            "levels.csv line 3: the line has 2 columns",
        ],
    ),
    "levels of one place that disagree": (
        "levels.csv",
        b"# two surveys\nx,y,level\n657100.00,6766500.00,2.10\n657150.00,6766500.00,2.10\n657100.01,6766500.00,2.40\n",
        [
            "levels.csv line 5: the level is 2.40 and at the same place it is 2.10 in line 3; keep the one that is"
        ],
    ),
    "broken GeoJSON": (GEOJSON, b'{"type":\n "Feature",,}', ["7-left.geojson line 2: the file is not JSON"]),
    "GeoJSON of two outlines": (
        GEOJSON,
        b'{"type": "FeatureCollection", "features": [{}, {}]}',
        ["7-left.geojson: the file holds 2 features; keep one outline to a file"],
    ),
    "GeoJSON of a point": (
        GEOJSON,
        b'{"type": "Point", "coordinates": [1, 2]}',
        ["the file holds a Point; an"],
    ),
    "GeoJSON with a hole": (
        GEOJSON,
        b'{"type": "Polygon", "coordinates": [[], []]}',
        ["a Polygon with 2 rings"],
    ),
    "GeoJSON with heights": (
        GEOJSON,
        b'{"type": "LineString", "coordinates": [[1, 2, 3], [4, 5, 6]]}',
        ["7-left.geojson point 1: its third value is 3", "7-left.geojson point 2: its third value is 6"],
    ),
    "GeoJSON in longitude and latitude": (
        GEOJSON,
        b'{"type": "LineString", "coordinates": [[17.9, 61.0], [17.901, 61.0], [17.9, 61.001]]}',
        ["its numbers look like longitude and latitude; write course coordinates"],
    ),
}


@pytest.mark.parametrize("name", FILE_MISTAKES)
def test_a_mistake_in_a_named_file_is_told_with_its_line(mistakes, name):
    file, content, words = FILE_MISTAKES[name]
    lines = mistakes(VINDELOGA, files={file: content})
    assert len(lines) == len(words)
    assert all(word in line for word, line in zip(words, lines, strict=True))


def test_an_outline_in_toml_must_hold_points_only():
    with pytest.raises(SiteFolderError, match="must hold points and nothing else"):
        read_site_text(minimal(outline='file = "a.toml"'), {"a.toml": b"pints = [[1, 2]]"})
    with pytest.raises(SiteFolderError, match=r"a\.toml: the file is not TOML"):
        read_site_text(minimal(outline='file = "a.toml"'), {"a.toml": b"points = [[1, 2"})


def test_every_mistake_is_told_at_once_in_the_order_of_the_file(mistakes):
    lines = mistakes(
        SKERRY,
        ("origin_lat_deg", "origin_lat"),
        ("y = 5040.00", "y = nan"),
        ("[2475.12, 5162.05], [2478.72, 5156.28]", "[2478.72, 5156.28], [2475.12, 5162.05]"),
        ('revision = "C"', 'revison = "C"'),
        ("[-1.6, 3.3], [1.6, 3.1], [4.9, 4.7]", "[4.9, 4.7], [1.6, 3.1], [-1.6, 3.3]"),
        ("skew_deg = -20", "skew = -20"),
    )
    wanted = ["'origin_lat'", "'y'", "'3-pot'", "'revison'", "'mound': the outline crosses", "'skew'"]
    assert len(lines) == len(wanted)
    assert all(word in line for word, line in zip(wanted, lines, strict=True))


def test_swapped_latitude_and_longitude_of_the_origin_show_at_every_peg(mistakes):
    lines = mistakes(
        SKERRY,
        ("origin_lat_deg = 53.6\norigin_lon_deg = -5.0", "origin_lat_deg = -5.0\norigin_lon_deg = 53.6"),
    )
    assert len(lines) == 3
    assert all("or in the grid's origin" in line for line in lines)


def test_feet_taken_for_metres_show_in_the_fit_and_in_the_length_of_a_hole(mistakes):
    lines = mistakes(QUANDARY, ('coordinates = "foot" ', 'coordinates = "metre" '))
    assert "(the course coordinates look like feet)" in lines[0]
    assert "hole 12 is 1,356 m long from this tee" in lines[1]


MINIMAL = """
format = "fieldapp-site"
version = 1
id = "small"
name = "Small"
[grid]
{grid}
[[hole]]
number = 1
green = [{x}, {green_y}]
[[tee]]
id = "plate"
hole = 1
name = "Plate"
x = {x}
y = {y}
{pegs}
[[bunker]]
id = "pit"
hole = 1
name = "Pit"
revision = "A"
[[bunker.outline]]
id = "sand"
part = "sand edge"
{outline}
"""
LOCAL = 'kind = "local"\norigin_lat_deg = 53.6\norigin_lon_deg = -5.0'


def minimal(grid=LOCAL, x=0.0, y=0.0, pegs="", outline=None):
    outline = outline or f"points = [[{x}, {y + 200}], [{x + 9}, {y + 200}], [{x}, {y + 209}]]"
    return MINIMAL.format(grid=grid, x=x, y=y, green_y=y + 300, pegs=pegs, outline=outline)


def mistakes_of(text, folder):
    (folder / "site.toml").write_text(text, "utf-8")
    with pytest.raises(SiteFolderError) as refused:
        check_site(folder)
    return [str(mistake) for mistake in refused.value.mistakes]


def peg(name, x, y, lat, lon):
    return f'[[peg]]\nid = "{name}"\nkind = "control"\nx = {x}\ny = {y}\nlat_deg = {lat}\nlon_deg = {lon}\n'


def test_a_peg_pair_one_metre_apart_cannot_carry_a_fit(tmp_path):
    pegs = peg("a", 0, 0, 53.6, -5.0) + peg("b", 0, 1, 53.600009, -5.0)
    (line,) = mistakes_of(minimal('kind = "fitted"', pegs=pegs), tmp_path)
    assert "line 6, grid: the pegs of the fit are at most 1.00 m apart, too close together to carry" in line


def test_one_peg_cannot_carry_a_fit(tmp_path):
    (line,) = mistakes_of(minimal('kind = "fitted"', pegs=peg("a", 0, 0, 53.6, -5.0)), tmp_path)
    assert "at least two pegs with course coordinates and a GNSS position, and only peg 'a' has both" in line


def test_a_site_three_thousand_kilometres_from_the_area_of_its_grid_is_refused(tmp_path):
    grid = 'kind = "projected"\ncrs = "EPSG:3006"'
    (line,) = mistakes_of(minimal(grid, x=657000.0, y=3_080_000.0), tmp_path)
    assert "it lies 3,0" in line
    assert "km from its area of use (Sweden" in line
    assert line.endswith("; check the coordinates, their unit and the grid's crs")


def test_a_missing_transformation_file_is_named_with_the_error_without_it(tmp_path):
    # The British National Grid; OSTN15 is not among the files that come with PROJ.
    grid = 'kind = "projected"\ncrs = "EPSG:27700"'
    (line,) = mistakes_of(minimal(grid, x=400_000.0, y=400_000.0), tmp_path)
    assert "every position may be wrong by about 2 m" in line
    assert "accept_error_m = 2" in line


def test_a_bunker_drawn_beside_the_course_is_refused(tmp_path):
    text = minimal(outline="points = [[2000, 200], [2009, 200], [2000, 209]]")
    (line,) = mistakes_of(text, tmp_path)
    assert "bunker 'pit': it lies 2,003 m off the line of play of hole 1; check its points, x first" in line


def test_a_site_without_a_hole_is_refused():
    text = 'format = "fieldapp-site"\nversion = 1\nid = "s"\nname = "S"\n[grid]\n' + LOCAL
    with pytest.raises(SiteFolderError, match="the site has no hole"):
        read_site_text(text)


def test_a_table_for_a_list_of_tables_is_told():
    with pytest.raises(SiteFolderError) as refused:
        read_site_text(minimal().replace("[[hole]]", "[hole]"))
    (mistake,) = refused.value.mistakes
    assert mistake.where == "site.toml line 10, hole"
    assert mistake.remedy == "write [[hole]], double brackets, over each"


def test_a_hole_without_a_tee_is_refused():
    text = minimal() + "[[hole]]\nnumber = 2\ngreen = [0, 100]\n"
    with pytest.raises(
        SiteFolderError, match=r"hole 2: the hole has no tee.*add a \[\[tee\]\] with hole = 2"
    ):
        read_site_text(text)


def test_a_folder_that_is_not_there_is_named(tmp_path):
    with pytest.raises(SiteFolderError, match=r"nowhere/site\.toml: there is no such file; name a folder"):
        load_site(tmp_path / "nowhere")


def test_a_file_for_a_folder_is_told(tmp_path):
    (tmp_path / "site.toml").write_text(minimal())
    with pytest.raises(
        SiteFolderError, match=r"site\.toml: it is no folder; name the folder that holds site\.toml"
    ):
        load_site(tmp_path / "site.toml")


def test_a_site_file_that_is_no_text_is_told(tmp_path):
    (tmp_path / "site.toml").write_bytes(b'name = "\xff\xfe"')
    with pytest.raises(SiteFolderError, match="not UTF-8 text; save it as plain text"):
        load_site(tmp_path)


def test_nesting_without_end_is_told():
    with pytest.raises(SiteFolderError, match="beyond all measure"):
        read_site_text(f"a = {'[' * 5000}{']' * 5000}")


NUMBERS = (0, -1, 3.7, -39.9, float("nan"), float("inf"), 1e300, 10**30, True)
TEXTS = ("", "x", "4-right", "grid", "\x01", "EPSG:9999", "../x.csv")
LISTS = ([], [[]], [1, 2], [[1, 2], [3, 4]], {}, {"x": 1}, [{}], [{"id": "a"}])
JUNK = st.sampled_from([None, *NUMBERS, *TEXTS, *LISTS])


def places_in(content, path=()):
    items = content.items() if isinstance(content, dict) else enumerate(content)
    for key, value in items:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from places_in(value, (*path, key))


def spoilt(document, place, junk):
    changed = copy.deepcopy(document)
    inner = changed
    for step in place[:-1]:
        inner = inner[step]
    if junk is None:
        del inner[place[-1]]
    else:
        inner[place[-1]] = junk
    return changed


DOCUMENTS = {
    name: tomllib.loads((SAMPLE_SITES / name / "site.toml").read_text("utf-8"))
    for name in (SKERRY, VINDELOGA, QUANDARY)
}


@settings(max_examples=60, deadline=None)
@given(data=st.data(), name=st.sampled_from(sorted(DOCUMENTS)), junk=JUNK)
def test_nothing_in_a_site_file_causes_anything_but_mistakes(tmp_path_factory, data, name, junk):
    place = data.draw(st.sampled_from(list(places_in(DOCUMENTS[name]))))
    folder = tmp_path_factory.mktemp("spoilt") / "site"
    shutil.copytree(SAMPLE_SITES / name, folder)
    (folder / "site.toml").write_text(tomli_w.dumps(spoilt(DOCUMENTS[name], place, junk)), "utf-8")
    with contextlib.suppress(SiteFolderError):
        check_site(folder)


@pytest.mark.parametrize("key", ["hole", "tee", "peg", "bunker", "keep_clear"])
@pytest.mark.parametrize("junk", [1e-9, "four", [1, 2], {"x": 1.5}])
@pytest.mark.parametrize("name", sorted(DOCUMENTS))
def test_what_should_be_a_list_of_tables_is_told(name, junk, key):
    with pytest.raises(SiteFolderError, match=f"'{key}' is not a list of tables; write"):
        read_site_text(tomli_w.dumps(DOCUMENTS[name] | {key: junk}))


FAIRWAY = "green = [0.0, 300.0]\nfairway = {}"


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ("[[0, 0], [20, 0]]", "line 13, hole 1, key 'fairway': the fairway has 2 corners; give the corners"),
        (
            "[[0, 0], [20, 20], [20, 0], [0, 20]]",
            "the edge of the fairway crosses itself; give its corners in order",
        ),
        ("[[0, 0], [20, 0], [20]]", "the point has 1 values; write it as [x, y]"),
    ],
)
def test_a_fairway_that_is_no_edge_is_told(tmp_path, corners, words):
    text = minimal().replace("green = [0.0, 300.0]", FAIRWAY.format(corners))
    (line,) = mistakes_of(text, tmp_path)
    assert words in line


def test_a_fairway_may_close_with_its_first_corner_again(tmp_path):
    text = minimal().replace("green = [0.0, 300.0]", FAIRWAY.format("[[0, 0], [20, 0], [0, 20], [0, 0]]"))
    assert read_site_text(text).hole(1).fairway == ((0.0, 0.0), (20.0, 0.0), (0.0, 20.0))


def test_an_outline_has_a_level_or_a_height_above_the_ground_and_not_both(tmp_path):
    text = minimal().replace('part = "sand edge"', 'part = "sand edge"\nlevel_m = 3\nabove_ground_m = 0.7')
    (line,) = mistakes_of(text, tmp_path)
    assert (
        "outline 'sand': the outline has a level and a height above the ground; give one of the two" in line
    )


def test_a_floor_as_high_as_its_edge_and_an_edge_without_a_level_are_no_mistake(tmp_path):
    text = minimal().replace("[[bunker.outline]]", "floor_level_m = 3.0\n[[bunker.outline]]", 1)
    assert read_site_text(text).bunkers[0].floor_level_m == 3.0
    level = text.replace('part = "sand edge"', 'part = "sand edge"\nlevel_m = 3.0')
    assert read_site_text(level).bunkers[0].outlines[0].level_m == 3.0
    assert "key 'floor_level_m'" in mistakes_of(level.replace("3.0\n[[", "3.001\n[["), tmp_path)[0]


KEEP_CLEAR = """
[[keep_clear]]
id = "drain"
kind = "drain"
extent = "line"
points = [[0, 0], [5, 5]]
clearance_m = 1
"""


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('kind = "drain"', 'kind = "drian"', "'drian' is not known here; did you mean 'drain'?"),
        (
            "[[0, 0], [5, 5]]",
            "[[0, 0], [0, 0]]",
            "the line has 1 different places of the 2 it needs; give 2 at least",
        ),
        ('"line"', '"point"', 'a point has 2 places; give one place, or write extent = "line" or "area"'),
        ('"line"', '"area"', "the area has 2 different places of the 3 it needs; give 3 at least"),
        (
            '"line"\npoints = [[0, 0], [5, 5]]',
            '"area"\npoints = [[0, 0], [5, 5], [5, 0], [0, 5]]',
            "the edge of the area crosses itself; give its corners in order, all round it",
        ),
        ("points = [[0, 0], [5, 5]]\n", "", "the key 'points' is missing; add a line such as points"),
        ("[5, 5]", '[5, "x"]', "the value is 'x' and not a number"),
        ("clearance_m = 1", "clearance_m = -1", "-1 is"),
        ("[[0, 0]", "[[500000, 0]", "km from the middle of the site"),
        (
            KEEP_CLEAR,
            KEEP_CLEAR + KEEP_CLEAR,
            "the thing to keep clear of 'drain' stands already in line",
        ),
    ],
)
def test_a_thing_to_keep_clear_of_that_is_none_is_told(tmp_path, old, new, words):
    text = minimal() + KEEP_CLEAR
    assert old in text
    told = mistakes_of(text.replace(old, new, 1), tmp_path)
    assert len(told) == 1
    assert words in told[0]


def test_an_area_to_keep_clear_of_may_close_with_its_first_corner_again():
    text = minimal() + KEEP_CLEAR.replace('"line"', '"area"').replace("[5, 5]]", "[5, 5], [5, 0], [0, 0]]")
    (area,) = read_site_text(text).keep_clear
    assert area.points == ((0.0, 0.0), (5.0, 5.0), (5.0, 0.0))
    assert area.is_service
