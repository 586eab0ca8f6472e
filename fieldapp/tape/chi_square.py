"""Critical values of the chi-square distribution, and what a test can see. Twin: web/phone/geometry/chi_square.js."""

from __future__ import annotations

import scipy


def critical(dof: int, significance: float) -> float:
    """Return the value that a chi-square of this many degrees of freedom exceeds with this probability; 0 for none."""
    return float(scipy.special.chdtri(dof, significance)) if dof > 0 else 0.0


def seen_noncentrality(dof: int, significance: float, power: float) -> float:
    """Return the noncentrality that a chi-square test at this significance notices with this probability.

    For a quantity that is off by c times what is measured, with weight w, the noncentrality is w c². Baarda, A testing
    procedure for use in geodetic networks (1968), from memory: with one degree of freedom, significance 0.001 and
    power 0.80 it is 17.07.
    """
    return float(scipy.special.chndtrinc(critical(dof, significance), dof, 1 - power))
