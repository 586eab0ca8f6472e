"""What a visitor asks of a hole's page in its address: an aim line, a landing allowance, a bunker and a tee."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from fieldapp.errors import InputError, NotFoundError
from fieldapp.formats.yardage_limits import AIM_ALONG, AIM_ASIDE, ALLOWANCE
from fieldapp.model import Hole, Site
from fieldapp.play.hole_yardages import AimLine
from fieldapp.server.asked_lengths import read_length_m, shown
from fieldapp.server.yardage_words import YardageWords

T = TypeVar("T")
SIDES = ("left", "right")


@dataclass(frozen=True)
class AimForm:
    """The form as it was filled in: what was typed stays, also where it cannot be read."""

    offset: str
    side: str
    at: str
    allowance: str
    bunker: str
    tee: str


@dataclass(frozen=True)
class HoleAsked:
    """What is asked of a hole; `faults` says what could not be read, one sentence each."""

    form: AimForm
    aim: AimLine | None
    allowance_m: float
    bunker: str
    tee: str
    faults: tuple[str, ...]


def hole_of(site: Site, number: str) -> Hole:
    """Return the hole that an address names; raises NotFoundError naming the holes there are."""
    if number.isdecimal() and number.isascii() and len(number) < 4:
        return site.hole(int(number))
    known = ", ".join(str(hole.number) for hole in site.holes) or "none"
    raise NotFoundError(f"There is no hole of site '{site.id}' called '{shown(number)}'; there are: {known}.")


def read_asked(site: Site, hole: Hole, query: Mapping[str, str]) -> HoleAsked:
    """Read the query of a hole's page."""
    form = AimForm(
        **{
            name: query.get(name, "").strip()
            for name in ("offset", "side", "at", "allowance", "bunker", "tee")
        }
    )
    faults: list[str] = []
    aim = read_or_fault(lambda: _aim(site, form), faults)
    allowance_m = read_or_fault(lambda: allowance_of(site, form.allowance), faults)
    bunkers = {bunker.id: bunker.name for bunker in site.bunkers if bunker.hole == hole.number}
    tees = {tee.id: tee.name for tee in site.tees_of(hole.number)}
    bunker = read_or_fault(lambda: chosen(form.bunker, bunkers, f"bunker of hole {hole.number}"), faults)
    tee = read_or_fault(lambda: chosen(form.tee, tees, f"tee of hole {hole.number}"), faults)
    return HoleAsked(form, aim, allowance_m or 0.0, bunker or "", tee or "", tuple(faults))


def allowance_of(site: Site, text: str) -> float:
    """Return a typed landing allowance, metres; raises InputError."""
    return (
        read_length_m(text, site.units.yardage, ALLOWANCE, "the landing allowance") if text.strip() else 0.0
    )


def chosen(wanted: str, known: Mapping[str, str], kind: str) -> str:
    """Return the id that was chosen, "" where nothing was; raises NotFoundError naming those there are."""
    if wanted and wanted not in known:
        names = ", ".join(known) or "none"
        raise NotFoundError(f"There is no {kind} called '{shown(wanted)}'; there are: {names}.")
    return wanted


def aim_words(aim: AimLine, words: YardageWords) -> str:
    """Say where an aim line goes."""
    along = f"at {words.short_with_unit(aim.at_m)} along it from each tee's own plate"
    if aim.offset_m == 0.0:
        return f"through the line of play itself {along}"
    side = "right" if aim.offset_m > 0 else "left"
    return f"{words.short_with_unit(abs(aim.offset_m))} {side} of the line of play, {along}"


def _aim(site: Site, form: AimForm) -> AimLine | None:
    if not form.offset and not form.at:
        return None
    if not form.at:
        raise InputError(
            "An aim line needs to know how far along it passes there; give the distance along too, or empty both."
        )
    unit = site.units.yardage
    at_m = read_length_m(form.at, unit, AIM_ALONG, "the distance along")
    offset_m = read_length_m(form.offset, unit, AIM_ASIDE, "the distance aside") if form.offset else 0.0
    if form.side not in ("", *SIDES):
        raise InputError(f"'{shown(form.side)}' is no side; choose left or right.")
    return AimLine(at_m, -offset_m if form.side == "left" else offset_m)


def read_or_fault(read: Callable[[], T], faults: list[str]) -> T | None:
    """Return what is read; where it cannot be, add the sentence to the faults and return None."""
    try:
        return read()
    except (InputError, NotFoundError) as fault:
        faults.append(str(fault))
        return None
