"""Everything about a course grid that is refused: each with its own sentence and class."""

from dataclasses import replace

import pytest

from fieldapp.errors import FitError, GridError, GridFileMissing, InputError, PositionError
from fieldapp.geodesy.grid import build_grid, check_within_area
from fieldapp.model import FittedGrid, GnssPosition, LocalGrid, Peg, ProjectedGrid

NAN = float("nan")
GROUND = build_grid(LocalGrid(53.6, -5.0))


def peg(name, x, y, east_m=None, north_m=None):
    """A peg whose GNSS position lies east_m, north_m from 53.6 N, 5 W; else where its coordinates say."""
    lon, lat = GROUND.to_gnss((x if east_m is None else east_m, y if north_m is None else north_m))
    return Peg(name, "control", x, y, None, GnssPosition(float(lat), float(lon)))


def at(pegs, **position):
    """The same pegs, the first with something else in its position."""
    return [replace(pegs[0], position=replace(pegs[0].position, **position)), *pegs[1:]]


SQUARE = [peg("A", 0, 0), peg("B", 200, 0), peg("C", 200, 150), peg("D", 0, 150)]
LOOSE = FittedGrid(max_residual_m=0.5)


def swapped(pegs):
    return [replace(p, position=GnssPosition(p.position.lon_deg, p.position.lat_deg)) for p in pegs]


@pytest.mark.parametrize(
    ("definition", "pegs", "kind", "sentence"),
    [
        (ProjectedGrid("EPSG:99999"), (), GridError, "no coordinate system 'EPSG:99999'"),
        (ProjectedGrid("rubbish"), (), GridError, "no coordinate system 'rubbish'"),
        (ProjectedGrid(""), (), GridError, "no coordinate system ''"),
        (ProjectedGrid("EPSG:4326"), (), GridError, "not a projected one"),
        (ProjectedGrid("EPSG:4978"), (), GridError, "not a projected one"),
        (ProjectedGrid("EPSG:3031"), (), GridError, "do not run east and north"),
        (ProjectedGrid("EPSG:3006", gnss_crs="EPSG:88888"), (), GridError, "gnss_crs of the course grid"),
        (ProjectedGrid("EPSG:3006", gnss_crs="EPSG:25833"), (), GridError, "not in latitude and longitude"),
        (ProjectedGrid("EPSG:27700"), (), GridFileMissing, "OSTN15.*about 2 m.*accept_error_m = 2"),
        (ProjectedGrid("EPSG:27700", accept_error_m=1.0), (), GridFileMissing, "OSTN15.*about 2 m"),
        (ProjectedGrid("EPSG:7405"), (), GridFileMissing, "OSTN15"),
        (
            ProjectedGrid("EPSG:3006", accept_error_m=0.5),
            (),
            GridError,
            "about 1 m, and accept_error_m is 0.5",
        ),
        (ProjectedGrid("+proj=tmerc +lat_0=50 +lon_0=5 +ellps=GRS80"), (), GridError, r"\+datum=WGS84"),
        (
            ProjectedGrid("EPSG:3006", gnss_crs="EPSG:7912", epoch=2026.9),
            (),
            GridFileMissing,
            "error.*unknown",
        ),
        (ProjectedGrid("EPSG:3006", epoch=2026.9), (), GridError, "stands for several frames at once"),
        (ProjectedGrid("EPSG:7856", gnss_crs="EPSG:9000"), (), GridError, "move with the years"),
        (ProjectedGrid("EPSG:7856", gnss_crs="EPSG:9000", epoch=26.9), (), GridError, "no decimal year"),
        (ProjectedGrid("EPSG:7856", gnss_crs="EPSG:9000", epoch=NAN), (), GridError, "no decimal year"),
        (
            ProjectedGrid("EPSG:3006", ground_height_m=NAN),
            (),
            GridError,
            "ground height of the course grid is nan",
        ),
        (LocalGrid(NAN, 0), (), PositionError, "origin of the course grid.*not two numbers"),
        (LocalGrid(-120.0, 45.0), (), PositionError, "looks swapped"),
        (LocalGrid(45.0, 200.0), (), PositionError, "between -180 and 180"),
        (LocalGrid(45.0, 20.0, 20_000.0), (), GridError, "ground height of the course grid is 20000.0 m"),
        (LocalGrid(45.0, 20.0, 0.0, NAN), (), GridError, "origin_x, origin_y or north_bearing_deg"),
        (FittedGrid(), (), FitError, "at least two pegs.*no peg has both"),
        (FittedGrid(), SQUARE[:1], FitError, "at least two pegs.*only peg 'A' has both"),
        (FittedGrid(), [peg("A", 0, 0), peg("B", 1, 0)], FitError, "at most 1.00 m apart"),
        (FittedGrid(), [peg("A", 0, 0), peg("B", 0, 0)], FitError, "at most 0.00 m apart"),
        (FittedGrid(), [*SQUARE[:3], peg("D", 0, 150, 0.9, 150)], FitError, "contradict.*'D'"),
        (LOOSE, [peg("A", 0, 0), peg("B", 90, 0, 92, 0)], FitError, "contradict each other.* 1.00 m"),
        (FittedGrid("free"), [peg("A", 0, 0), peg("B", 200, 0, 201, 0)], FitError, "more than 1000 ppm"),
        (FittedGrid("shrink"), SQUARE, FitError, "'fixed' or 'free'"),
        (FittedGrid(), [peg("A", NAN, 0, 0, 0), *SQUARE[1:]], FitError, "Peg 'A' has an x or y"),
        (FittedGrid(), at(SQUARE, lon_deg=NAN), PositionError, "position of peg 'A'"),
        (FittedGrid(), [*SQUARE[:3], peg("D", 0, 150, 0, 90_000)], FitError, "'A' and 'D' are 90 km apart"),
        (FittedGrid(), swapped(SQUARE), FitError, "latitude and longitude of the pegs look swapped"),
        (
            FittedGrid(),
            [replace(p, x=p.y, y=p.x) for p in SQUARE],
            FitError,
            "mirrored, as when x and y are swapped",
        ),
        (FittedGrid("free"), [replace(p, x=-p.x) for p in SQUARE], FitError, "look mirrored"),
        (
            FittedGrid(),
            [replace(p, x=p.x / 0.9144, y=p.y / 0.9144) for p in SQUARE],
            FitError,
            "look like yards",
        ),
        (
            FittedGrid("free"),
            [replace(p, x=p.x / 0.3048, y=p.y / 0.3048) for p in SQUARE],
            FitError,
            "like feet",
        ),
    ],
)
def test_a_grid_that_cannot_be_used_is_refused_in_words(definition, pegs, kind, sentence):
    with pytest.raises(kind, match=f"(?s){sentence}") as refusal:
        build_grid(definition, pegs)
    assert type(refusal.value) is kind
    assert str(refusal.value).endswith(".")
    assert "\n" not in str(refusal.value)


