"""What people type into the pages of a site being made: numbers, lengths, places; each raises InputError in words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from functools import cached_property
from typing import Any

import numpy as np

from fieldapp.errors import FieldappError, GridError, InputError, PositionError
from fieldapp.formats.lengths import METRES_PER_SUFFIX, SUFFIX_OF, from_metres, to_metres
from fieldapp.formats.moments import moment_words
from fieldapp.formats.site_draft import Tables, read_tables
from fieldapp.geodesy.distance import check_position
from fieldapp.geodesy.grid import CourseGrid, build_grid
from fieldapp.model import PlaceRead
from fieldapp.server.asked_lengths import shown
from fieldapp.server.site_edit_contexts import Choice, Fault

NUMBER = r"[+-]?\d{1,9}(?:\.\d{1,12})?"
ONE_NUMBER = re.compile(NUMBER)
PAIR = re.compile(rf"({NUMBER})\s*[,;\s]\s*({NUMBER})")
LENGTH = re.compile(rf"({NUMBER}) ?(m|yd|ft)?")
COURSE, EARTH, READ = "course", "earth", "read:"
KINDS = {"tee": "Tee", "peg": "Peg", "turn": "Turning point", "green": "Green"}
FINEST_M = 4
FINEST_DEG = 9


@dataclass(frozen=True)
class TypedPlace:
    """A place in units of the site's coordinates; `read` is the reading it was taken from."""

    x: Decimal
    y: Decimal
    read: PlaceRead | None = None


class SiteGround:
    """A site being made as far as places can be reckoned on it, and the places that phones have read for it."""

    def __init__(self, tables: Tables, places: Iterable[PlaceRead] = ()) -> None:
        self.tables = tables
        self.places = tuple(places)
        self.reading = read_tables(tables)
        self.factor: Fraction = self.reading.factor
        self.ground_suffix = SUFFIX_OF[self.reading.site.units.ground]

    @cached_property
    def grid(self) -> CourseGrid | None:
        """The course grid, None where there is none yet."""
        return None if isinstance(self._built, FieldappError) else self._built

    @property
    def grid_fault(self) -> str:
        """Why there is no grid yet; empty where there is one."""
        return str(self._built) if isinstance(self._built, FieldappError) else ""

    @cached_property
    def _built(self) -> CourseGrid | FieldappError:
        if self.reading.grid is None:
            return GridError("How the course grid lies on the earth is not said yet.")
        try:
            return build_grid(self.reading.grid, self.reading.site.pegs)
        except (GridError, PositionError) as fault:
            return fault

    def place_read(self, chosen: str) -> PlaceRead | None:
        """Return the reading that a choice names, None where it names none; raises InputError for one that is gone."""
        if not chosen.startswith(READ):
            return None
        wanted = chosen.removeprefix(READ)
        found = next((place for place in self.places if place.id == wanted), None)
        if found is None:
            raise InputError("That reading was taken back on the phone; choose another, or type the place.")
        return found

    def on_course(self, lat_deg: float, lon_deg: float) -> tuple[Decimal, Decimal]:
        """Return a position in units of the site's coordinates; raises InputError."""
        if self.grid is None:
            raise InputError(
                f"A latitude and longitude cannot be placed on the course yet: {self.grid_fault.rstrip('.')}. Fill in "
                "the grid first, or give x, y."
            )
        check_position(lat_deg, lon_deg, "The place")
        x, y = self.grid.to_course(np.array([lon_deg, lat_deg])).tolist()
        return self.in_units(x), self.in_units(y)

    def in_units(self, course_m: float) -> Decimal:
        """Return course metres in units of the site's coordinates, to a tenth of a millimetre."""
        return Decimal(from_metres(round(course_m, FINEST_M), self.factor))

    def metres(self, number: Decimal | int) -> float:
        """Return a course coordinate in metres."""
        return to_metres(number, self.factor)


def collect(faults: list[Fault], name: str, read: Callable[..., Any], *arguments: Any) -> Any:
    """Return what `read` gives of the arguments; where it refuses, note its sentence at a field and return None."""
    try:
        return read(*arguments)
    except InputError as fault:
        faults.append(Fault(name, str(fault)))
        return None


def typed_place(form: Mapping[str, str], name: str, ground: SiteGround, what: str) -> TypedPlace | None:
    """Return the place that `name-by` and `name` give, None where nothing is given."""
    chosen, text = form.get(f"{name}-by", COURSE), form.get(name, "").strip()
    read = ground.place_read(chosen)
    if read is not None:
        x, y = ground.on_course(read.reading.lat_deg, read.reading.lon_deg)
        return TypedPlace(x, y, read)
    if not text:
        return None
    first, second = typed_pair(text, what, "53.6012, -5.0034" if chosen == EARTH else "1012.5, 2044.1")
    if chosen == EARTH:
        return TypedPlace(*ground.on_course(float(first), float(second)))
    return TypedPlace(first, second)


