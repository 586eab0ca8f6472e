"""Build a site's course grid, and check that the site lies where the grid is meant for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import GridError
from fieldapp.geodesy.course_grid import AreaOfUse, CourseGrid
from fieldapp.geodesy.distance import geodesic
from fieldapp.geodesy.fitted import build_fitted
from fieldapp.geodesy.local import build_local
from fieldapp.geodesy.projected import build_projected, check_step_at
from fieldapp.model import FittedGrid, GridDefinition, LocalGrid, Peg, ProjectedGrid

__all__ = ["AreaOfUse", "CourseGrid", "build_grid", "check_within_area"]

FARTHEST_OUTSIDE_M = 100_000.0
FARTHEST_FROM_CENTRE_M = 20_000.0
MOST_SCALE_ERROR = 0.01
MOST_UNEVEN_SCALE = 0.001


def build_grid(definition: GridDefinition, pegs: Sequence[Peg] = ()) -> CourseGrid:
    """Build the course grid of a definition; the pegs carry a fitted grid, and say where a projected one is
    used.

    Raises GridError, GridFileMissing, FitError or PositionError. Costs up to 0.2 s: build once and keep.
    """
    match definition:
        case LocalGrid():
            return build_local(definition)
        case FittedGrid():
            return build_fitted(definition, pegs)
        case ProjectedGrid():
            return build_projected(definition, pegs)


def check_within_area(grid: CourseGrid, xy: ArrayLike, where: str) -> None:
    """Raise GridError unless the place `(2,)`, named by `where`, lies where the grid is meant for.

    100 km beyond a system's area of use is let pass; a local or fitted grid reaches 20 km from its middle.
    Also raised where lengths in the grid are off by more than 1 %, or by 0.1 % between east and north, and as
    GridFileMissing where the operation that PROJ takes at this very place is not good enough.
    """
    place = np.asarray(xy, dtype=float).reshape(2)
    if not np.isfinite(place).all():
        raise GridError(f"{where} has a coordinate that is not a number; correct it.")
    if grid.centre_xy is not None:
        _check_near(place, np.array(grid.centre_xy), where)
        return
    _check_area(grid, place, where)
    _check_lengths(grid, place, where)
    if isinstance(grid.definition, ProjectedGrid):
        lon, lat = grid.to_gnss(place)
        check_step_at(grid.definition, (round(float(lon), 1), round(float(lat), 1)))


def _check_near(place: NDArray[np.float64], centre: NDArray[np.float64], where: str) -> None:
    away_m = float(np.hypot(*(place - centre)))
    if away_m > FARTHEST_FROM_CENTRE_M:
        raise GridError(
            f"{where} lies {away_m / 1000:,.0f} km from the middle of the course grid, which is meant for "
            f"{FARTHEST_FROM_CENTRE_M / 1000:.0f} km; check its coordinates and the grid's origin or pegs."
        )


def _check_area(grid: CourseGrid, place: NDArray[np.float64], where: str) -> None:
    if grid.area is None:
        return
    outside_m = _outside_m(grid, place, grid.area)
    if outside_m is not None and outside_m <= FARTHEST_OUTSIDE_M:
        return
    turned = _outside_m(grid, place[::-1], grid.area)
    swapped = turned is not None and turned < 1
    hint = "; x and y look swapped, x runs east" if swapped else ""
    how_far = (
        "where it has no position"
        if outside_m is None
        else f"{outside_m / 1000:,.0f} km from its area of use"
    )
    raise GridError(
        f"{where} does not fit the course grid: it lies {how_far} ({grid.area.name.rstrip('.')}){hint}; "
        "check the coordinates, their unit and the grid's crs."
    )


def _outside_m(grid: CourseGrid, place: NDArray[np.float64], area: AreaOfUse) -> float | None:
    """Return the distance from the area of use, 0 within it; None where the place has no position."""
    try:
        lon, lat = grid.to_gnss(place)
    except GridError:
        return None
    west, south, east, north = area.bounds_deg
    width = (east - west) % 360 or 360.0
    beyond = (lon - west) % 360
    near_lon = lon
    if beyond > width:
        near_lon = east if beyond - width < 360 - beyond else west
    near = ((near_lon + 180) % 360 - 180, np.clip(lat, south, north))
    return float(geodesic((lon, lat), near).distance_m)


def _check_lengths(grid: CourseGrid, place: NDArray[np.float64], where: str) -> None:
    _, spread = grid.spread_at(place)
    across, along = np.linalg.svd(spread, compute_uv=False)
    if max(abs(across - 1), abs(along - 1)) > MOST_SCALE_ERROR or across - along > MOST_UNEVEN_SCALE:
        raise GridError(
            f"{where}: there one metre of the course grid is {along:.3f} to {across:.3f} m on the earth, too far "
            "from true to set out by; choose a system made for this part of the world."
        )
