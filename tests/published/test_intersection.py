"""Two distances, joins and error radii against published values; the source stands beside each."""

import math

import numpy as np
import pytest

from fieldapp.tape.baseline import chainage_and_offset, equal_diagonals, point_at, right_angle_sides
from fieldapp.tape.intersection import error_ellipse, intersect

GHILANI = "Ghilani, two-circle intersection example (autogeoKT TestDistanceDistanceIntersection; chapter from memory)"
GEODEPY = "GeodePy survey tests, Geoscience Australia (geodepy/tests/test_survey.py)"
RAYLEIGH = "sqrt(-2 ln(1 - p)); NRC, The Global Positioning System: A Shared National Asset, 1995, appendix"
EUCLID = "Pythagoras; Euclid, Elements I 47"


def test_both_places_where_two_distances_meet():
    """GHILANI, to 5 mm; the line from the first to the second runs up, so that the greater east lies right."""
    met = intersect((2851.28, 299.40), (3898.72, 2870.15), 2000.00, 1500.00)
    assert met.kind == "two"
    assert met.right == pytest.approx([4464.85, 1481.09], abs=0.005), GHILANI
    assert met.left == pytest.approx([2523.02, 2272.28], abs=0.005), GHILANI


@pytest.mark.parametrize(
    ("start", "end", "distance_m", "bearing_deg"),
    [
        ((500.0, 500.0), (460.529, 493.218), 40.049, 260.2505),
        ((500.0, 500.0), (458.129, 515.419), 44.620, 290.2162),
        ((562.677, 548.598), (580.905, 569.481), 27.719, 41.1165),
        ((582.510, 488.332), (585.996, 463.264), 25.309, 172.0831),
    ],
)
def test_the_string_from_peg_to_peg_is_as_long_and_lies_as_a_join(start, end, distance_m, bearing_deg):
    """GEODEPY, to half a millimetre and 0.00005 degrees."""
    length, beside = chainage_and_offset(end, start, end)
    assert length == pytest.approx(distance_m, abs=0.0005), GEODEPY
    assert beside == pytest.approx(0.0, abs=1e-9)
    north = np.add(start, (0.0, 1.0))
    along, right = chainage_and_offset(end, start, north)
    assert math.degrees(math.atan2(right, along)) % 360 == pytest.approx(bearing_deg, abs=5e-5), GEODEPY


def test_a_place_from_a_chainage_is_a_radiation():
    """GEODEPY: from 500, 500 on a bearing of 290 degrees 13 minutes, 44.620 m."""
    bearing = math.radians(290 + 13 / 60)
    ahead = (500.0 + math.sin(bearing), 500.0 + math.cos(bearing))
    assert point_at(44.620, 0.0, (500.0, 500.0), ahead) == pytest.approx([458.129, 515.419], abs=0.0005), (
        GEODEPY
    )


@pytest.mark.parametrize(("probability", "radius"), [(0.5, 1.1774), (0.95, 2.4477), (0.6321, 1.4142)])
def test_a_round_error_ellipse_has_the_radius_of_its_share(probability, radius):
    ellipse = error_ellipse(np.eye(2), probability)
    assert (ellipse.major_m, ellipse.minor_m) == pytest.approx((radius, radius), abs=5e-5), RAYLEIGH


def test_an_ellipse_whose_axis_is_double():
    """The ellipse of eigenvalues 4 and 1, the long one on a bearing of 30 degrees: axes 2 and 1 times 2.4477."""
    forward = np.array([math.sin(math.radians(30)), math.cos(math.radians(30))])
    ellipse = error_ellipse(np.eye(2) + 3 * np.outer(forward, forward))
    assert (ellipse.major_m, ellipse.minor_m) == pytest.approx((4.8955, 2.4477), abs=5e-5), RAYLEIGH
    assert ellipse.bearing_deg == pytest.approx(30.0)


def test_three_four_five_and_equal_diagonals():
    a, b, c = right_angle_sides(1.5)
    assert (a, b, c) == (4.5, 6.0, 7.5), EUCLID
    assert equal_diagonals(a, b) == pytest.approx(c), EUCLID
