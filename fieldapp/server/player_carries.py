"""The players a bunker is tried against: the list of carries a visitor types, and the cookie that keeps it."""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Iterator
from dataclasses import dataclass

from fastapi import Request, Response

from fieldapp.errors import InputError
from fieldapp.formats.yardage_limits import Limits
from fieldapp.model.units import YardageUnit
from fieldapp.server.addresses import came_by_https, link
from fieldapp.server.asked_lengths import read_length_m, shown

MOST_PLAYERS = 40
LONGEST_NAME = 20
LONGEST_LIST = 1000
CARRY = {"yard": Limits(1, 400), "metre": Limits(1, 366)}
COOKIE = "fieldapp_carries_{unit}"
"""One for each unit, so that a list in yards is never read as one in metres."""
COOKIE_AGE_S = 365 * 24 * 3600
ENTRY = re.compile(r"(?P<name>.*?)[\s:=]*(?P<carry>\d[\d.,]*\s*[A-Za-z]*)", re.ASCII | re.DOTALL)


@dataclass(frozen=True)
class Player:
    """One line of the list: a name ("" where none was given) and how far the ball carries, metres."""

    name: str
    carry_m: float


def read_players(text: str, unit: YardageUnit) -> tuple[Player, ...]:
    """Read a list such as "Anna 240; 225", one a line or parted by ; or a comma; raises InputError."""
    if len(text) > LONGEST_LIST:
        raise InputError(
            f"The list of players is longer than {LONGEST_LIST} characters; leave some of them out."
        )
    found = tuple(_player(entry, unit) for entry in _entries(text))
    if len(found) > MOST_PLAYERS:
        raise InputError(f"There are {len(found)} players on the list; give at most {MOST_PLAYERS}.")
    return found


def list_kept(request: Request, unit: YardageUnit) -> str:
    """Return the list that was typed last on this browser, or ""."""
    held = request.cookies.get(COOKIE.format(unit=unit), "")
    try:
        text = base64.urlsafe_b64decode(held.encode("ascii")).decode("utf-8")
    except (ValueError, binascii.Error):
        return ""
    return text[:LONGEST_LIST]


def keep_list(request: Request, answer: Response, text: str, unit: YardageUnit) -> None:
    """Have the browser keep a list for a year; an empty one is forgotten."""
    name, path = COOKIE.format(unit=unit), link(request, "") or "/"
    said = "\n".join(_entries(text))
    if not said:
        answer.delete_cookie(name, path=path)
        return
    answer.set_cookie(
        name,
        base64.urlsafe_b64encode(said.encode("utf-8")).decode("ascii"),
        max_age=COOKIE_AGE_S,
        path=path,
        httponly=True,
        samesite="lax",
        secure=came_by_https(request),
    )


def _entries(text: str) -> Iterator[str]:
    """Yield the entries; a comma between figures is a decimal comma where it stands alone."""
    for entry in re.split(r"[;\n\r]|,(?!\d)|(?<!\d),|(?<=\d\d),(?=\d\d)", text):
        if entry.strip():
            yield " ".join(entry.split())


def _player(entry: str, unit: YardageUnit) -> Player:
    parts = ENTRY.fullmatch(entry)
    if parts is None:
        raise InputError(
            f"'{shown(entry)}' gives no carry; write a name and a distance in {unit}s, for instance 'Anna 240'."
        )
    name = parts["name"].strip()
    if len(name) > LONGEST_NAME:
        raise InputError(
            f"The name '{shown(name)}' is longer than {LONGEST_NAME} characters; shorten it, so that the table stays "
            "readable."
        )
    carry_m = read_length_m(parts["carry"], unit, CARRY[unit], f"the carry of {name or 'a player'}")
    return Player(name, carry_m)
