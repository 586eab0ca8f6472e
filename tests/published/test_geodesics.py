"""Geodesics against published values; the source stands beside each number."""

import numpy as np
import pytest
from geographiclib.test.test_geodesic import GeodesicTest

from fieldapp.geodesy.distance import geodesic, geodesic_end


def dms(degrees: float, minutes: float, seconds: float) -> float:
    """Degrees, minutes and seconds of one sign; the sign is that of the degrees."""
    return np.copysign(abs(degrees) + minutes / 60 + seconds / 3600, degrees)


ARC_SECOND = 1 / 3600
FLINDERS = (dms(144, 25, 29.5244), dms(-37, 57, 3.7203))
BUNINYONG = (dms(143, 55, 35.3839), dms(-37, 39, 10.1561))
GDA_MANUAL = "GDA Technical Manual v2.3 p. 46; GDA2020 Technical Manual Table 5.1 p. 56"


def test_flinders_peak_to_buninyong_has_the_published_length_and_bearings():
    line = geodesic(FLINDERS, BUNINYONG, "GRS80")
    assert line.distance_m == pytest.approx(54972.271, abs=0.0005), GDA_MANUAL
    assert line.azimuth_deg == pytest.approx(dms(306, 52, 5.37), abs=0.005 * ARC_SECOND), GDA_MANUAL


def test_the_reverse_bearing_points_from_the_end_back_to_the_start():
    line = geodesic(FLINDERS, BUNINYONG, "GRS80")
    assert line.reverse_azimuth_deg == pytest.approx(dms(127, 10, 25.07), abs=0.005 * ARC_SECOND), GDA_MANUAL


def test_buninyong_is_reached_from_flinders_peak():
    """The inputs are rounded, so 0.00015 arc-seconds; source GDA_MANUAL."""
    end = geodesic_end(FLINDERS, dms(306, 52, 5.37), 54972.271, "GRS80")
    assert end == pytest.approx(BUNINYONG, abs=1.5e-4 * ARC_SECOND)


@pytest.mark.parametrize(
    ("start", "end", "distance_m", "tolerance_m", "source"),
    [
        ((0.0, 36.493349428792), (0.0000008, 36.49334942879201), 0.072, 5e-4, "GeographicLib GeodSolve4"),
        ((-122.47018, 37.757540000000006), (-122.470177, 37.75754), 0.264, 5e-4, "GeographicLib GeodSolve92"),
        ((15.3872, 54.1589), (15.3877, 54.1591), 39.527686385, 5e-9, "GeographicLib GeodSolve74"),
        ((-73.8, 40.6), (2.55, 49.01666667), 5853226.0, 0.5, "GeographicLib GeodSolve0"),
    ],
)
def test_short_and_long_lines_have_their_published_length(start, end, distance_m, tolerance_m, source):
    assert geodesic(start, end).distance_m == pytest.approx(distance_m, abs=tolerance_m), source


@pytest.mark.parametrize(
    ("start", "end", "azimuth_deg", "tolerance_deg", "source"),
    [
        ((15.3872, 54.1589), (15.3877, 54.1591), 55.723110355, 5e-9, "GeographicLib GeodSolve74"),
        ((-73.8, 40.6), (2.55, 49.01666667), 53.47022, 5e-6, "GeographicLib GeodSolve0"),
    ],
)
def test_lines_have_their_published_bearing(start, end, azimuth_deg, tolerance_deg, source):
    assert geodesic(start, end).azimuth_deg == pytest.approx(azimuth_deg, abs=tolerance_deg), source


def test_a_parallel_of_three_minutes_has_the_length_and_bearings_of_geodepy():
    """GeodePy (Geoscience Australia), geodepy/tests/test_geodesy.py."""
    line = geodesic((140.716666667, -29.85), (140.766666667, -29.85), "GRS80")
    assert line.distance_m == pytest.approx(4831.553, abs=0.0005)
    assert line.azimuth_deg == pytest.approx(dms(90, 0, 44.80), abs=0.005 * ARC_SECOND)
    assert line.reverse_azimuth_deg == pytest.approx(dms(269, 59, 15.20), abs=0.005 * ARC_SECOND)


@pytest.mark.parametrize("row", GeodesicTest.testcases)
def test_the_table_shipped_with_geographiclib(row):
    """GeographicLib, GeodesicTest.testcases: lat1, lon1, azi1, lat2, lon2, azi2, s12 and more."""
    lat1, lon1, azimuth_deg, lat2, lon2, end_azimuth_deg, distance_m = row[:7]
    line = geodesic(((lon1 + 180) % 360 - 180, lat1), ((lon2 + 180) % 360 - 180, lat2))
    assert line.distance_m == pytest.approx(distance_m, abs=1e-8)
    assert line.azimuth_deg == pytest.approx(azimuth_deg % 360, abs=1e-12)
    assert line.reverse_azimuth_deg == pytest.approx((end_azimuth_deg + 180) % 360, abs=1e-12)
