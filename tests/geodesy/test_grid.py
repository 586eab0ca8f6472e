"""Course grids: there and back, against PROJ, scale and convergence."""

from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pyproj import Transformer

from fieldapp.geodesy.distance import geodesic, ground_distance_m
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import LocalGrid, ProjectedGrid

TENTH_OF_A_MM = 1e-4
OFFSETS = st.tuples(st.floats(-1500, 1500), st.floats(-1500, 1500))
AS_SHIPPED = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@AS_SHIPPED
@given(offset=OFFSETS)
def test_course_to_gnss_and_back_is_the_same_point(named_grid, offset):
    _, grid, middle = named_grid
    xy = middle + offset
    assert np.hypot(*(grid.to_course(grid.to_gnss(xy)) - xy)) <= TENTH_OF_A_MM


@AS_SHIPPED
@given(offset=OFFSETS)
def test_gnss_to_course_and_back_is_the_same_position(named_grid, offset):
    _, grid, middle = named_grid
    lonlat = grid.to_gnss(middle + offset)
    again = grid.to_gnss(grid.to_course(lonlat))
    assert geodesic(lonlat, again).distance_m <= TENTH_OF_A_MM


@lru_cache
def both_ways(crs):
    return build_grid(ProjectedGrid(crs)), Transformer.from_crs("EPSG:4326", crs, always_xy=True)


@pytest.mark.parametrize(
    ("crs", "lonlat", "sign"),
    [
        ("EPSG:3006", (16.2, 59.3), 1),
        ("EPSG:2193", (170.1, -44.9), 1),
        ("EPSG:6539", (-73.1, 40.85), 1),
        ("EPSG:2056", (8.9, 47.4), 1),
        ("EPSG:2053", (29.6, -29.8), -1),
    ],
)
@AS_SHIPPED
@given(offset=OFFSETS)
def test_a_projected_grid_gives_proj_s_own_positions(crs, lonlat, sign, offset):
    grid, direct = both_ways(crs)
    xy = grid.to_course(lonlat) + offset
    want = direct.transform(*(sign * xy / grid.metres_per_unit), direction="INVERSE")
    assert geodesic(grid.to_gnss(xy), want).distance_m <= TENTH_OF_A_MM


@pytest.mark.parametrize("crs", ["EPSG:3006", "EPSG:2193", "EPSG:6539", "EPSG:25832", "EPSG:7856"])
def test_without_a_turned_datum_course_coordinates_are_proj_s_own(crs):
    grid = build_grid(ProjectedGrid(crs))
    west, south, east, north = grid.area.bounds_deg
    lonlat = ((west + east) / 2, (south + north) / 2)
    want = np.array(Transformer.from_crs("EPSG:4326", crs, always_xy=True).transform(*lonlat))
    assert grid.to_course(lonlat) == pytest.approx(want * grid.metres_per_unit, abs=1e-6)


def test_with_a_turned_datum_course_coordinates_are_within_2_mm_of_proj_s_other_direction():
    grid = build_grid(ProjectedGrid("EPSG:2056"))
    want = Transformer.from_crs("EPSG:4326", "EPSG:2056", always_xy=True).transform(8.9, 47.4)
    assert 0.0005 < np.hypot(*(grid.to_course((8.9, 47.4)) - want)) < 0.002


def test_a_local_grid_is_proj_s_transverse_mercator():
    grid = build_grid(LocalGrid(53.6, -5.0, 0.0, 1000.0, 2000.0))
    direct = Transformer.from_crs(
        "EPSG:4326", "+proj=tmerc +lat_0=53.6 +lon_0=-5 +datum=WGS84", always_xy=True
    )
    want = np.add(direct.transform(-4.985, 53.61), (1000.0, 2000.0))
    assert grid.to_course((-4.985, 53.61)) == pytest.approx(want, abs=TENTH_OF_A_MM)


def test_the_origin_of_a_local_grid_has_its_given_coordinates():
    grid = build_grid(LocalGrid(-37.6, 175.2, 310.0, 400.0, 900.0, 71.0))
    assert grid.to_course((175.2, -37.6)) == pytest.approx((400.0, 900.0), abs=1e-9)


@pytest.mark.parametrize("bearing_deg", [0.0, 27.5, -101.0, 180.0])
def test_the_y_axis_of_a_local_grid_runs_on_its_bearing(bearing_deg):
    grid = build_grid(LocalGrid(53.6, -5.0, 60.0, 0.0, 0.0, bearing_deg))
    line = geodesic(grid.to_gnss((0.0, 0.0)), grid.to_gnss((0.0, 200.0)))
    assert line.azimuth_deg == pytest.approx(bearing_deg % 360, abs=1e-5)
    assert grid.convergence_deg((0.0, 0.0)) % 360 == pytest.approx(bearing_deg % 360, abs=1e-6)


def test_the_x_axis_of_a_local_grid_runs_to_the_right_of_y():
    grid = build_grid(LocalGrid(53.6, -5.0, 60.0, 0.0, 0.0, 30.0))
    assert geodesic(grid.to_gnss((0, 0)), grid.to_gnss((200, 0))).azimuth_deg == pytest.approx(
        120.0, abs=1e-5
    )


@pytest.mark.parametrize("height_m", [0.0, 60.0, 1500.0])
def test_a_local_grid_is_true_to_scale_on_the_ground(height_m):
    grid = build_grid(LocalGrid(53.6, -5.0, height_m))
    line = geodesic(grid.to_gnss((-250, 0)), grid.to_gnss((250, 0)))
    assert ground_distance_m(line.distance_m, height_m, 53.6) == pytest.approx(500.0, abs=1e-6)
    assert grid.ground_scale_at((0.0, 0.0)) == pytest.approx(1.0, abs=1e-9)


