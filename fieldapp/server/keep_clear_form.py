"""The form of one thing to keep clear of, as it is typed: where it lies, by coordinates or from a tee."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from fieldapp.errors import InputError
from fieldapp.formats.lengths import SUFFIX_OF, to_metres
from fieldapp.formats.site_grid_reading import coordinate_factor
from fieldapp.formats.yardage_limits import Limits
from fieldapp.model import KEEP_CLEAR_KINDS, Hole, KeepClear, Placement, Site
from fieldapp.model.keep_clear import EXTENTS, Extent, KeepClearKind
from fieldapp.model.units import METRES_PER
from fieldapp.outline.place import own_frame
from fieldapp.server.asked_lengths import read_length_m, shown
from fieldapp.server.hole_asking import read_or_fault

Place = tuple[float, float]
BY_COORDINATES = "xy"
CLEARANCE = Limits(0, 100)
LONGEST_NAME, LONGEST_NOTE, MOST_POINTS = 60, 500, 200
NUMBER = r"[+-]?\d{1,9}(?:\.\d{1,6})?"
TWO_NUMBERS = re.compile(rf"({NUMBER})\s*[,;\s]\s*({NUMBER})", re.ASCII)
UNIT_WORDS = {
    "metre": "metres",
    "foot": "feet",
    "us-survey-foot": "US survey feet",
    "grid": "the grid's own unit",
}


@dataclass(frozen=True)
class ThingForm:
    """The form as it was filled in; `way` is "xy" or the id of the tee that the points are measured from."""

    id: str
    kind: str
    name: str
    extent: str
    clearance: str
    way: str
    points: str
    note: str
    person: str = ""


@dataclass(frozen=True)
class ReadForm:
    """The thing that a form says, None where `faults` say why it cannot be read."""

    thing: KeepClear | None
    faults: tuple[str, ...]


def form_of(site: Site, thing: KeepClear) -> ThingForm:
    """Return the form that a thing which stands fills in."""
    clearance = f"{round(thing.clearance_m / METRES_PER[site.units.ground], 2):g}"
    points = points_text(site, thing)
    return ThingForm(
        thing.id, thing.kind, thing.name, thing.extent, clearance, BY_COORDINATES, points, thing.note
    )


def points_text(site: Site, thing: KeepClear) -> str:
    """Return the points of a thing as they are typed, in the site's unit of coordinates."""
    factor = float(coordinate_factor(site.units, site.grid))
    return "\n".join(f"{x / factor:.2f}, {y / factor:.2f}" for x, y in thing.points)


def typed_form(typed: Mapping[str, str]) -> ThingForm:
    """Return the form as it came."""
    names = ("id", "kind", "name", "extent", "clearance", "way", "points", "note", "person")
    return ThingForm(**{name: typed.get(name, "").replace("\r\n", "\n").strip() for name in names})


def read_form(
    site: Site, hole: Hole, form: ThingForm, before: KeepClear | None, ground_scale: float
) -> ReadForm:
    """Read a form; `before` is the thing that it changes, whose points stay as they are where nobody touched them."""
    faults: list[str] = []
    kind = read_or_fault(lambda: _one_of(form.kind, KEEP_CLEAR_KINDS, "kind of thing"), faults)
    extent = read_or_fault(lambda: _one_of(form.extent, EXTENTS, "shape"), faults)
    clearance_m = read_or_fault(lambda: _clearance_m(site, form, before), faults)
    points = read_or_fault(lambda: _points(site, hole, form, before, ground_scale), faults)
    for text, most, what in ((form.name, LONGEST_NAME, "name"), (form.note, LONGEST_NOTE, "note")):
        if len(text) > most:
            faults.append(f"The {what} is longer than {most} letters; shorten it.")
    if faults or kind is None or extent is None or clearance_m is None or points is None:
        return ReadForm(None, tuple(faults))
    name = before.id if before else _new_id(site, hole, kind)
    note = " ".join(form.note.split())
    thing = KeepClear(
        name, cast(KeepClearKind, kind), form.name, cast(Extent, extent), points, clearance_m, note
    )
    return ReadForm(thing, ())


