"""Magnetic declination, for somebody who holds a hand compass."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pygeomag import GeoMag

from fieldapp.errors import InputError, PositionError
from fieldapp.geodesy.distance import check_position

MODEL_FILE = "wmm/WMM_2025.COF"
VALID_FROM, VALID_UNTIL = 2025.0, 2030.0


@dataclass(frozen=True)
class Declination:
    """How far a compass needle points east of true north, with the model's own one-sigma uncertainty.

    Machines, fences and watches nearby add to it what no model knows. `valid_until` is a decimal year.
    """

    deg: float
    uncertainty_deg: float
    model: str
    valid_until: float


def declination(lat_deg: float, lon_deg: float, height_m: float, decimal_year: float) -> Declination:
    """Return the declination of the World Magnetic Model 2025 (NOAA NCEI and BGS), east positive.

    Uncertainty sqrt(0.26^2 + (5417 / H)^2) degrees, H in nT, from the model's report. Raises PositionError,
    also where the field is too upright for a compass, and InputError for a date outside 2025.0 to 2030.0. A
    model of its own is read for each call, because pygeomag keeps intermediate values in it.
    """
    check_position(lat_deg, lon_deg)
    if not VALID_FROM <= decimal_year < VALID_UNTIL:
        raise InputError(
            f"The magnetic model WMM-2025 holds from {VALID_FROM:.0f} until {VALID_UNTIL:.0f}, and the date "
            f"is {decimal_year:.2f}; use true bearings, or install a version with a newer model."
        )
    if not np.isfinite(height_m):
        raise PositionError("The height for the magnetic declination is not a number; give metres.")
    model = GeoMag(coefficients_file=MODEL_FILE)
    found = model.calculate(glat=lat_deg, glon=lon_deg, alt=height_m / 1000, time=decimal_year)
    if found.in_blackout_zone:
        raise PositionError(
            f"At {lat_deg:.2f}, {lon_deg:.2f} the earth's field is too upright for a compass; use true "
            "bearings."
        )
    uncertainty = found.calculate_uncertainty()
    return Declination(float(found.d), float(uncertainty.d), model.model, VALID_UNTIL)