def test_ground_scale_turns_course_metres_into_ground_metres(named_grid):
    _, grid, middle = named_grid
    lat = float(grid.to_gnss(middle)[1])
    for along in ((150.0, 0.0), (0.0, 150.0), (100.0, -100.0)):
        line = geodesic(grid.to_gnss(middle - along), grid.to_gnss(middle + along))
        ground_m = ground_distance_m(line.distance_m, grid.ground_height_m, lat)
        assert 2 * np.hypot(*along) * grid.ground_scale_at(middle) == pytest.approx(ground_m, abs=2e-5)


def test_convergence_turns_course_bearings_into_true_ones(named_grid):
    _, grid, middle = named_grid
    for bearing_deg in (0.0, 77.0, 200.0):
        along = 5.0 * np.array([np.sin(np.radians(bearing_deg)), np.cos(np.radians(bearing_deg))])
        true_deg = geodesic(grid.to_gnss(middle), grid.to_gnss(middle + along)).azimuth_deg
        apart = (true_deg - bearing_deg - grid.convergence_deg(middle) + 180) % 360 - 180
        assert abs(apart) < 5e-4


def test_many_outlines_come_back_in_their_own_lengths_and_places(named_grid):
    _, grid, middle = named_grid
    outlines = [middle + np.arange(2.0 * count).reshape(-1, 2) for count in (3, 1, 0, 5)]
    positions = grid.outlines_to_gnss(outlines)
    assert [len(outline) for outline in positions] == [3, 1, 0, 5]
    assert np.concatenate(positions) == pytest.approx(grid.to_gnss(np.concatenate(outlines)), abs=1e-12)


def test_no_outlines_give_no_positions(named_grid):
    assert named_grid[1].outlines_to_gnss([]) == []


def test_one_point_and_many_points_give_the_same(named_grid):
    _, grid, middle = named_grid
    many = middle + np.array([[0.0, 0.0], [10.0, 20.0], [-5.0, 3.0]])
    assert np.array([grid.to_gnss(xy) for xy in many]) == pytest.approx(grid.to_gnss(many), abs=1e-13)
    lonlat = grid.to_gnss(many)
    assert np.array([grid.to_course(place) for place in lonlat]) == pytest.approx(
        grid.to_course(lonlat), abs=1e-8
    )


def test_what_is_given_is_not_changed(named_grid):
    _, grid, middle = named_grid
    xy = middle + np.array([[0.0, 0.0], [10.0, 20.0]])
    lonlat = grid.to_gnss(xy)
    before = xy.copy(), lonlat.copy()
    grid.to_gnss(xy)
    grid.to_course(lonlat)
    assert np.array_equal(xy, before[0])
    assert np.array_equal(lonlat, before[1])


def test_one_grid_serves_many_threads_at_once(named_grid):
    _, grid, middle = named_grid
    wanted = grid.to_gnss(middle + np.arange(400.0).reshape(-1, 2))

    def there_and_back(_: int) -> float:
        xy = grid.to_course(wanted)
        again = grid.to_gnss(xy)
        grid.ground_scale_at(xy[0])
        return float(np.max(np.abs(again - wanted)))

    with ThreadPoolExecutor(8) as pool:
        assert max(pool.map(there_and_back, range(64))) < 1e-11


def test_axes_run_east_and_north_whatever_order_the_system_has():
    grid = build_grid(ProjectedGrid("EPSG:5513"))
    same = build_grid(ProjectedGrid("EPSG:5514"))
    assert grid.to_course((14.5, 50.0)) == pytest.approx(same.to_course((14.5, 50.0)), abs=1e-6)


def test_a_system_that_counts_west_and_south_says_so():
    notes = build_grid(ProjectedGrid("EPSG:2053")).notes
    assert any("west and south" in note for note in notes)


def test_an_epoch_moves_positions_where_proj_heeds_it():
    """0.396 m for Sydney in 2026.9, against 2020.0."""
    grids = [
        build_grid(ProjectedGrid("EPSG:7856", gnss_crs="EPSG:9000", epoch=epoch))
        for epoch in (2020.0, 2026.9)
    ]
    earlier, later = (grid.to_course((151.2077, -33.8623)) for grid in grids)
    assert np.hypot(*(later - earlier)) == pytest.approx(0.396, abs=0.001)
    assert grids[1].to_gnss(later) == pytest.approx((151.2077, -33.8623), abs=1e-11)


def test_a_note_says_how_far_uncorrected_positions_and_the_grid_may_differ():
    notes = build_grid(ProjectedGrid("EPSG:3006")).notes
    assert "may differ by about 1.0 m, the same for every point" in notes[0]


def test_a_proj_string_may_carry_a_grid_in_feet():
    grid = build_grid(ProjectedGrid("+proj=tmerc +lat_0=50 +lon_0=5 +x_0=1000 +datum=WGS84 +units=us-ft"))
    assert grid.metres_per_unit == pytest.approx(1200 / 3937, abs=1e-12)
    assert grid.to_course((5.0, 50.0)) == pytest.approx((1000.0, 0.0), abs=1e-6)


def test_a_grid_across_the_date_line_has_no_seam():
    grid = build_grid(LocalGrid(-17.0, 179.999, 10.0))
    lonlat = grid.to_gnss([(-500.0, 0.0), (500.0, 0.0)])
    assert lonlat[0, 0] > 179
    assert lonlat[1, 0] < -179
    assert grid.to_course(lonlat) == pytest.approx(np.array([(-500.0, 0.0), (500.0, 0.0)]), abs=1e-6)
    assert abs(grid.convergence_deg((106.0, 0.0))) < 0.01
