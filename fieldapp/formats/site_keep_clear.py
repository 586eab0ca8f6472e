"""The things to keep clear of in a site file."""

from __future__ import annotations

from typing import cast

import shapely

from fieldapp.formats.site_bunkers import read_points
from fieldapp.formats.site_table import Table
from fieldapp.model import KEEP_CLEAR_KINDS, KeepClear
from fieldapp.model.keep_clear import EXTENTS, LEAST_POINTS, Extent, KeepClearKind

FARTHEST_CLEARANCE_M = 100.0
Points = tuple[tuple[float, float], ...]


def read_keep_clear(table: Table) -> KeepClear:
    """Read one thing to keep clear of."""
    extent = cast(Extent, table.choice("extent", EXTENTS))
    thing = KeepClear(
        id=table.id(),
        kind=cast(KeepClearKind, table.choice("kind", KEEP_CLEAR_KINDS)),
        name=table.text("name", ""),
        extent=extent,
        points=_points(table, extent),
        clearance_m=table.length("clearance", low=0.0, high=FARTHEST_CLEARANCE_M),
        note=table.text("note", ""),
    )
    table.end()
    return thing


def _points(table: Table, extent: Extent) -> Points:
    given = table.raw("points")
    points = tuple((point.x, point.y) for point in read_points(table, "points"))
    if given is None:
        table.fail(None, "the key 'points' is missing", "add a line such as points = [[0.0, 0.0]]")
    if not isinstance(given, list) or len(points) < len(given):
        return points
    if extent == "area" and len(points) > 1 and points[0] == points[-1]:
        points = points[:-1]
    fault = _fault(extent, points)
    if fault:
        table.fail("points", *fault)
    return points


def _fault(extent: Extent, points: Points) -> tuple[str, str] | None:
    least = LEAST_POINTS[extent]
    if extent == "point" and len(points) != 1:
        return f"a point has {len(points)} places", 'give one place, or write extent = "line" or "area"'
    if len(set(points)) < least:
        return (
            f"the {extent} has {len(set(points))} different places of the {least} it needs",
            f"give {least} at least",
        )
    if extent == "area" and not shapely.Polygon(points).is_valid:
        return "the edge of the area crosses itself", "give its corners in order, all round it"
    return None