def test_a_missing_grid_file_carries_the_size_of_the_error():
    with pytest.raises(GridFileMissing) as refusal:
        build_grid(ProjectedGrid("EPSG:27700"))
    assert refusal.value.error_m == 2.0


def test_a_ballpark_is_refused_whatever_error_is_accepted():
    with pytest.raises(GridError):
        build_grid(ProjectedGrid("EPSG:2263", gnss_crs="EPSG:6318", accept_error_m=1000.0))


def test_an_accepted_missing_file_leaves_a_note():
    grid = build_grid(ProjectedGrid("EPSG:27700", accept_error_m=2.0))
    assert grid.accuracy_m == 2.0
    assert any("OSTN15" in note and "about 2 m" in note for note in grid.notes)


def test_the_place_of_the_pegs_decides_which_file_is_missing():
    madrid = Peg("A", "control", 440_707.0, 4_472_597.0)
    with pytest.raises(GridFileMissing, match="SPED2ETV2") as refusal:
        build_grid(ProjectedGrid("EPSG:23030"), [madrid])
    assert refusal.value.error_m == 1.5


@pytest.mark.parametrize(
    ("definition", "xy", "sentence"),
    [
        (
            ProjectedGrid("EPSG:3006"),
            (500_000.0, 3_000_000.0),
            r"Tee '1-back'.* 3,0\d\d km from its area of use",
        ),
        (ProjectedGrid("EPSG:3006"), (0.0, 0.0), "6,093 km"),
        (ProjectedGrid("EPSG:3006"), (6_580_822.0, 674_032.0), "x and y look swapped"),
        (ProjectedGrid("EPSG:3006"), (1e9, 1e9), "no position"),
        (ProjectedGrid("EPSG:3006"), (NAN, 0.0), "not a number"),
        (ProjectedGrid("EPSG:3857"), (0.0, 6_000_000.0), "one metre of the course grid is 0.6"),
        (LocalGrid(53.6, -5.0), (0.0, 3_000_000.0), "3,000 km from the middle"),
        (LocalGrid(53.6, -5.0), (NAN, 0.0), "not a number"),
    ],
)
def test_a_site_far_from_where_its_grid_is_meant_for_is_refused(definition, xy, sentence):
    with pytest.raises(GridError, match=sentence):
        check_within_area(build_grid(definition), xy, "Tee '1-back'")


@pytest.mark.parametrize(
    ("definition", "xy"),
    [
        (ProjectedGrid("EPSG:3006"), (674_032.0, 6_580_822.0)),
        (ProjectedGrid("EPSG:2193"), (1_570_000.0, 5_180_000.0)),
        (ProjectedGrid("EPSG:32601"), (300_000.0, 6_000_000.0)),
        (LocalGrid(53.6, -5.0), (1500.0, -900.0)),
    ],
)
def test_a_site_within_the_area_of_its_grid_is_let_pass(definition, xy):
    assert check_within_area(build_grid(definition), xy, "Tee '1-back'") is None


@pytest.mark.parametrize(
    ("lonlat", "sentence"),
    [
        ((53.6, -95.0), "looks swapped"),
        ((NAN, 53.0), "not two numbers"),
        ((5.0, 400.0), "has latitude 400.0"),
        ((500.0, 4.0), "has longitude 500.0"),
    ],
)
def test_a_position_that_cannot_be_right_is_refused(named_grid, lonlat, sentence):
    with pytest.raises(PositionError, match=sentence):
        named_grid[1].to_course(lonlat)


@pytest.mark.parametrize("xy", [(NAN, 0.0), (0.0, float("inf"))])
def test_course_coordinates_that_are_no_numbers_are_refused(named_grid, xy):
    with pytest.raises(GridError, match="not a number"):
        named_grid[1].to_gnss(xy)


def test_every_refusal_is_wrong_input():
    assert all(issubclass(kind, InputError) for kind in (GridError, GridFileMissing, FitError, PositionError))
