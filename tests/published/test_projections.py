"""Projections, convergence, scale and units against published values; the sources stand beside them."""

import numpy as np
import pytest

from fieldapp.geodesy.distance import geodesic
from fieldapp.geodesy.ecef import Ellipsoid, meridian_radius_m, normal_radius_m
from fieldapp.geodesy.grid import build_grid
from fieldapp.geodesy.transform import transform
from fieldapp.model import ProjectedGrid


def dms(degrees: float, minutes: float, seconds: float) -> float:
    """Degrees, minutes and seconds of one sign; the sign is that of the degrees."""
    return np.copysign(abs(degrees) + minutes / 60 + seconds / 3600, degrees)


ARC_SECOND = 1 / 3600
US_FOOT_M = 1200 / 3937
GDA_MANUAL = "GDA Technical Manual v2.3 p. 46; GDA2020 Technical Manual Table C-1 p. 81"
SNYDER_269 = "Snyder, USGS Professional Paper 1395 (1987), p. 269"
SNYDER_296 = "Snyder, USGS Professional Paper 1395 (1987), p. 296"
NOTE = "IOGP 373-7-2"
CLARKE = "+a=6378206.4 +es=0.00676866"
CLARKE_1866 = Ellipsoid(6378206.4, 1 / (1 - np.sqrt(1 - 0.00676866)))
CAISTER = (dms(1, 43, 4.5177), dms(52, 39, 27.2531))
CAISTER_XY = (651409.903, 313177.270)
OS_GRID = (
    "+proj=longlat +ellps=airy +type=crs",
    "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy +type=crs",
)
SNYDER_TM = (
    f"+proj=longlat {CLARKE} +type=crs",
    f"+proj=tmerc +lon_0=-75 +k=0.9996 {CLARKE} +type=crs",
)
SNYDER_LCC = (
    f"+proj=longlat {CLARKE} +type=crs",
    f"+proj=lcc +lat_1=33 +lat_2=45 +lat_0=23 +lon_0=-96 {CLARKE} +type=crs",
)
WEST_ORANGE_LCC = (
    "+proj=longlat +ellps=clrk66 +type=crs",
    "+proj=lcc +lat_1=44.1833333333333333 +lat_2=45.7 +lat_0=43.3166666666666667 +lon_0=-84.3333333333333333 "
    "+k_0=1.0000382 +x_0=609601.2192024384 +units=us-ft +ellps=clrk66 +type=crs",
)
FLINDERS = (dms(144, 25, 29.52442), dms(-37, 57, 3.72030))
BUNINYONG = (dms(143, 55, 35.38393), dms(-37, 39, 10.15611))


@pytest.mark.parametrize(
    ("systems", "lonlat", "xy", "tolerance", "source"),
    [
        (OS_GRID, CAISTER, CAISTER_XY, 0.0005, "Ordnance Survey guide v2.3, Annex C"),
        (
            ("EPSG:4277", "EPSG:27700"),
            (0.5, 50.5),
            (577274.98, 69740.49),
            0.005,
            f"{NOTE}, geoapi case 27700",
        ),
        (("EPSG:4277", "EPSG:27700"), (0.5, 50.5), (577274.99, 69740.50), 0.011, f"{NOTE}, 2019, p. 54"),
        (SNYDER_TM, (-73.5, 40.5), (127106.5, 4484124.4), 0.05, SNYDER_269),
        (SNYDER_LCC, (-75.0, 35.0), (1894410.9, 1564649.5), 0.05, SNYDER_296),
        (
            ("EPSG:4267", "EPSG:32040"),
            (-96.0, 28.5),
            (2963503.91, 254759.80),
            0.005,
            f"{NOTE}, US survey feet",
        ),
        (
            WEST_ORANGE_LCC,
            (dms(-83, 10, 0), dms(43, 45, 0)),
            (2308335.75, 160210.48),
            0.005,
            f"{NOTE}, August 2018, p. 25; PROJ test/gie/more_builtins.gie",
        ),
        (
            ("EPSG:4242", "EPSG:24200"),
            (dms(-76, 56, 37.26), dms(17, 55, 55.80)),
            (255966.58, 142493.51),
            0.005,
            f"{NOTE}, geoapi case 24200",
        ),
        (("EPSG:4283", "EPSG:28355"), FLINDERS, (273741.297, 5796489.777), 0.0005, GDA_MANUAL),
        (("EPSG:7844", "EPSG:7855"), FLINDERS, (273741.297, 5796489.777), 0.0005, GDA_MANUAL),
        (("EPSG:4283", "EPSG:28355"), BUNINYONG, (228854.052, 5828259.038), 0.0005, GDA_MANUAL),
        (("EPSG:7844", "EPSG:7855"), BUNINYONG, (228854.052, 5828259.038), 0.0005, GDA_MANUAL),
    ],
)
def test_a_position_has_its_published_projected_coordinates(systems, lonlat, xy, tolerance, source):
    assert transform(*systems, lonlat) == pytest.approx(xy, abs=tolerance), source


def test_projected_coordinates_lead_back_to_the_published_position():
    """Ordnance Survey guide v2.3, Annex C, Caister water tower."""
    assert transform(*reversed(OS_GRID), CAISTER_XY) == pytest.approx(CAISTER, abs=5e-5 * ARC_SECOND)


