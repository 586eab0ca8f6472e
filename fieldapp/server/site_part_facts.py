"""The facts, units and spot levels of a site being made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast, get_args

from fieldapp.errors import InputError
from fieldapp.formats.site_draft import Tables, has_coordinates, read_tables, tables_of
from fieldapp.formats.site_folder import site_text
from fieldapp.model import Units
from fieldapp.model.units import CoordinateUnit, GroundUnit, YardageUnit
from fieldapp.server.site_edit_contexts import Choice, Fault, Field, FieldRow
from fieldapp.server.site_typing import SiteGround, collect, pair_words, typed_number

Form = Mapping[str, str]
LONGEST_LEVELS = 5_000
YARDAGE = (Choice("yard", "yards"), Choice("metre", "metres"))
GROUND = (Choice("metre", "metres"), Choice("foot", "feet"))
COORDINATES = (
    Choice("metre", "metres"),
    Choice("foot", "feet"),
    Choice("us-survey-foot", "US survey feet"),
    Choice("grid", "the unit of the country's grid"),
)


def facts_fields(ground: SiteGround) -> tuple[FieldRow, ...]:
    """Return the form of name, note and units."""
    tables, units = ground.tables, ground.tables.get("units", {})
    return (
        FieldRow(
            "The site",
            (
                Field("name", "name", str(tables.get("name", "")), is_wide=True),
                Field(
                    "note", "note, for everybody to read", str(tables.get("note", "")), "area", is_wide=True
                ),
            ),
        ),
        FieldRow(
            "Units",
            (
                Field("yardage", "distances to a tee in", units.get("yardage", "yard"), "select", YARDAGE),
                Field("ground", "lengths on the ground in", units.get("ground", "metre"), "select", GROUND),
                Field(
                    "coordinates",
                    "x and y in",
                    units.get("coordinates", "metre"),
                    "select",
                    COORDINATES,
                ),
            ),
        ),
    )


def read_facts(ground: SiteGround, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the name, note and units typed. A new unit of coordinates rewrites what has some."""
    faults: list[Fault] = []
    name, note = " ".join(form.get("name", "").split()), form.get("note", "").replace("\r\n", "\n").strip()
    if not name:
        faults.append(Fault("name", "The site has no name; type one, such as Great Bank."))
    kinds = {
        "yardage": get_args(YardageUnit),
        "ground": get_args(GroundUnit),
        "coordinates": get_args(CoordinateUnit),
    }
    units = {key: form.get(key, "") for key in kinds}
    for key, known in kinds.items():
        if units[key] not in known:
            faults.append(Fault(key, f"'{units[key][:40]}' is no unit for this; choose one of the list."))
    tables = {**ground.tables, "name": name, "note": note, "units": units}
    if not note:
        del tables["note"]
    before = ground.reading.site.units.coordinates
    if not faults and units["coordinates"] != before and has_coordinates(ground.tables):
        rewritten = collect(faults, "coordinates", _rewritten, ground, tables)
        return rewritten or tables, faults
    return tables, faults


def _rewritten(ground: SiteGround, tables: Tables) -> Tables:
    """Return the tables with every coordinate in another unit; raises InputError where not all of them can be read."""
    units = tables["units"]
    whole = {**tables, "units": ground.tables.get("units", {})}
    reading = read_tables(whole)
    if reading.findings.mistakes:
        raise InputError(
            "The unit of x and y can be changed only while nothing has an x and y, or once nothing is missing any "
            "more; finish "
            "the site in the old unit first."
        )
    chosen = Units(
        cast(YardageUnit, units["yardage"]),
        cast(GroundUnit, units["ground"]),
        cast(CoordinateUnit, units["coordinates"]),
    )
    return tables_of(site_text(replace(reading.site, units=chosen)))


def levels_fields(ground: SiteGround) -> tuple[FieldRow, ...]:
    """Return the form of the spot levels."""
    rows = ground.tables.get("spot_levels", [])
    typed = "\n".join(pair_words(row) for row in rows) if isinstance(rows, list) else ""
    lead = (
        "Levels of the ground, one a line: x, y, level, in the unit of x and y. They may be left out; sight from "
        "a tee needs them."
    )
    return (FieldRow("Spot levels", (Field("levels", "x, y, level", typed, "area", is_wide=True),), lead),)


def read_levels(ground: SiteGround, form: Form) -> tuple[Tables, list[Fault]]:
    """Return the tables with the spot levels typed."""
    faults: list[Fault] = []
    lines = [line for line in form.get("levels", "").splitlines() if line.strip()]
    if len(lines) > LONGEST_LEVELS:
        return ground.tables, [
            Fault(
                "levels",
                f"{len(lines):,} levels are too many for a page; load them from a file with the site's folder.",
            )
        ]
    rows = []
    for number, line in enumerate(lines, 1):
        parts = {str(at): part for at, part in enumerate(line.replace(",", " ").split())}
        triple = collect(faults, "levels", _triple, parts, number, line)
        if triple:
            rows.append(triple)
    tables = {key: value for key, value in ground.tables.items() if key != "spot_levels"}
    return tables | ({"spot_levels": rows} if rows else {}), faults[:1]


def _triple(parts: dict[str, str], number: int, line: str) -> list[Any]:
    if len(parts) != 3:
        raise InputError(
            f"Line {number}, '{line[:40]}', is not x, y and level; write three numbers such as 1012.5, 2044.1, 13.20."
        )
    return [typed_number(parts, str(at), f"line {number}") for at in range(3)]
