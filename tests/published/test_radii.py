"""Radii, ranges and guard bands against published constants; the source stands beside each number."""

import math
from statistics import NormalDist

import pytest

from fieldapp.play.yardage import straight_range95_m
from fieldapp.reading.verdict import R68_IN_SIGMA, R95_IN_SIGMA, radius95_m, radius_in_sigma, verdict

NRC = "National Research Council, The Global Positioning System: A Shared National Asset, 1995, appendix"
DIGGELEN = "van Diggelen, GPS World, January 1998, Table 2"
RAYLEIGH = "sqrt(-2 ln(1 - p))"


@pytest.mark.parametrize(
    ("probability", "radius_sigma", "tolerance", "source"),
    [
        (0.50, 1.1774, 5e-5, f"CEP: {NRC}"),
        (0.68, 1.5096, 5e-5, RAYLEIGH),
        (0.95, 2.4477, 5e-5, f"R95: {DIGGELEN}"),
        (0.6321, 1.4142, 5e-4, f"DRMS, 63 %: {NRC}"),
        (0.9817, 2.8284, 5e-4, f"2DRMS, 98 %: {NRC}"),
    ],
)
def test_the_radius_that_holds_a_share_of_a_circular_normal_error(
    probability, radius_sigma, tolerance, source
):
    assert radius_in_sigma(probability) == pytest.approx(radius_sigma, abs=tolerance), source


@pytest.mark.parametrize(
    ("large", "small", "factor"),
    [
        (R95_IN_SIGMA, radius_in_sigma(0.5), 2.1),
        (math.sqrt(2), radius_in_sigma(0.5), 1.2),
        (R95_IN_SIGMA, math.sqrt(2), 1.7),
        (2 * math.sqrt(2), R95_IN_SIGMA, 1.2),
        (2 * math.sqrt(2), radius_in_sigma(0.5), 2.4),
    ],
)
def test_factors_between_radii(large, small, factor):
    """DIGGELEN; the last also NRC, 2DRMS = 2.4 CEP."""
    assert large / small == pytest.approx(factor, abs=0.05)


def test_a_phone_s_figure_is_a_68_per_cent_radius_and_grows_by_1_6215():
    """Android Location.getAccuracy: 68th percentile radius (learn.microsoft.com,
    Android.Locations.Location.Accuracy).
    """
    assert radius95_m(1.0) == pytest.approx(1.6215, abs=5e-5)
    factor = R95_IN_SIGMA / R68_IN_SIGMA
    assert factor == pytest.approx(1.6215, abs=5e-5)


def test_the_factor_is_not_the_larger_one_of_a_root_mean_square_figure():
    """Apple developer forum 699996: sqrt(sE^2 + sN^2), 63 to 68 %; to 95 % that would be 1.7308."""
    of_rms = R95_IN_SIGMA / math.sqrt(2)
    assert of_rms == pytest.approx(1.7308, abs=5e-5)
    assert radius95_m(1.0) < 1.7308


def test_the_range_of_a_distance_is_the_two_sided_95_per_cent_of_one_normal_variable():
    """1.96: JCGM 100:2008, Table G.1 (from memory)."""
    assert straight_range95_m(R95_IN_SIGMA) == pytest.approx(1.96, abs=5e-3)
    assert straight_range95_m(R95_IN_SIGMA) == pytest.approx(NormalDist().inv_cdf(0.975), abs=1e-12)


@pytest.mark.parametrize(
    ("z", "probability"), [(0.84, 0.80), (1.28, 0.90), (1.64, 0.95), (2.33, 0.99), (3.09, 0.999)]
)
def test_a_guard_band_of_z_standard_uncertainties_gives_the_published_probability_of_conforming(
    z, probability
):
    """JCGM 106:2012, 7.3 Table 1 (values from memory): one-sided, at the edge of acceptance."""
    tolerance_m, u_m = 0.10, 0.02
    edge_m = tolerance_m - z * u_m
    assert verdict(edge_m - 1e-9, z * u_m, tolerance_m) == "inside"
    assert verdict(edge_m + 1e-9, z * u_m, tolerance_m) == "cannot tell"
    assert NormalDist(edge_m, u_m).cdf(tolerance_m) == pytest.approx(probability, abs=0.0015)


def test_a_guard_band_of_twice_the_uncertainty_leaves_a_risk_of_2_275_per_cent_at_its_edge():
    """JCGM 106:2012, guarded acceptance with g = U = 2u; 2.275 % is the one-sided normal tail beyond 2."""
    tolerance_m, expanded_m = 0.10, 0.04
    assert verdict(0.06 - 1e-12, expanded_m, tolerance_m) == "inside"
    assert verdict(0.0601, expanded_m, tolerance_m) == "cannot tell"
    assert 1 - NormalDist(0.06, expanded_m / 2).cdf(tolerance_m) == pytest.approx(0.02275, abs=5e-6)
