"""Lengths as people type them into a form: in a unit of the site, or with a unit behind them."""

from __future__ import annotations

import re

from fieldapp.errors import InputError
from fieldapp.formats.typed_length import USUAL_EXAMPLES, typed_length_m
from fieldapp.formats.yardage_limits import Limits
from fieldapp.model.units import GroundUnit, YardageUnit

THOUSANDS = re.compile(r",\d{3}(?!\d)|\.\d+,", re.ASCII)
SHOWN = 40
"""So much of what was typed is repeated in a sentence about it."""


def read_length_m(
    text: str,
    unit: YardageUnit | GroundUnit,
    limits: Limits,
    what: str,
    such_as: str = USUAL_EXAMPLES,
) -> float:
    """Return a typed length in metres; raises InputError naming `what` it is and what may be given, `such_as` this."""
    typed = shown(text.strip())
    if THOUSANDS.search(typed):
        raise InputError(
            f"'{typed}' can be read in two ways for {what}; write it without the comma, such as 1000, or with a point, "
            "such as 1.5."
        )
    return typed_length_m(typed.replace(",", "."), unit, what, *limits.in_metres(unit), such_as)


def shown(text: str) -> str:
    """Return what was typed, shortened, as it is repeated in a sentence."""
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
