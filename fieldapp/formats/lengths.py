"""Lengths as people write them, exactly: a decimal in some unit to the nearest float in metres, and back.

A product of two floats cannot reach every float, so here a decimal is multiplied by the unit's exact fraction
and rounded once: every length in metres has a decimal that reads back to it.
"""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction

from fieldapp.model.units import METRES_PER, GroundUnit

METRE = Fraction(1)
METRES_PER_SUFFIX = {"m": METRE, "yd": Fraction(9144, 10000), "ft": Fraction(3048, 10000)}
"""Metres in the unit that a key ends in."""
METRES_PER_COORDINATE = {
    "metre": METRE,
    "foot": Fraction(3048, 10000),
    "us-survey-foot": Fraction(1200, 3937),
}
SUFFIX_OF = {"metre": "m", "yard": "yd", "foot": "ft"}
_ENOUGH_DIGITS = (6, 12, 15, 16, 17, 18, 19, 20, 24)
_SMALLEST, _LARGEST = 1e-30, 1e30


def to_metres(number: Decimal | int, factor: Fraction) -> float:
    """Return the float nearest to a finite number of units of `factor` metres."""
    value = float(number)
    if factor == METRE or not _SMALLEST < abs(value) < _LARGEST:
        return value * float(factor)
    return float(Fraction(number) * factor)


def from_metres(length_m: float, factor: Fraction) -> str:
    """Return a short decimal, in units of `factor` metres, that reads back to the very same float."""
    if factor == METRE or length_m == 0:
        return _decimal_text(Decimal(repr(length_m)))
    exact = Fraction(length_m) / factor
    for digits in _ENOUGH_DIGITS:
        rounded = Context(prec=digits).divide(Decimal(exact.numerator), Decimal(exact.denominator))
        if to_metres(rounded, factor) == length_m:
            break
    return _decimal_text(rounded)


def hundredths(length_m: float, unit: GroundUnit) -> str:
    """Return a length for a person, to 0.01 of a unit, with its unit."""
    return f"{length_m / METRES_PER[unit]:.2f} {SUFFIX_OF[unit]}"


def _decimal_text(number: Decimal) -> str:
    """Return a number in figures with a decimal point and without an exponent."""
    text = format(number, "f")
    if "." not in text:
        return f"{text}.0"
    whole, part = text.split(".")
    return f"{whole}.{part.rstrip('0') or '0'}"
