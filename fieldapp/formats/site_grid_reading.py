"""The units and the course grid of a site file."""

from __future__ import annotations

from fractions import Fraction
from typing import cast, get_args

from fieldapp.errors import GridError, PositionError
from fieldapp.formats.lengths import METRE, METRES_PER_COORDINATE
from fieldapp.formats.site_table import Table
from fieldapp.geodesy.distance import check_position
from fieldapp.geodesy.grid import build_grid
from fieldapp.model import FittedGrid, GridDefinition, LocalGrid, ProjectedGrid, Units
from fieldapp.model.units import CoordinateUnit, GroundUnit, YardageUnit

ANY_ERROR_M = 1e9


def read_units(top: Table) -> Units:
    """Read the units people of the site work in."""
    table = top.table("units", "units")
    if table is None:
        return Units()
    units = Units(
        yardage=cast(YardageUnit, table.choice("yardage", get_args(YardageUnit), "yard")),
        ground=cast(GroundUnit, table.choice("ground", get_args(GroundUnit), "metre")),
        coordinates=cast(CoordinateUnit, table.choice("coordinates", get_args(CoordinateUnit), "metre")),
    )
    table.end()
    return units


def read_grid(top: Table, units: Units) -> GridDefinition | None:
    """Read how the course grid is tied to the earth; None where that cannot be told."""
    table = top.table("grid", "grid")
    if table is None:
        if top.raw("grid") is None:
            remedy = 'add [grid] with kind = "local", "projected" or "fitted"'
            top.miss("grid", "the table 'grid' is missing", remedy)
        return None
    if not table.has("kind"):
        table.fail(None, "the key 'kind' is missing", 'add kind = "local", "projected" or "fitted"')
        return None
    table.factor = METRES_PER_COORDINATE.get(units.coordinates, METRE)
    kind = table.choice("kind", ("local", "projected", "fitted"))
    if table.failed:
        return None
    readers = {"local": _local_grid, "projected": _projected_grid, "fitted": _fitted_grid}
    grid = readers[kind](table)
    table.end()
    return None if table.failed else grid


def _local_grid(table: Table) -> GridDefinition:
    grid = LocalGrid(
        origin_lat_deg=table.number("origin_lat_deg"),
        origin_lon_deg=table.number("origin_lon_deg"),
        origin_height_m=table.length("origin_height", 0.0),
        origin_x=table.coordinate("origin_x", 0.0),
        origin_y=table.coordinate("origin_y", 0.0),
        north_bearing_deg=table.number("north_bearing_deg", 0.0, -360.0, 360.0),
    )
    note_position(table, "origin_lat_deg", grid.origin_lat_deg, grid.origin_lon_deg, "the origin")
    return grid


def _projected_grid(table: Table) -> GridDefinition:
    return ProjectedGrid(
        crs=table.text("crs"),
        ground_height_m=table.length("ground_height", 0.0),
        gnss_crs=table.text("gnss_crs", "EPSG:4326"),
        epoch=table.optional_number("epoch"),
        accept_error_m=table.optional_length("accept_error", low=0.0),
    )


def _fitted_grid(table: Table) -> GridDefinition:
    return FittedGrid(
        scale=table.choice("scale", ("fixed", "free"), "fixed"),
        ground_height_m=table.length("ground_height", 0.0),
        max_residual_m=table.length("max_residual", 0.10, 0.001, 10.0),
    )


def metres_per_coordinate(top: Table, units: Units, grid: GridDefinition | None) -> Fraction:
    """Return metres per unit of the course coordinates; notes a unit that the grid does not have."""
    if isinstance(grid, LocalGrid | FittedGrid) and units.coordinates == "grid":
        top.findings.add(
            ("units", "coordinates"),
            "'grid' means the unit of a projected system, and this course grid is none",
            "write 'metre', 'foot' or 'us-survey-foot'",
        )
    return coordinate_factor(units, grid)


def coordinate_factor(units: Units, grid: GridDefinition | None) -> Fraction:
    """Return metres per unit of the course coordinates.

    1 where the unit is that of a projected system which cannot be used: the check of the grid tells why.
    """
    if units.coordinates != "grid":
        return METRES_PER_COORDINATE[units.coordinates]
    if not isinstance(grid, ProjectedGrid):
        return METRE
    any_error = ProjectedGrid(grid.crs, grid.ground_height_m, grid.gnss_crs, grid.epoch, ANY_ERROR_M)
    try:
        return Fraction(build_grid(any_error).metres_per_unit)
    except GridError:
        return METRE


def note_position(table: Table, key: str, lat_deg: float, lon_deg: float, of: str) -> None:
    """Note a latitude and longitude that cannot be right."""
    try:
        check_position(lat_deg, lon_deg, of)
    except PositionError as error:
        table.failed = True
        table.findings.add_refusal((*table.path, key), error, f"correct {key} and the one after it")