@pytest.mark.parametrize(
    ("systems", "lonlat", "scale", "source"),
    [
        (SNYDER_TM, (-73.5, 40.5), 0.9997989, SNYDER_269),
        (SNYDER_LCC, (-75.0, 35.0), 0.9970171, SNYDER_296),
    ],
)
def test_a_projection_has_its_published_point_scale(systems, lonlat, scale, source):
    half_step_deg = 0.001
    south, north = transform(*systems, np.add(lonlat, [(0, -half_step_deg), (0, half_step_deg)]))
    ellipsoid_m = np.radians(2 * half_step_deg) * meridian_radius_m(lonlat[1], CLARKE_1866)
    assert np.hypot(*(north - south)) / ellipsoid_m == pytest.approx(scale, abs=5e-8), source


@pytest.mark.parametrize("code", ["EPSG:28355", "EPSG:7855"])
@pytest.mark.parametrize(
    ("lonlat", "published_convergence_deg"),
    [(FLINDERS, dms(-1, 35, 3.65)), (BUNINYONG, dms(-1, 52, 43.22))],
)
def test_convergence_is_the_manual_s_with_the_opposite_sign(code, lonlat, published_convergence_deg):
    """GDA_MANUAL adds its convergence to a true bearing; here it is added to a course bearing."""
    grid = build_grid(ProjectedGrid(code))
    convergence = grid.convergence_deg(grid.to_course(lonlat))
    assert convergence == pytest.approx(-published_convergence_deg, abs=0.005 * ARC_SECOND), GDA_MANUAL


@pytest.mark.parametrize(("lonlat", "scale"), [(FLINDERS, 1.00023056), (BUNINYONG, 1.00050567)])
def test_ground_scale_at_height_nought_is_one_over_the_published_point_scale(lonlat, scale):
    grid = build_grid(ProjectedGrid("EPSG:7855"))
    assert 1 / grid.ground_scale_at(grid.to_course(lonlat)) == pytest.approx(scale, abs=0.5e-8), GDA_MANUAL


def test_the_plane_line_from_flinders_peak_to_buninyong():
    """GDA_MANUAL: plane distance, plane bearing, line scale."""
    grid = build_grid(ProjectedGrid("EPSG:7855"))
    east, north = grid.to_course(BUNINYONG) - grid.to_course(FLINDERS)
    distance = np.hypot(east, north)
    assert distance == pytest.approx(54992.279, abs=0.0005)
    assert np.degrees(np.arctan2(east, north)) % 360 == pytest.approx(
        dms(305, 17, 21.18), abs=0.005 * ARC_SECOND
    )
    assert distance / geodesic(FLINDERS, BUNINYONG, "GRS80").distance_m == pytest.approx(
        1.00036397, abs=0.5e-8
    )


def test_a_true_bearing_less_the_convergence_is_the_published_grid_bearing():
    """GDA_MANUAL: grid bearing 305 17 01.72; the plane bearing is 19.47 seconds more (arc to chord, of
    rounded figures).
    """
    grid = build_grid(ProjectedGrid("EPSG:7855"))
    azimuth = geodesic(FLINDERS, BUNINYONG, "GRS80").azimuth_deg
    bearing = azimuth - grid.convergence_deg(grid.to_course(FLINDERS))
    assert bearing == pytest.approx(dms(305, 17, 1.72), abs=0.01 * ARC_SECOND)
    assert dms(305, 17, 21.18) - bearing == pytest.approx(19.47 * ARC_SECOND, abs=0.02 * ARC_SECOND)


@pytest.mark.parametrize(
    ("code", "metres"),
    [
        ("EPSG:6539", US_FOOT_M),
        ("EPSG:6551", US_FOOT_M),
        ("EPSG:6496", 0.3048),
        ("EPSG:6404", 1.0),
    ],
)
def test_the_foot_of_a_state_plane_system_is_read_and_not_assumed(code, metres):
    """Federal Register 85:62698 (5 October 2020): 1 US survey foot = 1200/3937 m; EPSG v11.022."""
    grid = build_grid(ProjectedGrid(code))
    assert grid.metres_per_unit == pytest.approx(metres, abs=1e-12)


def test_the_two_feet_differ_by_two_parts_in_a_million():
    """Federal Register 85:62698: 4.000 ft on a false easting of 2 000 000 ft."""
    assert pytest.approx(1 + 2.000004e-6, abs=1e-12) == US_FOOT_M / 0.3048
    assert pytest.approx(4.000, abs=5e-4) == 2_000_000 * (US_FOOT_M / 0.3048 - 1)


def test_reading_us_survey_feet_as_international_feet_would_move_new_york_by_0_634_m():
    """EPSG:6539 at 40.9 N, 73.8 W: easting 1039539.7492 ftUS (computed with PROJ 9.5.1)."""
    grid = build_grid(ProjectedGrid("EPSG:6539"))
    easting_m = grid.to_course((-73.8, 40.9))[0]
    easting_ft = easting_m / grid.metres_per_unit
    assert easting_ft == pytest.approx(1039539.7492, abs=5e-5)
    assert easting_m - easting_ft * 0.3048 == pytest.approx(0.634, abs=5e-4)


def test_normal_radius_at_the_equator_is_the_semi_major_axis():
    assert normal_radius_m(0.0) == 6378137.0
