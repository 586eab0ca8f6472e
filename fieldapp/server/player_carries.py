"""The players a bunker is tried against: the list of carries as people type it, or paste it from a spreadsheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fieldapp.errors import InputError
from fieldapp.formats.lengths import SUFFIX_OF
from fieldapp.formats.yardage_limits import Limits
from fieldapp.model.units import METRES_PER, YardageUnit
from fieldapp.server.asked_lengths import read_length_m, shown

MOST_PLAYERS = 40
LONGEST_NAME = 20
LONGEST_LIST = 3000
"""Bytes: a browser keeps no more than 4096 of them in a cookie, where three take four."""
CARRY = {"yard": Limits(1, 400), "metre": Limits(1, 366)}
SHORTEST = {"yard": 40, "metre": 36}
"""A shorter carry is taken, but asked about: hardly anybody hits so short, and many a slip is."""
UNITS = {
    "yd": ("yd", "yds", "yard", "yards", "y"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "ft": ("ft", "foot", "feet"),
}
UNIT_OF = {word: unit for unit, words in UNITS.items() for word in words}
NUMBER = r"[0-9][0-9.,]*"
LENGTH = rf"{NUMBER}(?:\s*(?:{'|'.join(sorted(UNIT_OF, key=len, reverse=True))}))?"
LENGTHS = re.compile(rf"(?<!\S){LENGTH}(?!\S)", re.IGNORECASE)
NAMED = re.compile(rf"(?P<name>.*?)(?P<parting>\s*[:=]\s*|\s+)(?P<length>{LENGTH})", re.IGNORECASE)
SEVERAL = re.compile(r"[0-9]{2,3}(?:,[0-9]{3})+|[0-9]{2,3}(?:,[0-9]{2,3}){2,}")
"""Distances with commas and no spaces between them, as 240,225; 240,5 has a decimal comma."""
SIGNED = re.compile(r"(?:^|[\s:=])[-+\u2212\u2013\u2014]\s*[0-9]")
PARTED = re.compile(r";|,(?![0-9])|(?<![0-9]),")


@dataclass(frozen=True)
class Player:
    """One of the list: a name ("" where none was given) and how far the ball carries, metres."""

    name: str
    carry_m: float


@dataclass(frozen=True)
class PlayerList:
    """The players, and what a visitor should know of how the list was read, one sentence each."""

    players: tuple[Player, ...]
    remarks: tuple[str, ...]


def read_players(text: str, unit: YardageUnit) -> PlayerList:
    """Read a list such as "Anna 240; 225", or rows of a spreadsheet, name and carry; raises InputError."""
    lines = list(lines_of(text))
    if len("\n".join(lines).encode("utf-8")) > LONGEST_LIST:
        raise InputError(
            f"The list of players is longer than {LONGEST_LIST} letters (an accented one counts twice or more); "
            "shorten names or leave some players out."
        )
    heading = lines.pop(0) if _is_heading(lines) else ""
    found = tuple(
        Player(name, _carry_m(length, name, unit)) for line in lines for name, length in _of_line(line, unit)
    )
    if len(found) > MOST_PLAYERS:
        raise InputError(f"There are {len(found)} players on the list; give at most {MOST_PLAYERS}.")
    return PlayerList(found, tuple(_remarks(heading, found, unit)))


def lines_of(text: str) -> Iterator[str]:
    """Yield the lines that have something on them."""
    for line in text.splitlines():
        if line.strip():
            yield line.strip(" ")


def _is_heading(lines: Sequence[str]) -> bool:
    """Whether the first of several lines names columns: two at least, and no figure in it."""
    return len(lines) > 1 and len(_cells(lines[0])) > 1 and not re.search(r"\d", lines[0])


def _cells(line: str) -> list[str]:
    parts = line.split("\t") if "\t" in line else PARTED.split(line)
    return [" ".join(part.split()) for part in parts if part.strip()]


def _of_line(line: str, unit: YardageUnit) -> Iterator[tuple[str, str]]:
    """Yield names and lengths; a cell without a length is the name of the one behind it."""
    name, cells = "", _cells(line)
    is_row = "\t" in line and len(cells) > 1
    for cell in cells:
        lengths = _bare_lengths(cell, named=bool(name))
        if not lengths and (name or is_row or not NAMED.fullmatch(cell)):
            _refuse_sign(cell, unit)
            if name:
                raise _no_carry(name, unit)
            name = _name(cell.rstrip(":= "))
            continue
        if name and len(lengths) > 1:
            raise InputError(f"{name} has {len(lengths)} distances, '{shown(cell)}'; give one of them.")
        yield from ((name, length) for length in lengths) if lengths else [_named(cell, unit)]
        name = ""
    if name:
        raise _no_carry(name, unit)


def _bare_lengths(cell: str, *, named: bool) -> list[str]:
    """Return the lengths of a cell that holds nothing else."""
    if LENGTHS.sub("", cell).strip():
        return []
    found: list[str] = LENGTHS.findall(cell)
    if named:
        return found
    return [one for length in found for one in (length.split(",") if SEVERAL.fullmatch(length) else [length])]


def _named(cell: str, unit: YardageUnit) -> tuple[str, str]:
    """Return name and length of one cell; only a sign that parts them lets a name have figures in it."""
    _refuse_sign(cell, unit)
    parts = NAMED.fullmatch(cell)
    if parts is None:
        raise _no_carry(cell, unit)
    if re.search(r"\d", parts["name"]) and not parts["parting"].strip():
        raise InputError(
            f"'{shown(cell)}' has more than one figure; give every player one distance and a line, and part a name "
            "that has figures from it by a colon, as in 'Player 2: 240'."
        )
    return _name(parts["name"]), parts["length"]


def _name(text: str) -> str:
    name = text.strip()
    if not re.search(r"[^\W\d_]", name):
        raise InputError(f"'{shown(name)}' is no name; a name has a letter in it.")
    if len(name) > LONGEST_NAME:
        raise InputError(
            f"The name '{shown(name)}' is longer than {LONGEST_NAME} characters; shorten it, so that the table stays "
            "readable."
        )
    return name


def _refuse_sign(cell: str, unit: YardageUnit) -> None:
    if SIGNED.search(cell):
        raise InputError(
            f"'{shown(cell)}' has a sign before its distance; write a name and a distance in {unit}s, for instance "
            "'Anna 240'."
        )


def _no_carry(entry: str, unit: YardageUnit) -> InputError:
    return InputError(
        f"'{shown(entry)}' gives no carry; write a name and a distance in {unit}s, for instance 'Anna 240'."
    )


def _carry_m(length: str, name: str, unit: YardageUnit) -> float:
    figures, word = re.fullmatch(rf"({NUMBER})\s*(\w*)", length).groups()  # type: ignore[union-attr]
    typed = f"{figures} {UNIT_OF[word.lower()]}" if word else figures
    return read_length_m(typed, unit, CARRY[unit], f"the carry of {name or 'a player'}")


def _remarks(heading: str, players: Sequence[Player], unit: YardageUnit) -> Iterator[str]:
    if heading:
        yield f"The first line, '{shown(' '.join(_cells(heading)))}', was taken for a heading and left out."
    metres, sign = METRES_PER[unit], SUFFIX_OF[unit]
    short = [player for player in players if player.carry_m < SHORTEST[unit] * metres]
    if short:
        told = ", ".join(
            f"{player.name or 'no name'} {player.carry_m / metres:.3g} {sign}" for player in short
        )
        yield (
            f"Carries under {SHORTEST[unit]} {sign}, are they meant? {told}. A name that ends in a figure is parted "
            "from its distance by a colon, as in 'Player 2: 240'."
        )
