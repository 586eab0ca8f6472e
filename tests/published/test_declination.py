"""Magnetic declination against the model's published test values; the source stands beside the numbers."""

import pytest

from fieldapp.errors import InputError
from fieldapp.geodesy.north import VALID_UNTIL, declination

WMM = "NOAA NCEI and BGS, WMM2025testvalues.pdf and WMM2025_TestValues.txt"


@pytest.mark.parametrize(
    ("decimal_year", "height_km", "lat_deg", "lon_deg", "wanted_deg"),
    [
        (2025.0, 0, 80, 0, 1.28),
        (2025.0, 0, 0, 120, -0.16),
        (2025.0, 0, -80, -120, 68.78),
        (2025.0, 100, 80, 0, 0.85),
        (2027.5, 0, 80, 0, 2.59),
        (2027.5, 0, 0, 120, -0.24),
        (2027.5, 0, -80, -120, 68.49),
        (2027.5, 100, -80, -120, 67.93),
        (2025.0, 65, 43, 93, 0.50),
        (2026.5, 19, 29, 66, 2.24),
        (2026.5, 12, 33, -145, 11.96),
    ],
)
def test_declination_is_as_published(decimal_year, height_km, lat_deg, lon_deg, wanted_deg):
    found = declination(lat_deg, lon_deg, height_km * 1000.0, decimal_year)
    assert found.deg == pytest.approx(wanted_deg, abs=0.005), WMM


def test_the_model_is_named_with_its_end():
    """pygeomag 1.1.0: the file WMM_2025.COF, life span 2025.0 to 2030.0."""
    found = declination(51.5, -0.1, 0.0, 2026.899)
    assert (found.model, found.valid_until) == ("WMM-2025", 2030.0)


def test_the_uncertainty_is_the_model_s_own():
    """WMM2025 report: sqrt(0.26^2 + (5417 / H)^2) degrees; London on 25 November 2026: 1.24 and 0.38."""
    found = declination(51.5, -0.1, 0.0, 2026.899)
    assert found.deg == pytest.approx(1.24, abs=0.005)
    assert found.uncertainty_deg == pytest.approx(0.38, abs=0.005)


@pytest.mark.parametrize("decimal_year", [2024.9, VALID_UNTIL, 2031.2, float("nan")])
def test_a_date_outside_the_model_is_refused(decimal_year):
    """pygeomag itself accepts 2030.0 exactly; the model ends there."""
    with pytest.raises(InputError, match="from 2025 until 2030"):
        declination(51.5, -0.1, 0.0, decimal_year)
