"""A site folder read, checked and written; the three samples."""

import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely

from fieldapp.errors import SiteFolderError
from fieldapp.formats.site_folder import (
    check_site,
    load_checked_site,
    load_site,
    read_site_text,
    save_site,
    site_text,
)
from fieldapp.formats.toml_lines import lines_of
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import ControlPoint, DrawnShape, Ellipse, FittedGrid, Kidney, LocalGrid, ProjectedGrid
from fieldapp.outline.laid_out import lay_out_bunker
from fieldapp.play.carry import bearing_between, shot
from fieldapp.play.line_of_play import line_of_play

SAMPLE_SITES = Path(__file__).parents[2] / "sample_sites"
SAMPLES = sorted(SAMPLE_SITES.iterdir())
SKERRY, VINDELOGA, QUANDARY = (
    SAMPLE_SITES / name for name in ("skerry-bank", "vindeloga", "quandary-strait")
)
YARD_M, FOOT_M, SURVEY_FOOT_M = 0.9144, 0.3048, 1200 / 3937
SMALL = """
format = "fieldapp-site"
version = 1
id = "small"
name = "Small"
{top}
[units]
coordinates = "{unit}"
[grid]
{grid}
[[hole]]
number = 1
green = [0, 1000]
[[tee]]
id = "plate"
hole = 1
name = "Plate"
x = 0
y = 10.5
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
TRIANGLE = "points = [[0, 500], [10.5, 500], [0, 510.25]]"


def small(unit="metre", grid=LOCAL, outline=TRIANGLE, top=""):
    return SMALL.format(unit=unit, grid=grid, outline=outline, top=top)


def shape_of(site):
    return site.bunkers[0].outlines[0].shape


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda folder: folder.name)
def sample(request):
    return request.param


@pytest.fixture(scope="module")
def checked(sample):
    return load_checked_site(sample)


def test_there_are_three_samples_one_for_each_kind_of_grid():
    assert {type(load_site(folder).grid) for folder in SAMPLES} == {LocalGrid, ProjectedGrid, FittedGrid}


def test_a_sample_has_no_mistakes(sample, checked):
    assert check_site(sample) == checked[0] == load_site(sample)


def test_a_sample_is_believable(checked):
    site, _ = checked
    assert 4 <= len(site.bunkers) <= 6
    assert all(len(site.tees_of(hole.number)) >= 3 for hole in site.holes)
    assert {peg.kind for peg in site.pegs} >= {"control", "reference"}
    assert all(tee.level_m is not None for tee in site.tees)
    assert site.spot_levels
    assert all(6 <= len(hole.fairway) <= 14 for hole in site.holes)
    assert any(tee.within_m for tee in site.tees)
    kinds = {type(outline.shape) for bunker in site.bunkers for outline in bunker.outlines}
    assert kinds == {DrawnShape, Ellipse, Kidney}
    drawn = [
        outline.shape
        for bunker in site.bunkers
        for outline in bunker.outlines
        if isinstance(outline.shape, DrawnShape)
    ]
    assert {shape.curve for shape in drawn} == {"smooth", "straight"}
    assert {shape.closed for shape in drawn} == {True, False}
    assert any(point.role == "through" for shape in drawn for point in shape.points)


def test_a_sample_knows_the_floor_of_all_bunkers_but_one_and_every_foot_of_a_face_lies_below_its_edge(
    checked,
):
    site, _ = checked
    assert [bunker.floor_level_m for bunker in site.bunkers].count(None) == 1
    for bunker in site.bunkers:
        edge, *others = bunker.outlines
        assert bunker.floor_level_m is None or bunker.floor_level_m < edge.level_m
        assert all(other.level_m < edge.level_m for other in others if other.part == "face foot")


def test_the_fairway_of_a_sample_runs_beside_its_bunkers(checked):
    site, _ = checked
    for bunker in site.bunkers:
        sand = shapely.Polygon(lay_out_bunker(site, bunker, 1.0).sand.trace())
        fairway = shapely.Polygon(site.hole(bunker.hole).fairway)
        assert not sand.intersects(fairway), bunker.id
        assert sand.distance(fairway) < 15.0, bunker.id


def test_a_sample_says_that_it_is_invented_and_in_the_sea(checked):
    site, _ = checked
    assert "invented" in site.name
    assert "open" in site.note
    assert "no golf is played" in site.note


def test_every_plan_of_a_sample_agrees_with_its_drawing_to_a_yard(checked):
    site, grid = checked
    for bunker in site.bunkers:
        plan, hole = bunker.plan, site.hole(bunker.hole)
        scale = float(grid.ground_scale_at((hole.green_x, hole.green_y)))
        laid_out = lay_out_bunker(site, bunker, scale)
        tee = site.tee(plan.tee)
        along, offset = line_of_play(site, tee).locate(laid_out.middle)
        aim_deg = bearing_between((tee.x, tee.y), laid_out.middle)
        spread = shot(laid_out.outlines[0].curve, (tee.x, tee.y), aim_deg, scale)
        drawn = np.array([spread.reach_m, spread.carry_m, along * scale, offset * scale])
        planned = np.array([plan.reach_m, plan.carry_m, plan.along_m, plan.offset_m])
        assert np.abs(drawn - planned).max() < YARD_M, bunker.id


def test_the_new_bunker_of_the_first_sample_lies_262_yards_out_and_18_to_the_right():
    place = check_site(SKERRY).bunker("4-right").place
    assert (place.along_m, place.offset_m, place.skew_deg) == pytest.approx((239.5728, 16.4592, 35.0))


def test_the_old_bunker_of_the_first_sample_is_a_carry_of_195_yards():
    assert load_site(SKERRY).bunker("4-old").plan.carry_m == pytest.approx(178.308)


def test_one_sample_bunker_has_more_than_a_hundred_paint_points():
    site, _ = load_checked_site(SKERRY)
    laid_out = lay_out_bunker(site, site.bunker("5-waste"), 1.0)
    assert len(laid_out.outlines[0].points.xy) > 100


def test_the_pegs_of_the_fitted_sample_agree_to_two_centimetres():
    _, grid = load_checked_site(QUANDARY)
    assert len(grid.fit.peg_ids) >= 4
    assert 0.002 < max(grid.fit.residual_lengths_m) < 0.02


def test_control_pegs_with_positions_stand_where_their_coordinates_say(checked):
    site, grid = checked
    pegs = [peg for peg in site.pegs if peg.position is not None]
    lonlat = [(peg.position.lon_deg, peg.position.lat_deg) for peg in pegs]
    assert np.abs(grid.to_course(lonlat) - [(peg.x, peg.y) for peg in pegs]).max() < 0.04


def test_a_sample_saved_and_loaded_is_the_same(sample, tmp_path):
    site = load_site(sample)
    save_site(site, tmp_path / "again")
    assert load_site(tmp_path / "again") == site
    assert check_site(tmp_path / "again") == site


def test_a_sample_as_one_text_is_the_same(sample):
    site = load_site(sample)
    assert read_site_text(site_text(site)) == site


def test_the_text_of_a_text_is_the_same_text(sample):
    text = site_text(load_site(sample))
    assert site_text(read_site_text(text)) == text


def test_figures_are_written_as_a_person_gave_them():
    text = site_text(load_site(QUANDARY))
    for line in ("along_yd = 278.0", "length_ft = 46.0", "x = 5188.42", "height_m = 8.104", "[22.0, 46.0]"):
        assert line in text


def test_saving_writes_levels_beside_the_site(sample, tmp_path):
    site = load_site(sample)
    save_site(site, tmp_path)
    assert sorted(file.name for file in tmp_path.iterdir()) == ["levels.csv", "site.toml"]
    assert 'spot_levels = "levels.csv"' in (tmp_path / "site.toml").read_text("utf-8")


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path):
    (tmp_path / "site.toml").write_bytes(b"\xef\xbb\xbf" + small().replace("\n", "\r\n").encode())
    assert load_site(tmp_path) == read_site_text(small())


@pytest.mark.parametrize(
    ("unit", "metres"), [("metre", 1.0), ("foot", FOOT_M), ("us-survey-foot", SURVEY_FOOT_M)]
)
def test_coordinates_come_in_the_unit_of_the_site(unit, metres):
    site = read_site_text(small(unit, top="spot_levels = [[100, 200, 3]]"))
    assert (site.holes[0].green_y, site.tees[0].y) == pytest.approx((1000 * metres, 10.5 * metres), rel=1e-15)
    assert shape_of(site).points[2].y == pytest.approx(510.25 * metres, rel=1e-15)
    assert site.spot_levels[0].level_m == pytest.approx(3 * metres, rel=1e-15)


def test_grid_coordinates_come_in_the_unit_of_the_projected_system():
    # EPSG:2272 is NAD83 / Pennsylvania South in US survey feet.
    grid = 'kind = "projected"\ncrs = "EPSG:2272"\naccept_error_m = 100'
    site = read_site_text(small("grid", grid))
    assert site.holes[0].green_y == pytest.approx(1000 * SURVEY_FOOT_M, rel=1e-12)
    assert build_grid(site.grid).metres_per_unit == pytest.approx(SURVEY_FOOT_M, rel=1e-12)
    assert read_site_text(site_text(site)) == site


@pytest.mark.parametrize(("key", "metres"), [("along_m", 1.0), ("along_yd", YARD_M), ("along_ft", FOOT_M)])
def test_a_length_says_its_unit_in_its_key(key, metres):
    outline = f'{TRIANGLE}\n[bunker.plan]\ntee = "plate"\n{key} = 100\n'
    assert read_site_text(small(outline=outline)).bunkers[0].plan.along_m == pytest.approx(100 * metres)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("pit.csv", b"x,y,role\n0,500,\n10.5,500,through\n0,510.25,\n"),
        ("pit.csv", b"# drawn by hand\n\n role , Y,X\n,500,0\r\nthrough,500,10.5\n,510.25,0"),
        ("pit.toml", b'points = [[0, 500], [10.5, 500, "through"], [0, 510.25]]'),
    ],
)
def test_an_outline_may_stand_in_a_file(name, content):
    site = read_site_text(small(outline=f'file = "{name}"'), {name: content})
    assert shape_of(site).points == (
        ControlPoint(0.0, 500.0),
        ControlPoint(10.5, 500.0, "through"),
        ControlPoint(0.0, 510.25),
    )


@pytest.mark.parametrize(
    ("geometry", "closed"),
    [
        ('{"type": "Polygon", "coordinates": [[[0, 500], [10.5, 500], [0, 510.25], [0, 500]]]}', True),
        ('{"type": "LineString", "coordinates": [[0, 500], [10.5, 500], [0, 510.25]]}', False),
    ],
)
@pytest.mark.parametrize(
    "around",
    [
        "%s",
        '{"type": "Feature", "properties": null, "geometry": %s}',
        '{"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": %s}]}',
    ],
)
def test_a_polygon_of_geojson_is_closed_and_a_line_string_open(geometry, closed, around):
    text = small(outline='curve = "straight"\nfile = "pit.geojson"')
    site = read_site_text(text, {"pit.geojson": (around % geometry).encode()})
    assert shape_of(site).closed is closed
    assert [(point.x, point.y) for point in shape_of(site).points] == [(0, 500), (10.5, 500), (0, 510.25)]


def test_an_outline_from_a_file_is_kept_within_the_text_of_the_site():
    site = load_site(VINDELOGA)
    assert "geojson" not in site_text(site)
    assert read_site_text(site_text(site)).bunker("7-left") == site.bunker("7-left")


def test_spot_levels_may_stand_in_the_text_or_in_a_file():
    within = read_site_text(small(top="spot_levels = [[1, 2, 3.5], [4, 5, 6]]"))
    beside = read_site_text(
        small(top='spot_levels = "high.csv"'), {"high.csv": b"level,x,y\n3.5,1,2\n6,4,5\n"}
    )
    assert within.spot_levels == beside.spot_levels
    assert within.spot_levels[0].level_m == 3.5


def test_a_file_outside_the_folder_is_not_read(tmp_path):
    (tmp_path / "secret.csv").write_text("x,y\n1,2\n3,4\n5,7\n")
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "site.toml").write_text(small(outline='file = "../secret.csv"'))
    with pytest.raises(SiteFolderError, match=r"no file '\.\./secret\.csv'"):
        load_site(folder)


def test_loading_changes_nothing_in_the_folder(sample, tmp_path):
    folder = Path(shutil.copytree(sample, tmp_path / "copy"))
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    check_site(folder)
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


def test_lines_of_a_text_are_those_an_editor_shows():
    text = (
        'a = 1 # [[x]]\n\n[b]\n"c d" = """\n[[hole]]\n"""\ne.f = {g = [1,\n  2], h = "]"}\n'
        "[[hole]]\nlist = [\n  # one\n  [1, 2], [3,\n 4],\n]\n[[hole.part]]\nk = 1\n[[hole]]\nk = 'x#'\n"
        "[[hole.part]]\nk = 2\n"
    )
    lines = lines_of(text)
    expected = {
        ("a",): 1,
        ("b",): 3,
        ("b", "c d"): 4,
        ("b", "e", "f"): 7,
        ("b", "e", "f", "g", 1): 8,
        ("b", "e", "f", "h"): 8,
        ("hole", 0): 9,
        ("hole", 0, "list"): 10,
        ("hole", 0, "list", 0): 12,
        ("hole", 0, "list", 1): 12,
        ("hole", 0, "list", 1, 1): 13,
        ("hole", 0, "part", 0, "k"): 16,
        ("hole", 1): 17,
        ("hole", 1, "k"): 18,
        ("hole", 1, "part", 0, "k"): 20,
    }
    assert {path: lines[path] for path in expected} == expected
