"""The verdict at a point: inside, outside, or cannot tell. Twin: web/phone/geometry/verdict.js."""

from __future__ import annotations

import math

from fieldapp.model import Verdict


def radius_in_sigma(probability: float) -> float:
    """Return the radius holding this share of a circular normal error, in its one-axis sigma (Rayleigh)."""
    return math.sqrt(-2 * math.log(1 - probability))


R68_IN_SIGMA = radius_in_sigma(0.68)
R95_IN_SIGMA = radius_in_sigma(0.95)


def radius95_m(accuracy_m: float | None) -> float | None:
    """Return the 95 % radius behind a receiver's accuracy figure, 1.6215 times it; None when it gave no
    usable one.

    The figure is taken as a 68 % radius, as Android documents it (getAccuracy) and browsers hand it on,
    though the W3C Geolocation text calls it a 95 % one: taken so, a poor receiver is never made to look
    better than it is. A figure of 0, below 0 or not a number says nothing.
    """
    if accuracy_m is None or not math.isfinite(accuracy_m) or accuracy_m <= 0:
        return None
    return accuracy_m * (R95_IN_SIGMA / R68_IN_SIGMA)


def verdict(distance_m: float | None, radius95_m: float | None, tolerance_m: float) -> Verdict:
    """Judge a distance off the point against the tolerance, with the 95 % radius as the guard band on both
    sides.

    Inside only if the whole radius is within the tolerance, outside only if none of it is (JCGM 106:2012,
    guarded acceptance and guarded rejection). An unknown radius or distance: cannot tell.
    """
    if distance_m is None or radius95_m is None or not math.isfinite(distance_m + radius95_m):
        return "cannot tell"
    if distance_m + radius95_m <= tolerance_m:
        return "inside"
    return "outside" if distance_m - radius95_m > tolerance_m else "cannot tell"
