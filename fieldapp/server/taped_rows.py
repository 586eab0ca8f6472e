"""What the desk says of distances taped between pegs: what was read, what the places make it, and what came of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fieldapp.errors import InputError
from fieldapp.model import HeldRecord, Taped
from fieldapp.server.record_rows import came_by_words, ground_words, minute
from fieldapp.server.yardage_words import MINUS
from fieldapp.tape.moved import Finding, Shift
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.taped_checks import level_m, what_tapes_say


@dataclass(frozen=True)
class TapedLineRow:
    """A distance as it was read, by the places of its pegs, and how much longer it was taped; with units."""

    ends: str
    read: str
    placed: str
    longer: str


@dataclass(frozen=True)
class TapedRow:
    """Distances taped between pegs at one time, and what they say by the server's own reckoning."""

    id: str
    bunker: str
    verdict: str
    tells: tuple[str, ...]
    lines: tuple[TapedLineRow, ...]
    person: str
    came_by: str
    receiver: str
    made_at: str


def taped_rows(
    standing: StandingSite, held: Sequence[HeldRecord], bunker_id: str | None = None
) -> Iterator[TapedRow]:
    """Yield the real records of taped distances that stand, of one bunker or of all, oldest first."""
    for item in held:
        taped = item.record
        if not isinstance(taped, Taped) or not taped.real or item.undone_by is not None:
            continue
        if bunker_id in (None, taped.bunker):
            yield _row(standing, item, taped)


def _row(standing: StandingSite, item: HeldRecord, taped: Taped) -> TapedRow:
    names = {bunker.id: bunker.name for bunker in standing.site.bunkers}
    scale, unit = standing.ground_scale(taped.hole), standing.site.units.ground
    try:
        rules = standing.site.rules
        found = what_tapes_say(taped, scale, rules.tape_length_m, rules.tolerance_m)
        verdict, tells = verdict_words(found), tuple(_tells(found, unit))
    except InputError as error:
        verdict, tells = "Cannot tell", (str(error),)
    return TapedRow(
        id=taped.id,
        bunker=names.get(taped.bunker or "", taped.bunker or "no bunker"),
        verdict=verdict,
        tells=(*tells, item.remarks) if item.remarks else tells,
        lines=tuple(_lines(taped, scale, unit)),
        person=taped.person,
        came_by=came_by_words(item),
        receiver=taped.receiver,
        made_at=minute(taped.made_at),
    )


def verdict_words(found: Finding) -> str:
    """Return the verdict in a few words."""
    if found.verdict == "all fit":
        return "All fit"
    if found.reason == "one peg":
        return f"Peg {found.suspects[0]} has moved"
    if found.reason == "one distance":
        return f"The distance {_ends(found.suspect_line)} was misread"
    if found.reason == "more than one":
        return "They do not fit, and more than one thing is wrong"
    return "Cannot tell: they do not fit" if found.reason == "several" else "Cannot tell: too few"


def _tells(found: Finding, unit: str) -> Iterator[str]:
    if found.reason == "several":
        line = f", or the distance {_ends(found.suspect_line)} was misread" if found.suspect_line else ""
        yield f"Peg {' or '.join(found.suspects)} may have moved{line}."
    if found.shift is not None:
        yield _shift_words(found.shift, unit)
    seen = [one.seen_from_m for one in found.strengths]
    if found.suspects or found.verdict == "misfit":
        pass
    elif None in seen or not seen:
        yield "Some moves would not show at all."
    else:
        least = ground_words(max(one for one in seen if one is not None), unit)
        yield f"A peg that moved by {least} would have shown, 80 times in 100."
    if found.wanted is not None:
        yield f"The distance to tape next: {_ends(found.wanted)}."


def _shift_words(shift: Shift, unit: str) -> str:
    within = ground_words(shift.within_m, unit)
    return f"It is {ground_words(shift.moved_m, unit)} from its place, known within {within} (95 %)."


def _ends(ends: tuple[str, str] | None) -> str:
    return "" if ends is None else f"{ends[0]} to {ends[1]}"


def _lines(taped: Taped, scale: float, unit: str) -> Iterator[TapedLineRow]:
    places = {used.peg: (used.x * scale, used.y * scale) for used in taped.pegs}
    for line in taped.lines:
        ends, read = f"{line.one} to {line.other}", ground_words(line.distance_m, unit)
        try:
            placed_m = math.dist(places[line.one], places[line.other])
            off_m = level_m(line) - placed_m
        except (KeyError, InputError):
            yield TapedLineRow(ends, read, "not known", "")
            continue
        sign = "+" if off_m >= 0 else MINUS
        yield TapedLineRow(ends, read, ground_words(placed_m, unit), sign + ground_words(abs(off_m), unit))
