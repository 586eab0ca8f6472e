"""Lengths as people type them into a form, in the site's yardage unit."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fieldapp.errors import InputError
from fieldapp.model.units import METRES_PER, YardageUnit

FIGURES = re.compile(r"\d{1,6}(?:[.,]\d{1,6})?", re.ASCII)
UNIT_WORDS = {"yard": ("yd", "yds", "yard", "yards"), "metre": ("m", "metre", "metres")}
SHOWN = 40
"""So much of what was typed is repeated in a sentence about it."""


@dataclass(frozen=True)
class Limits:
    """The least and the most that a length may be, in the unit it is typed in."""

    least: int
    most: int


def read_length_m(text: str, unit: YardageUnit, limits: Limits, what: str) -> float:
    """Return a typed length in metres; raises InputError naming `what` it is and what may be given."""
    typed = text.strip()
    figures = _without_unit(typed, unit)
    told = f"from {limits.least} to {limits.most} {unit}s"
    if not FIGURES.fullmatch(figures):
        raise InputError(f"'{shown(typed)}' is no {what}; give figures, {told}.")
    length = float(figures.replace(",", "."))
    if not limits.least <= length <= limits.most:
        raise InputError(f"{shown(typed)} is out of reach for the {what}; give it {told}.")
    return length * METRES_PER[unit]


def shown(text: str) -> str:
    """Return what was typed, shortened, as it is repeated in a sentence."""
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"


def _without_unit(text: str, unit: YardageUnit) -> str:
    word = re.search(r"[A-Za-z]+$", text)
    known = word is not None and word[0].lower() in UNIT_WORDS[unit]
    return text[: word.start()].rstrip() if word and known else text