def _one_of(typed: str, words: tuple[str, ...], what: str) -> str:
    if typed not in words:
        raise InputError(f"'{shown(typed)}' is no {what}; choose one of {', '.join(words)}.")
    return typed


def _clearance_m(site: Site, form: ThingForm, before: KeepClear | None) -> float:
    """Return the clearance typed; one that nobody touched stays as it is to the last figure."""
    if before is not None and form.clearance == form_of(site, before).clearance:
        return before.clearance_m
    return read_length_m(form.clearance, site.units.ground, CLEARANCE, "the clearance", "1.5 m")


def _points(
    site: Site, hole: Hole, form: ThingForm, before: KeepClear | None, ground_scale: float
) -> tuple[Place, ...]:
    if before is not None and form.way == BY_COORDINATES and form.points == points_text(site, before):
        return before.points
    lines = [line.strip() for line in form.points.splitlines() if line.strip()]
    if not lines:
        raise InputError("It has no points yet; click them on the plan, or type them, one a line.")
    if len(lines) > MOST_POINTS:
        raise InputError(f"It has {len(lines)} points; give at most {MOST_POINTS}.")
    place = _placing(site, hole, form.way, ground_scale)
    return tuple(place(*_two_numbers(line, number, form.way)) for number, line in enumerate(lines, 1))


def _two_numbers(line: str, number: int, way: str) -> tuple[Decimal, Decimal]:
    found = TWO_NUMBERS.fullmatch(line.replace("\N{MINUS SIGN}", "-"))
    if found is None:
        such_as = "2186.0, 5226.0" if way == BY_COORDINATES else "262, -18"
        raise InputError(
            f"Line {number} of the points, '{shown(line)}', is not two numbers; write one place a line, "
            f"such as {such_as}, with a point before decimals."
        )
    return Decimal(found[1]), Decimal(found[2])


def _placing(site: Site, hole: Hole, way: str, ground_scale: float) -> Callable[[Decimal, Decimal], Place]:
    """Return what makes course metres of two numbers: coordinates, or along and aside from a tee."""
    if way == BY_COORDINATES:
        factor = coordinate_factor(site.units, site.grid)
        return lambda x, y: (to_metres(x, factor), to_metres(y, factor))
    if way not in [tee.id for tee in site.tees_of(hole.number)]:
        raise InputError(
            f"There is no tee '{shown(way)}' on hole {hole.number}; choose what the points are from."
        )
    unit_m = METRES_PER[site.units.yardage]

    def from_tee(along: Decimal, aside: Decimal) -> Place:
        lies = Placement(way, float(along) * unit_m, float(aside) * unit_m)
        x, y = own_frame(site, lies, ground_scale).centre
        return round(float(x), 3), round(float(y), 3)

    return from_tee


def _new_id(site: Site, hole: Hole, kind: str) -> str:
    """Return an id that no thing has: drain-4, then drain-4-2."""
    taken = {thing.id for thing in site.keep_clear}
    first = f"{kind.replace(' ', '-')}-{hole.number}"
    tried = (first, *(f"{first}-{number}" for number in range(2, len(taken) + 3)))
    return next(name for name in tried if name not in taken)


def way_names(site: Site, hole: Hole) -> tuple[tuple[str, str], ...]:
    """Return the ways in which points can be typed, by their ids."""
    sign = SUFFIX_OF[site.units.yardage]
    ways = [(BY_COORDINATES, f"x, y in {UNIT_WORDS[site.units.coordinates]}")]
    ways += [(tee.id, f"along, aside from {tee.name}, {sign}") for tee in site.tees_of(hole.number)]
    return tuple(ways)
