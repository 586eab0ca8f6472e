"""The phone's frame against the course grid."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.errors import GridError, PositionError
from fieldapp.geodesy.distance import geodesic
from fieldapp.geodesy.ecef import ecef_to_geodetic, geodetic_to_ecef
from fieldapp.geodesy.frame import fit_frame

ONE_MM = 0.001
FRAMES: dict[tuple[str, float], object] = {}


def frame_of(name, grid, middle, height_error_m=0.0):
    """The frame of a grid whose ground is taken `height_error_m` too high."""
    key = (name, height_error_m)
    if key not in FRAMES:
        FRAMES[key] = fit_frame(replace(grid, ground_height_m=grid.ground_height_m + height_error_m), middle)
    return FRAMES[key]


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    bearing_deg=st.floats(0, 360),
    away_m=st.floats(0, 1500),
    height_m=st.floats(-60, 60),
    height_error_m=st.sampled_from([-60.0, 0.0, 60.0]),
)
def test_the_frame_is_the_grid_to_1_mm_within_1500_m_and_60_m_of_height(
    named_grid, bearing_deg, away_m, height_m, height_error_m
):
    name, grid, middle = named_grid
    angle = np.radians(bearing_deg)
    lon, lat = grid.to_gnss(middle + away_m * np.array([np.sin(angle), np.cos(angle)]))
    in_the_air = geodetic_to_ecef(lat, lon, grid.ground_height_m + height_m)
    lat, lon, _ = ecef_to_geodetic(in_the_air)
    frame = frame_of(name, grid, middle, height_error_m)
    missed_m = float(np.hypot(*(frame.to_course((lon, lat)) - grid.to_course((lon, lat)))))
    assert missed_m <= ONE_MM


def test_over_ten_thousand_places_the_worst_difference_is_printed(named_grid, capsys):
    name, grid, middle = named_grid
    xy = middle + np.random.default_rng(4).uniform(-1500, 1500, (10_000, 2))
    missed = frame_of(name, grid, middle).to_course(grid.to_gnss(xy)) - grid.to_course(grid.to_gnss(xy))
    worst_m = float(np.max(np.hypot(*missed.T)))
    with capsys.disabled():
        print(f"\n  phone's frame against course grid, {name}: worst {worst_m * 1000:.6f} mm")
    assert worst_m <= ONE_MM


def test_the_frame_leads_back_to_the_grid_s_positions(named_grid):
    name, grid, middle = named_grid
    xy = middle + np.random.default_rng(5).uniform(-1500, 1500, (200, 2))
    apart = geodesic(frame_of(name, grid, middle).to_gnss(xy), grid.to_gnss(xy)).distance_m
    assert np.max(apart) <= ONE_MM


def test_true_bearings_of_the_frame_are_those_of_geodesics(named_grid):
    name, grid, middle = named_grid
    rng = np.random.default_rng(6)
    start = middle + rng.uniform(-1000, 1000, (100, 2))
    end = start + rng.uniform(-300, 300, (100, 2))
    want = geodesic(grid.to_gnss(start), grid.to_gnss(end)).azimuth_deg
    apart = (frame_of(name, grid, middle).true_bearing_deg(start, end) - want + 180) % 360 - 180
    assert np.max(np.abs(apart)) < 0.001


@pytest.mark.parametrize(("degree", "most_m"), [(2, 5e-5), (3, 1e-6)])
def test_the_residual_shrinks_with_the_degree_as_stated(named_grid, degree, most_m):
    _, grid, middle = named_grid
    frame = fit_frame(grid, middle, degree=degree)
    assert frame.residual_m < most_m
    assert len(frame.x_coefficients) == len(frame.y_coefficients) == {2: 6, 3: 10}[degree]


def test_a_frame_that_misses_by_more_than_1_mm_is_refused(named_grid):
    _, grid, middle = named_grid
    with pytest.raises(GridError, match="misses the course grid by"):
        fit_frame(grid, middle, half_width_m=9000.0, degree=2)


@pytest.mark.parametrize("degree", [0, 4])
def test_a_degree_other_than_1_2_or_3_is_refused(named_grid, degree):
    with pytest.raises(GridError, match=f"has degree {degree}"):
        fit_frame(named_grid[1], named_grid[2], degree=degree)


@pytest.mark.parametrize("half_width_m", [0.0, -5.0, float("nan")])
def test_a_frame_without_width_is_refused(named_grid, half_width_m):
    with pytest.raises(GridError, match="half width"):
        fit_frame(named_grid[1], named_grid[2], half_width_m)


def test_a_swapped_position_is_refused_by_the_frame(named_grid):
    name, grid, middle = named_grid
    with pytest.raises(PositionError, match="swapped"):
        frame_of(name, grid, middle).to_course((50.0, -120.0))
