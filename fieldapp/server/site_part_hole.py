"""A hole of a site being made: its green, its line of play, its fairway; typed, read by phone, or clicked on a plan."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np

from fieldapp.errors import InputError, NotFoundError
from fieldapp.formats.site_draft import Tables
from fieldapp.model import PlaceRead
from fieldapp.server.labels import LabelRoom
from fieldapp.server.plan_drawing import DrawnSpot
from fieldapp.server.plan_sheet import fit_sheet, scale_bar, svg_path
from fieldapp.server.site_edit_contexts import Choice, ClickPlan, Fault, Field, FieldRow
from fieldapp.server.site_typing import (
    COURSE,
    EARTH,
    SiteGround,
    by_choices,
    collect,
    length_words,
    pair_words,
    typed_length,
    typed_pair,
    typed_place,
)

Form = Mapping[str, str]
Json = dict[str, Any]
WALKED = "walked"
MOST_LINES = 400
PLAN_WIDTH, LEAST_WIDTH, PLAN_HEIGHT, PLAN_MARGIN = 720.0, 380.0, 660.0, 40.0
NAME_AWAY_PX = 11.0
ROOM_M = 30.0
LINE_LEAD = (
    "Where the line of play turns between tee and green, in order of play; none for a hole played straight. Type one "
    "place "
    "a line, click on the plan below, or walk it: stand at each turning point with the phone page of this site."
)
FAIRWAY_LEAD = "The corners of the fairway's edge, all round it, one a line. It may be left out."


def hole_index(tables: Tables, number: int) -> int:
    """Return which hole has a number; raises NotFoundError."""
    numbers = [hole.get("number") for hole in tables.get("hole", [])]
    if number not in numbers:
        known = ", ".join(map(str, numbers)) or "none"
        raise NotFoundError(f"The site has no hole {number}; there are: {known}.")
    return numbers.index(number)


def hole_fields(ground: SiteGround, number: int) -> tuple[FieldRow, ...]:
    """Return the form of one hole."""
    hole = ground.tables["hole"][hole_index(ground.tables, number)]
    green = pair_words(hole["green"]) if "green" in hole else ""
    lines = {key: "\n".join(map(pair_words, hole.get(key, []))) for key in ("turning_points", "fairway")}
    ways = (Choice(COURSE, "x, y on the course grid"), Choice(EARTH, "latitude, longitude"))
    walked = turns_read(ground, number)
    read = (Choice(WALKED, _walked_words(walked)),) if walked else ()
    suffix = ground.ground_suffix
    return (
        FieldRow(
            "Middle of the green",
            (
                Field(
                    "green-by",
                    "its place is",
                    COURSE,
                    "select",
                    by_choices(ground, ("green", "peg")),
                    is_wide=True,
                ),
                Field("green", "place", green, hint="two numbers, as chosen above"),
                Field("green_level", f"level, {suffix}", length_words(hole, "green_level", suffix)),
            ),
        ),
        FieldRow(
            "Line of play",
            (
                Field("turns-by", "the turning points are", COURSE, "select", (*ways, *read), is_wide=True),
                Field("turns", "turning points, one a line", lines["turning_points"], "area", is_wide=True),
            ),
            LINE_LEAD,
        ),
        FieldRow(
            "Fairway",
            (
                Field("fairway-by", "the corners are", COURSE, "select", ways, is_wide=True),
                Field("fairway", "corners, one a line", lines["fairway"], "area", is_wide=True),
            ),
            FAIRWAY_LEAD,
        ),
    )


def turns_read(ground: SiteGround, number: int) -> list[PlaceRead]:
    """Return the turning points that were walked on a hole in order of play; of one number the newest reading."""
    newest = {place.name: place for place in ground.places if place.what == "turn" and place.hole == number}
    return sorted(newest.values(), key=lambda place: (_order(place.name), place.made_at))


def _order(name: str) -> tuple[int, str]:
    found = re.search(r"\d{1,6}", name, re.ASCII)
    return int(found[0]) if found else 10**6, name


def _walked_words(walked: list[PlaceRead]) -> str:
    radii = [place.reading.radius95_m for place in walked]
    worst = None if None in radii else max(radius for radius in radii if radius is not None)
    within = "" if worst is None else f", each within {worst:.1f} m"
    count = "the one turning point" if len(walked) == 1 else f"the {len(walked)} turning points"
    return f"{count} read by {walked[-1].person}{within}"


def read_hole(ground: SiteGround, number: int, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the hole typed."""
    faults: list[Fault] = []
    index = hole_index(ground.tables, number)
    old = ground.tables["hole"][index]
    hole: Json = {key: old[key] for key in ("number", "name") if key in old}
    place = collect(faults, "green", typed_place, form, "green", ground, "the middle of the green")
    if place is not None:
        hole["green"] = [place.x, place.y]
    suffix = ground.ground_suffix
    level = ("green_level", "green_level", "the level of the green", suffix)
    hole |= collect(faults, "green_level", typed_length, form, *level) or {}
    turns = collect(faults, "turns", _turns, ground, number, form)
    fairway = collect(faults, "fairway", typed_lines, ground, form, "fairway", "a corner of the fairway")
    hole |= {key: found for key, found in (("turning_points", turns), ("fairway", fairway)) if found}
    holes = [*ground.tables["hole"]]
    holes[index] = hole
    return {**ground.tables, "hole": holes}, faults


