"""Lengths as people type them into a form: in the site's yardage unit, or with a unit behind them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fieldapp.errors import InputError
from fieldapp.formats.typed_length import typed_length_m
from fieldapp.model.units import METRES_PER, YardageUnit

FIGURES = re.compile(r"\d{1,6}(?:[.,]\d{1,6})?", re.ASCII)
THOUSANDS = re.compile(r",\d{3}(?!\d)|\.\d+,", re.ASCII)
SHOWN = 40
"""So much of what was typed is repeated in a sentence about it."""


@dataclass(frozen=True)
class Limits:
    """The least and the most that a length may be, in the site's yardage unit."""

    least: int
    most: int


def read_length_m(text: str, unit: YardageUnit, limits: Limits, what: str) -> float:
    """Return a typed length in metres; raises InputError naming `what` it is and what may be given."""
    typed = shown(text.strip())
    if THOUSANDS.search(typed):
        raise InputError(
            f"'{typed}' can be read in two ways for {what}; write it without the comma, such as 1000, or with a point, "
            "such as 1.5."
        )
    least_m, most_m = (limit * METRES_PER[unit] for limit in (limits.least, limits.most))
    return typed_length_m(typed.replace(",", "."), unit, what, least_m, most_m)


def shown(text: str) -> str:
    """Return what was typed, shortened, as it is repeated in a sentence."""
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
