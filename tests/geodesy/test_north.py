"""Magnetic declination where it is of no use."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from fieldapp.errors import PositionError
from fieldapp.geodesy.north import declination


def test_near_a_magnetic_pole_a_compass_is_refused():
    with pytest.raises(PositionError, match="too upright"):
        declination(86.0, 142.0, 0.0, 2026.9)


@pytest.mark.parametrize(
    ("lat", "lon", "height"), [(91.0, 5.0, 0.0), (float("nan"), 5.0, 0.0), (5.0, 5.0, float("nan"))]
)
def test_a_place_that_cannot_be_right_is_refused(lat, lon, height):
    with pytest.raises(PositionError):
        declination(lat, lon, height, 2026.9)


def test_declinations_asked_for_by_many_threads_do_not_mix():
    places = [(lat, lon) for lat in (-45.0, 10.0, 53.6) for lon in (-120.0, 5.0, 140.0)]
    wanted = [declination(lat, lon, 0.0, 2026.9).deg for lat, lon in places]
    with ThreadPoolExecutor(8) as pool:
        found = pool.map(lambda place: declination(*place, 0.0, 2026.9).deg, places * 10)
        assert list(found) == wanted * 10
