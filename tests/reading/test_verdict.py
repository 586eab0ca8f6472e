"""The three-valued verdict."""

import math

import numpy as np
import pytest

from fieldapp.reading.verdict import R68_IN_SIGMA, R95_IN_SIGMA, radius95_m, verdict


@pytest.mark.parametrize(
    ("distance_m", "radius95_m", "expected"),
    [
        (0.0, 0.05, "inside"),
        (0.05, 0.05, "inside"),
        (0.0501, 0.05, "cannot tell"),
        (0.10, 0.02, "cannot tell"),
        (0.12, 0.02, "cannot tell"),
        (0.1201, 0.02, "outside"),
        (3.0, 0.02, "outside"),
        (0.0, 6.5, "cannot tell"),
        (3.0, 6.5, "cannot tell"),
        (20.0, 6.5, "outside"),
    ],
)
def test_the_radius_is_a_guard_band_on_both_sides_of_the_tolerance(distance_m, radius95_m, expected):
    assert verdict(distance_m, radius95_m, 0.10) == expected


@pytest.mark.parametrize(
    ("distance_m", "radius95_m"),
    [
        (0.0, None),
        (50.0, None),
        (None, 0.02),
        (math.nan, 0.02),
        (0.0, math.nan),
        (0.0, math.inf),
        (math.inf, 0.1),
    ],
)
def test_without_a_distance_or_a_radius_it_cannot_tell(distance_m, radius95_m):
    assert verdict(distance_m, radius95_m, 0.10) == "cannot tell"


@pytest.mark.parametrize("accuracy_m", [None, 0, 0.0, -3.0, math.nan, math.inf])
def test_an_accuracy_figure_that_says_nothing_gives_no_radius(accuracy_m):
    assert radius95_m(accuracy_m) is None


def test_the_two_radii_hold_68_and_95_in_100_of_many_positions():
    away = np.hypot(*np.random.default_rng(2).normal(size=(2, 400_000)))
    assert (away <= R68_IN_SIGMA).mean() == pytest.approx(0.68, abs=0.003)
    assert (away <= R95_IN_SIGMA).mean() == pytest.approx(0.95, abs=0.002)


def test_a_point_truly_outside_is_called_inside_less_than_once_in_forty():
    rng = np.random.default_rng(4)
    tolerance_m, radius_m = 0.10, 0.06
    truly_m = np.array([tolerance_m, 0.0])
    seen_m = np.hypot(*(truly_m + rng.normal(0, radius_m / R95_IN_SIGMA, (20_000, 2))).T)
    wrongly = sum(verdict(distance, radius_m, tolerance_m) == "inside" for distance in seen_m)
    assert wrongly / 20_000 < 0.025
