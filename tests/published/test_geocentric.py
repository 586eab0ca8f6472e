"""Geocentric and topocentric coordinates against published values; the source stands beside each number."""

import numpy as np
import pytest

from fieldapp.geodesy.ecef import WGS84, Ellipsoid, ecef_to_enu, ecef_to_geodetic, geodetic_to_ecef


def dms(degrees: float, minutes: float, seconds: float) -> float:
    """Degrees, minutes and seconds of one sign; the sign is that of the degrees."""
    return np.copysign(abs(degrees) + minutes / 60 + seconds / 3600, degrees)


AIRY = Ellipsoid(6377563.396, 6377563.396 / (6377563.396 - 6356256.909))
GRS80 = Ellipsoid(6378137.0, 298.257222101)
GUIDANCE = "IOGP 373-7-2, geographic/geocentric example"
POINT = (dms(53, 48, 33.820), dms(2, 7, 46.380), 73.0)


@pytest.mark.parametrize(
    ("ellipsoid", "position", "xyz", "source"),
    [
        (WGS84, POINT, (3771793.968, 140253.342, 5124304.349), GUIDANCE),
        (
            AIRY,
            (dms(52, 39, 27.2531), dms(1, 43, 4.5177), 24.700),
            (3874938.850, 116218.624, 5047168.207),
            "Ordnance Survey, A guide to coordinate systems in Great Britain, Annex B",
        ),
        (
            GRS80,
            (dms(-37, 57, 3.72030), dms(144, 25, 29.52442), 350.948),
            (-4096088.424, 2929823.08435, -3901375.4540),
            "GDA technical manual spreadsheet, Flinders Peak",
        ),
        (
            GRS80,
            (dms(-37, 39, 10.15611), dms(143, 55, 35.38393), 749.855),
            (-4087103.458, 2977473.0435, -3875464.7525),
            "GDA technical manual spreadsheet, Buninyong",
        ),
    ],
)
def test_a_position_has_its_published_geocentric_coordinates(ellipsoid, position, xyz, source):
    assert geodetic_to_ecef(*position, ellipsoid) == pytest.approx(xyz, abs=0.0005), source


def test_geocentric_coordinates_lead_back_to_the_published_position():
    """Source GUIDANCE; the inputs are rounded to 1 mm."""
    lat_deg, lon_deg, height_m = ecef_to_geodetic((3771793.968, 140253.342, 5124304.349))
    assert (lat_deg, lon_deg) == pytest.approx(POINT[:2], abs=0.0005 / 3600)
    assert height_m == pytest.approx(73.0, abs=0.0005)


def test_older_copies_of_the_ordnance_survey_guide_are_off_by_more_than_half_a_millimetre():
    """Copies print 3874938.849 and 5047168.208 for the Annex B point; the exact result rounds to neither."""
    x, _, z = geodetic_to_ecef(dms(52, 39, 27.2531), dms(1, 43, 4.5177), 24.700, AIRY)
    assert abs(x - 3874938.849) > 0.0005
    assert abs(z - 5047168.208) > 0.0005


def test_topocentric_coordinates_are_those_of_the_guidance_note():
    """IOGP 373-7-2, October 2020, methods 9836 and 9837; PROJ test/gie/builtins.gie."""
    enu = ecef_to_enu(geodetic_to_ecef(*POINT), 55.0, 5.0, 200.0)
    assert enu == pytest.approx((-189013.869, -128642.040, -4220.171), abs=0.0005)


def test_the_origin_of_the_guidance_note_s_example_is_200_m_up():
    """The EPSG registry's conversion 15594 has origin height 0: then up comes out 200 m larger."""
    enu = ecef_to_enu(geodetic_to_ecef(*POINT), 55.0, 5.0, 0.0)
    assert enu[2] == pytest.approx(-4220.171 + 200.0, abs=0.0005)


def test_a_western_longitude_has_a_negative_y():
    """NGS data sheet KG0640 Meades Ranch, NAD83; a widely copied test has Y positive, by losing the 'W'."""
    xyz = geodetic_to_ecef(dms(39, 13, 26.71220), dms(-98, 32, 31.74540), 573.961, GRS80)
    assert xyz == pytest.approx((-734972.563, -4893188.492, 4011982.811), abs=0.0005)
