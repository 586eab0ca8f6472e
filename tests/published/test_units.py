"""Units of length against the notices that define them."""

import pytest

from fieldapp.model.units import METRES_PER, METRES_PER_FOOT, METRES_PER_US_SURVEY_FOOT, METRES_PER_YARD

SURVEY_FOOT = "NIST/NGS, Federal Register 85:62698, 5 October 2020, effective 31 December 2022"
YARD = "Refinement of Values for the Yard and the Pound, Federal Register, 1 July 1959"


@pytest.mark.parametrize(
    ("name", "metres", "source"),
    [
        ("yard", 0.9144, YARD),
        ("foot", 0.3048, SURVEY_FOOT),
        ("us-survey-foot", 0.3048006096012192, f"1200/3937 m: {SURVEY_FOOT}"),
        ("metre", 1.0, "by definition"),
    ],
)
def test_a_unit_has_its_defined_length(name, metres, source):
    assert METRES_PER[name] == pytest.approx(metres, abs=1e-16), source


def test_the_two_feet_differ_by_two_parts_in_a_million():
    """SURVEY_FOOT: ratio 1 + 2.000004e-6."""
    excess = METRES_PER_US_SURVEY_FOOT / METRES_PER_FOOT - 1
    assert excess == pytest.approx(2.000004e-6, abs=1e-12)


def test_on_a_false_easting_of_two_million_feet_they_are_four_feet_apart():
    """SURVEY_FOOT."""
    apart_m = 2_000_000 * (METRES_PER_US_SURVEY_FOOT - METRES_PER_FOOT)
    assert apart_m / METRES_PER_FOOT == pytest.approx(4.000, abs=5e-4)


@pytest.mark.parametrize(("yards", "metres"), [(150, 137.16), (450, 411.48)])
def test_yards_in_metres(yards, metres):
    """sizes.com/units/yard_international.htm."""
    assert yards * METRES_PER_YARD == pytest.approx(metres, abs=1e-12)


def test_a_hundred_metres_in_yards():
    """sizes.com/units/yard_international.htm."""
    in_yards = 100 / METRES_PER_YARD
    assert in_yards == pytest.approx(109.3613, abs=5e-5)


def test_three_feet_are_a_yard():
    three_feet_m = 3 * METRES_PER_FOOT
    assert three_feet_m == pytest.approx(METRES_PER_YARD, abs=1e-15)