def _turns(ground: SiteGround, number: int, form: Form) -> list[list[Decimal]]:
    if form.get("turns-by") != WALKED:
        return typed_lines(ground, form, "turns", "a turning point")
    walked = turns_read(ground, number)
    if not walked:
        raise InputError(
            "Those readings were taken back on the phone; walk the line anew, or type the turning points."
        )
    return [list(ground.on_course(place.reading.lat_deg, place.reading.lon_deg)) for place in walked]


def typed_lines(ground: SiteGround, form: Form, name: str, what: str) -> list[list[Decimal]]:
    """Return the places typed one a line under a name, as `name-by` says; raises InputError naming the line."""
    lines = [line.strip() for line in form.get(name, "").splitlines() if line.strip()]
    if len(lines) > MOST_LINES:
        raise InputError(f"{len(lines):,} lines are too many here; give {MOST_LINES} at most.")
    on_earth = form.get(f"{name}-by") == EARTH
    found = []
    for number, line in enumerate(lines, 1):
        first, second = typed_pair(
            line, f"{what} (line {number})", "53.6012, -5.0034" if on_earth else "1012.5, 2044.1"
        )
        found.append(list(ground.on_course(float(first), float(second))) if on_earth else [first, second])
    return found


def click_plan(ground: SiteGround, number: int) -> ClickPlan | None:
    """Return the plan on which turning points are clicked, once a tee or the green has a place."""
    hole = ground.tables["hole"][hole_index(ground.tables, number)]
    tees = [
        tee for tee in ground.tables.get("tee", []) if tee.get("hole") == number and "x" in tee and "y" in tee
    ]
    places = {key: _metres(ground, hole.get(key, [])) for key in ("turning_points", "fairway")}
    at = _metres(ground, [(tee["x"], tee["y"]) for tee in tees])
    green = _metres(ground, [hole["green"]] if "green" in hole else [])
    reach = np.array([*at, *green, *places["turning_points"], *places["fairway"]])
    if len(at) + len(green) == 0:
        return None
    reach = np.vstack([reach.min(axis=0) - ROOM_M, reach.max(axis=0) + ROOM_M])
    wide = fit_sheet(reach, 0.0, PLAN_WIDTH, PLAN_HEIGHT, PLAN_MARGIN)
    needed = float(np.ptp(reach[:, 0])) * wide.px_per_m + 2 * PLAN_MARGIN
    sheet = fit_sheet(reach, 0.0, min(max(needed, LEAST_WIDTH), PLAN_WIDTH), PLAN_HEIGHT, PLAN_MARGIN)
    spots = [
        DrawnSpot("tee", str(tee.get("name", "")), (place := sheet.spot(*xy)), place)
        for tee, xy in zip(tees, at, strict=True)
    ]
    spots += [DrawnSpot("green", str(number), (place := sheet.spot(*xy)), place) for xy in green]
    room = LabelRoom(sheet.width, sheet.height, [spot.at for spot in spots])
    spots = [
        spot
        if spot.kind == "green"
        else replace(spot, label=room.set_beside(spot.name, spot.at, NAME_AWAY_PX))
        for spot in spots
    ]
    return ClickPlan(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, 1.0, ground.reading.site.units.ground),
        centre=sheet.centre,
        px_per_m=sheet.px_per_m,
        metres_per_unit=float(ground.factor),
        spots=tuple(spots),
        fairway=svg_path(sheet.place(np.array(places["fairway"]))) + "Z" if places["fairway"] else "",
        tees=tuple(sheet.spot(*xy) for xy in at),
        green=sheet.spot(*green[0]) if green else None,
    )


def _metres(ground: SiteGround, pairs: Any) -> list[tuple[float, float]]:
    return [(ground.metres(pair[0]), ground.metres(pair[1])) for pair in pairs]
