"""The bunkers of a site file: place, plan and outlines."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, cast

from fieldapp.formats.named_files import Files, file_named, note_file_faults
from fieldapp.formats.outline_files import OUTLINE_ENDINGS, Fault, points_of, read_outline_file
from fieldapp.formats.site_mistakes import shown
from fieldapp.formats.site_table import Table
from fieldapp.model import (
    PART_NAMES,
    Bunker,
    ControlPoint,
    DrawnShape,
    Ellipse,
    Kidney,
    Outline,
    PartName,
    Placement,
    Plan,
    Shape,
)
from fieldapp.model.units import METRES_PER_YARD

CURVES = ("smooth", "straight")
LEAST_SIZE_M, MOST_SIZE_M = 0.01, 500.0
FARTHEST_M = 2_000.0
HIGHEST_M = 30.0


def read_bunker(table: Table, files: Files) -> Bunker:
    """Read one bunker; outlines with a mistake in them are left out."""
    outlines = [(inner, _outline(inner, files)) for inner in table.tables("outline", "bunker.outline")]
    if not outlines and not table.has("outline"):
        table.fail(None, "the bunker has no outline", "add a [[bunker.outline]] below it")
    for inner, outline in outlines:
        table.findings.locate(outline, inner.path)
    _check_outline_ids(table, [outline.id for _, outline in outlines])
    bunker = Bunker(
        id=table.id(),
        hole=table.whole("hole"),
        name=table.text("name"),
        revision=table.text("revision"),
        outlines=tuple(outline for inner, outline in outlines if not inner.failed),
        place=_place(table),
        plan=_plan(table),
        note=table.text("note", ""),
        floor_level_m=table.optional_length("floor_level"),
    )
    table.end()
    return bunker


def _check_outline_ids(table: Table, ids: list[str]) -> None:
    for index, outline_id in enumerate(ids):
        if outline_id in ids[:index]:
            table.findings.add(
                (*table.path, "outline", index, "id"),
                f"outline '{outline_id}' stands twice in this bunker",
                "give each outline an id of its own",
            )


def _place(table: Table) -> Placement | None:
    inner = table.table("place", "bunker.place")
    if inner is None:
        return None
    place = Placement(
        tee=inner.text("tee"),
        along_m=inner.length("along", low=-FARTHEST_M, high=FARTHEST_M),
        offset_m=inner.length("offset", low=-FARTHEST_M, high=FARTHEST_M),
        skew_deg=inner.number("skew_deg", 0.0, -360.0, 360.0),
    )
    inner.end()
    table.failed |= inner.failed
    return place


def _plan(table: Table) -> Plan | None:
    inner = table.table("plan", "bunker.plan")
    if inner is None:
        return None
    plan = Plan(
        tee=inner.text("tee"),
        reach_m=inner.optional_length("reach", low=0.0, high=FARTHEST_M),
        carry_m=inner.optional_length("carry", low=0.0, high=FARTHEST_M),
        along_m=inner.optional_length("along", low=-FARTHEST_M, high=FARTHEST_M),
        offset_m=inner.optional_length("offset", low=-FARTHEST_M, high=FARTHEST_M),
        tolerance_m=inner.length("tolerance", METRES_PER_YARD, 0.001, 100.0),
    )
    if plan.reach_m is not None and plan.carry_m is not None and plan.reach_m > plan.carry_m:
        inner.fail(
            None, "the reach is longer than the carry", "the reach ends where the sand begins: correct one"
        )
    inner.end()
    table.failed |= inner.failed
    return plan


def _outline(table: Table, files: Files) -> Outline:
    outline = Outline(
        id=table.id(),
        part=cast(PartName, table.choice("part", PART_NAMES)),
        shape=_shape(table, files),
        level_m=table.optional_length("level"),
        above_ground_m=table.optional_length("above_ground", low=-HIGHEST_M, high=HIGHEST_M),
    )
    if outline.level_m is not None and outline.above_ground_m is not None:
        table.fail(None, "the outline has a level and a height above the ground", "give one of the two")
    table.end()
    return outline


def _shape(table: Table, files: Files) -> Shape:
    given = [key for key in ("shape", "points", "file") if table.has(key)]
    if len(given) != 1:
        table.fail(
            None,
            f"the outline has {' and '.join(given) or 'neither shape, points nor file'}",
            "give it exactly one of shape, points and file",
        )
    if "shape" not in given:
        return _drawn(table, files)
    kind = table.choice("shape", ("ellipse", "kidney"))
    if kind == "ellipse" and not (table.failed and table.has("waist_m")):
        return Ellipse(_size(table, "length"), _size(table, "width"))
    waist_m = table.length("waist", low=0.0, high=MOST_SIZE_M)
    return Kidney(_size(table, "length"), _size(table, "width"), waist_m)


def _size(table: Table, name: str) -> float:
    return table.length(name, low=LEAST_SIZE_M, high=MOST_SIZE_M)


def _drawn(table: Table, files: Files) -> DrawnShape:
    curve = cast(Literal["straight", "smooth"], table.choice("curve", CURVES, "smooth"))
    closed = table.flag("closed", True)
    if not table.has("file"):
        return DrawnShape(tuple(read_points(table, "points")), curve, closed)
    points, is_closed = _points_in_file(table, files)
    if is_closed is not None and is_closed != closed and table.has("closed"):
        drawn = "closed" if is_closed else "open"
        table.fail(
            "closed", f"the file holds {drawn} line", f"take the key out or write {str(is_closed).lower()}"
        )
    return DrawnShape(points, curve, closed if is_closed is None else is_closed)


def _points_in_file(table: Table, files: Files) -> tuple[tuple[ControlPoint, ...], bool | None]:
    name = table.text("file")
    content = None if table.failed else file_named(table, "file", name, OUTLINE_ENDINGS, files)
    if content is None:
        return (), None
    found = read_outline_file(name, content, table.factor)
    note_file_faults(table, "file", name, found.faults)
    return found.points, found.closed


def read_points(table: Table, key: str) -> list[ControlPoint]:
    """Read a list of points; no points where the key is not there."""
    values = table.raw(key)
    if values is None:
        return []
    if not isinstance(values, list):
        table.fail(key, f"the value is {shown(values)}", f"write {key} = [[x, y], [x, y]]")
        return []
    points, faults = points_of(values, table.factor)
    note_faults(table, key, faults)
    return points


def note_faults(table: Table, key: str, faults: Iterable[Fault]) -> None:
    """Note what is wrong with the members of a list."""
    for fault in faults:
        table.failed = True
        table.findings.add((*table.path, key, fault.index or 0), fault.what, fault.remedy)