def typed_pair(text: str, what: str, such_as: str) -> tuple[Decimal, Decimal]:
    """Return two numbers with a comma or a space between."""
    found = PAIR.fullmatch(_plain(text))
    if found is None:
        raise InputError(f"'{shown(text)}' is no place for {what}; write two numbers such as {such_as}.")
    return Decimal(found[1]), Decimal(found[2])


def typed_number(form: Mapping[str, str], name: str, what: str) -> Decimal | None:
    """Return a number, None where nothing is typed."""
    text = form.get(name, "").strip()
    if text and not ONE_NUMBER.fullmatch(_plain(text)):
        raise InputError(f"'{shown(text)}' is no number for {what}; write figures such as 12.5.")
    return Decimal(_plain(text)) if text else None


def typed_whole(form: Mapping[str, str], name: str, what: str) -> int | None:
    """Return a whole number, None where nothing is typed."""
    text = form.get(name, "").strip()
    if text and not re.fullmatch(r"\d{1,6}", text, re.ASCII):
        raise InputError(f"'{shown(text)}' is no {what}; write a whole number such as 4.")
    return int(text) if text else None


def typed_length(form: Mapping[str, str], name: str, key: str, what: str, suffix: str) -> dict[str, Decimal]:
    """Return a length under the key that says its unit, such as level_m; nothing where nothing is typed."""
    text = form.get(name, "").strip()
    if not text:
        return {}
    found = LENGTH.fullmatch(_plain(text))
    if found is None:
        raise InputError(
            f"'{shown(text)}' is no length for {what}; write figures such as 12.5, or with m or ft behind."
        )
    return {f"{key}_{found[2] or suffix}": Decimal(found[1])}


def length_words(table: Mapping[str, Any], key: str, suffix: str) -> str:
    """Return a length of a table as it is typed, with its unit where that is not the usual one."""
    for unit in METRES_PER_SUFFIX:
        if (value := table.get(f"{key}_{unit}")) is not None:
            return figures(value) if unit == suffix else f"{figures(value)} {unit}"
    return ""


def figures(number: Decimal | int) -> str:
    """Return a number as it is typed."""
    text = format(Decimal(number), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def pair_words(pair: Iterable[Decimal | int]) -> str:
    """Return a place as it is typed: '1012.5, 2044.1'."""
    return ", ".join(map(figures, pair))


def within_of(read: PlaceRead, suffix: str) -> dict[str, Decimal]:
    """Return how well a reading knows its place, as the key `within` of a tee or peg; raises InputError."""
    radius_m = read.reading.radius95_m
    if radius_m is None:
        raise InputError(
            f"{place_words(read)}: the phone gave no figure of how well it knew the place, so it cannot be taken; "
            f"read it "
            "anew, or type the place."
        )
    unit = Decimal(float(METRES_PER_SUFFIX[suffix]))
    within = (Decimal(radius_m) / unit).quantize(Decimal("0.01"), ROUND_CEILING)
    return {f"within_{suffix}": within}


def place_words(place: PlaceRead) -> str:
    """Name a reading: 'Tee 4 white: read 2026-11-26 10:12 by Robin, within 1.2 m'."""
    radius_m = place.reading.radius95_m
    within = "accuracy not known" if radius_m is None else f"within {_up(radius_m)} m"
    hole = f" {place.hole}" if place.what in ("tee", "green", "turn") else ""
    name = "" if place.what == "green" else f" {place.name}"
    return f"{KINDS[place.what]}{hole}{name}: read {moment_words(place.made_at)} by {place.person}, {within}"


def by_choices(ground: SiteGround, kinds: tuple[str, ...], hole: int | None = None) -> tuple[Choice, ...]:
    """Return the ways to give a place: course, earth, and the readings of some kinds, newest first."""
    fitting = (
        place
        for place in reversed(ground.places)
        if place.what in kinds and (hole is None or place.hole == hole)
    )
    reads = (Choice(f"{READ}{place.id}", place_words(place)) for place in fitting)
    return (Choice(COURSE, "x, y on the course grid"), Choice(EARTH, "latitude, longitude"), *reads)


def degrees(value: float) -> Decimal:
    """Return degrees as they are kept: to a ten thousandth of a metre."""
    return Decimal(f"{value:.{FINEST_DEG}f}")


def _up(radius_m: float) -> str:
    return f"{Decimal(radius_m).quantize(Decimal('0.1'), ROUND_CEILING)}"


def _plain(text: str) -> str:
    return text.strip().replace("\N{MINUS SIGN}", "-")
