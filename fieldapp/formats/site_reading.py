"""The text of a site file to a site: every mistake that can be found without computing is collected."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar, cast, get_args

import shapely

from fieldapp.errors import Mistake, SiteFolderError
from fieldapp.formats.level_files import levels_of, read_levels_file
from fieldapp.formats.named_files import Files, file_named, note_file_faults
from fieldapp.formats.outline_files import Fault, points_of
from fieldapp.formats.site_bunkers import note_faults, read_bunker, read_points
from fieldapp.formats.site_grid_reading import metres_per_coordinate, note_position, read_grid, read_units
from fieldapp.formats.site_keep_clear import read_keep_clear
from fieldapp.formats.site_mistakes import SITE_FILE, Findings, shown
from fieldapp.formats.site_references import check_references
from fieldapp.formats.site_table import Table
from fieldapp.formats.toml_lines import lines_of
from fieldapp.model import (
    FittedGrid,
    GnssPosition,
    GridDefinition,
    Hole,
    LocalGrid,
    Outline,
    Peg,
    SetOutRules,
    Site,
    SpotLevel,
    Tee,
)
from fieldapp.model.site import PegKind

FORMAT = "fieldapp-site"
VERSION = 1
LEAST_CORNERS = 3
FARTHEST_WITHIN_M = 100.0
_STAND_IN = LocalGrid(0.0, 0.0)
T = TypeVar("T")
_PLAIN_REASONS = {
    "Cannot overwrite a value": "the key stands twice",
    "Illegal character '\\n'": "a text is not closed on its line",
    "Invalid value": "the value is not one, or a bracket before it is not closed",
}


@dataclass(frozen=True)
class Reading:
    """A site as far as it could be read, and what was wrong.

    What failed is left out of `site`; `outlines` has every outline that could be read, also of such bunkers.
    `grid` is None where it, or a peg that carries it, could not be read; `factor` is metres per coordinate.
    """

    site: Site
    findings: Findings
    outlines: tuple[Outline, ...]
    grid: GridDefinition | None
    factor: Fraction


def read_site(text: str, files: Files) -> Reading:
    """Read a site; `files` holds what the text names. Raises SiteFolderError where it is no site file."""
    document = _document(text)
    findings = Findings(document, lines_of(text))
    top = Table(findings, document)
    _check_kind(top)
    units = read_units(top)
    grid = read_grid(top, units)
    top.factor = metres_per_coordinate(top, units, grid)
    bunkers = [(table, read_bunker(table, files)) for table in top.tables("bunker", "bunker")]
    pegs = top.tables("peg", "peg")
    site = Site(
        id=top.id(),
        name=top.text("name"),
        note=top.text("note", ""),
        units=units,
        rules=_rules(top),
        grid=grid or _STAND_IN,
        holes=_each(top, "hole", _hole),
        tees=_each(top, "tee", _tee),
        pegs=_sound([(table, _peg(table)) for table in pegs]),
        bunkers=_sound(bunkers),
        spot_levels=_spot_levels(top, files),
        keep_clear=_each(top, "keep_clear", read_keep_clear),
    )
    top.end()
    check_references(findings)
    if isinstance(grid, FittedGrid) and len(site.pegs) < len(pegs):
        grid = None
    outlines = tuple(outline for _, bunker in bunkers for outline in bunker.outlines)
    return Reading(site, findings, outlines, grid, top.factor)


def _document(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        found = re.fullmatch(
            r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", str(error), re.DOTALL
        )
        why, line, column = found.groups() if found else (str(error), None, None)
        why = _PLAIN_REASONS.get(why, why)
        where = f"{SITE_FILE} line {line or text.count(chr(10)) + 1}"
        what = f"this is not TOML ({why[:1].lower()}{why[1:]}{f', column {column}' if column else ''})"
        remedy = 'write key = value with texts in "quotes" and close every bracket; what follows was not read'
        raise SiteFolderError((Mistake(where, what, remedy),)) from error
    except (ValueError, RecursionError) as error:
        mistake = Mistake(SITE_FILE, "the file holds a number or a nesting beyond all measure", "take it out")
        raise SiteFolderError((mistake,)) from error


def _check_kind(top: Table) -> None:
    """Note a missing format; stop at a document of another kind or version, whose keys may differ."""
    kind, version = top.raw("format"), top.raw("version")
    if kind is None or version is None:
        missing = " and ".join(
            key for key, value in (("format", kind), ("version", version)) if value is None
        )
        top.fail(
            None, f"{missing} is missing", f'begin the file with format = "{FORMAT}" and version = {VERSION}'
        )
    if kind not in (None, FORMAT):
        top.fail("format", f"the format is {shown(kind)}", f'a site file has format = "{FORMAT}"')
        top.findings.raise_if_any()
    if version is not None and (version is True or version != VERSION):
        top.fail("version", f"the version is {shown(version)}", f"this program reads version {VERSION} only")
        top.findings.raise_if_any()


def _rules(top: Table) -> SetOutRules:
    table = top.table("set_out", "set_out")
    usual = SetOutRules()
    if table is None:
        return usual
    rules = SetOutRules(
        tolerance_m=table.length("tolerance", usual.tolerance_m, 0.001, 10.0),
        spacing_m=table.length("spacing", usual.spacing_m, 0.01, 100.0),
        sagitta_m=table.length("sagitta", usual.sagitta_m, 0.0001, 10.0),
        tape_length_m=table.length("tape_length", usual.tape_length_m, 5.0, 100.0),
        tape_error_m=table.length("tape_error", usual.tape_error_m, 0.001, 0.5),
    )
    table.end()
    return usual if table.failed else rules


def _each(top: Table, kind: str, read: Callable[[Table], T]) -> tuple[T, ...]:
    """Read every table of a kind; those with a mistake in them are left out."""
    return _sound([(table, read(table)) for table in top.tables(kind, kind)])


def _sound(things: list[tuple[Table, T]]) -> tuple[T, ...]:
    for table, thing in things:
        table.findings.locate(thing, table.path)
    return tuple(thing for table, thing in things if not table.failed)


def _hole(table: Table) -> Hole:
    x, y = _place(table, "green")
    hole = Hole(
        number=table.whole("number"),
        name=table.text("name", ""),
        green_x=x,
        green_y=y,
        turning_points=tuple((point.x, point.y) for point in read_points(table, "turning_points")),
        green_level_m=table.optional_length("green_level"),
        fairway=_fairway(table),
    )
    table.end()
    return hole


def _fairway(table: Table) -> tuple[tuple[float, float], ...]:
    given = table.raw("fairway")
    corners = tuple((point.x, point.y) for point in read_points(table, "fairway"))
    if isinstance(given, list) and len(corners) < len(given):
        return ()
    if corners[:1] == corners[-1:] and len(corners) > 1:
        corners = corners[:-1]
    if corners and len(corners) < LEAST_CORNERS:
        table.fail(
            "fairway",
            f"the fairway has {len(corners)} corners",
            "give the corners of its edge, three at least",
        )
    elif corners and not shapely.Polygon(corners).is_valid:
        table.fail(
            "fairway", "the edge of the fairway crosses itself", "give its corners in order, all round it"
        )
    return corners


def _place(table: Table, key: str) -> tuple[float, float]:
    value = table.raw(key)
    points, faults = points_of([value], table.factor)
    if value is None:
        table.fail(None, f"the key '{key}' is missing", f"add a line such as {key} = [0.0, 0.0]")
    elif faults or points[0].role != "plain":
        fault = faults[0] if faults else Fault("the point has 3 values", "write it as [x, y]")
        table.fail(key, fault.what, fault.remedy)
    return (points[0].x, points[0].y) if points else (0.0, 0.0)


def _tee(table: Table) -> Tee:
    tee = Tee(
        id=table.id(),
        hole=table.whole("hole"),
        name=table.text("name"),
        x=table.coordinate("x"),
        y=table.coordinate("y"),
        level_m=table.optional_length("level"),
        within_m=table.optional_length("within", low=0.0, high=FARTHEST_WITHIN_M),
    )
    table.end()
    return tee


def _peg(table: Table) -> Peg:
    peg = Peg(
        id=table.id(),
        kind=cast(PegKind, table.choice("kind", get_args(PegKind))),
        x=table.coordinate("x"),
        y=table.coordinate("y"),
        level_m=table.optional_length("level"),
        position=_position(table),
        note=table.text("note", ""),
        within_m=table.optional_length("within", low=0.0, high=FARTHEST_WITHIN_M),
    )
    table.end()
    return peg


def _position(table: Table) -> GnssPosition | None:
    lat, lon = table.optional_number("lat_deg"), table.optional_number("lon_deg")
    height_m = table.optional_length("height")
    if lat is None or lon is None:
        if (lat, lon, height_m) != (None, None, None):
            table.fail(None, "the GNSS position is incomplete", "give both lat_deg and lon_deg")
        return None
    note_position(table, "lat_deg", lat, lon, "the GNSS position")
    return GnssPosition(lat, lon, height_m)


def _spot_levels(top: Table, files: Files) -> tuple[SpotLevel, ...]:
    given = top.raw("spot_levels")
    if isinstance(given, str):
        return _levels_in_file(top, given, files)
    if given is not None and not isinstance(given, list):
        top.fail("spot_levels", f"the value is {shown(given)}", 'write spot_levels = "levels.csv"')
        return ()
    levels, faults = levels_of(given or [], top.factor)
    note_faults(top, "spot_levels", faults)
    for index, level in levels:
        top.findings.locate(level, (*top.path, "spot_levels", index))
    return tuple(level for _, level in levels)


def _levels_in_file(top: Table, name: str, files: Files) -> tuple[SpotLevel, ...]:
    content = file_named(top, "spot_levels", name, (".csv",), files)
    if content is None:
        return ()
    levels, faults = read_levels_file(content, top.factor)
    note_file_faults(top, "spot_levels", name, faults)
    for line, level in levels:
        top.findings.locate(level, (*top.path, "spot_levels"), f"{name} line {line}")
    return tuple(level for _, level in levels)
