"""Yardage by hand."""

import numpy as np
import pytest

from fieldapp.play.line_of_play import LineOfPlay
from fieldapp.play.yardage import straight_range95_m, yardage
from fieldapp.reading.verdict import R95_IN_SIGMA

DOGLEG = LineOfPlay(np.array([(600_000.0, 6_500_000.0), (600_000.0, 6_500_200.0), (600_150.0, 6_500_200.0)]))


def test_straight_goes_across_the_corner_and_along_goes_round_it():
    found = yardage(DOGLEG, (600_060, 6_500_080), 1.0)
    assert (found.straight_m, found.along_m, found.offset_m) == pytest.approx((100, 80, 60), abs=1e-9)
    found = yardage(DOGLEG, (600_150, 6_500_200), 1.0)
    assert (found.straight_m, found.along_m, found.offset_m) == pytest.approx((250, 350, 0), abs=1e-9)


def test_yardages_are_ground_metres():
    found = yardage(DOGLEG, (600_025, 6_500_100), 1.0004)
    assert (found.along_m, found.offset_m) == pytest.approx((100.04, 25.01), abs=1e-9)
    assert found.straight_m == pytest.approx(np.hypot(100, 25) * 1.0004, abs=1e-9)


def test_the_range_of_a_straight_distance_holds_95_in_100_of_many_positions():
    rng = np.random.default_rng(11)
    sigma_m, at = 1.3, np.array([30.0, 180.0])
    positions = at + rng.normal(0, sigma_m, (200_000, 2))
    half_m = straight_range95_m(R95_IN_SIGMA * sigma_m)
    held = np.abs(np.hypot(*positions.T) - np.hypot(*at)) <= half_m
    assert held.mean() == pytest.approx(0.95, abs=0.002)
