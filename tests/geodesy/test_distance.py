"""Distances on the ground, earth-centred coordinates, and positions that cannot be right."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.errors import PositionError
from fieldapp.geodesy.distance import check_position, geodesic, geodesic_end, ground_distance_m
from fieldapp.geodesy.ecef import ecef_to_enu, ecef_to_geodetic, geodetic_to_ecef

LATITUDES, LONGITUDES = st.floats(-89.9, 89.9), st.floats(-180, 180)


@given(lat=LATITUDES, lon=LONGITUDES, height=st.floats(-400, 9000))
def test_earth_centred_coordinates_lead_back_to_the_position(lat, lon, height):
    lat_back, lon_back, height_back = ecef_to_geodetic(geodetic_to_ecef(lat, lon, height))
    assert lat_back == pytest.approx(lat, abs=1e-12)
    assert abs((lon_back - lon + 180) % 360 - 180) < 1e-12
    assert height_back == pytest.approx(height, abs=2e-8)


@pytest.mark.parametrize(("distance_m", "tolerance_m"), [(500, 1e-6), (1000, 5e-6), (2000, 4e-5)])
def test_a_tangent_plane_keeps_distances_but_no_levels(distance_m, tolerance_m):
    lon, lat = geodesic_end((5.0, 52.0), 60.0, distance_m)
    east, north, up = ecef_to_enu(geodetic_to_ecef(lat, lon, 0.0), 52.0, 5.0, 0.0)
    assert np.hypot(east, north) == pytest.approx(distance_m, abs=tolerance_m)
    assert up == pytest.approx(-(distance_m**2) / (2 * 6_383_000), rel=2e-3)


@given(lat=st.floats(-80, 80), lon=LONGITUDES, bearing=st.floats(0, 359), distance=st.floats(1, 5000))
def test_the_end_of_a_line_lies_at_its_distance_and_bearing(lat, lon, bearing, distance):
    line = geodesic((lon, lat), geodesic_end((lon, lat), bearing, distance))
    assert line.distance_m == pytest.approx(distance, abs=1e-6)
    assert abs((line.azimuth_deg - bearing + 180) % 360 - 180) < 1e-5


def test_distances_of_many_positions_come_at_once():
    line = geodesic((5.0, 52.0), [(5.0, 52.001), (5.0, 52.002)])
    assert line.distance_m.shape == (2,)


def test_ground_distance_grows_with_height():
    assert ground_distance_m(1000.0, 0.0) == 1000.0
    assert ground_distance_m(1000.0, 637.8) == pytest.approx(1000.1, abs=1e-3)


@pytest.mark.parametrize(
    ("lat", "lon", "sentence"),
    [
        (-120.5, 45.0, "looks swapped: latitude comes first"),
        (200.0, 45.0, "has latitude 200.0"),
        (45.0, 181.0, "has longitude 181.0"),
        (float("nan"), 5.0, "is not two numbers"),
        (5.0, float("inf"), "is not two numbers"),
    ],
)
def test_a_position_that_cannot_be_right_is_refused(lat, lon, sentence):
    with pytest.raises(PositionError, match=sentence):
        check_position(lat, lon)


@pytest.mark.parametrize(("lat", "lon"), [(90, 180), (-90, -180), (0, 0), (53.6, -5.0)])
def test_a_position_that_can_be_right_passes(lat, lon):
    assert check_position(lat, lon) is None
