"""A projected grid: a published coordinate system, in metres, x east and y north."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError

from fieldapp.errors import GridError
from fieldapp.geodesy.course_grid import WORTH_A_NOTE_M, AreaOfUse, CourseGrid, check_ground_height
from fieldapp.geodesy.datum_step import DatumStep, check_epoch, check_step, datum_step
from fieldapp.model import Peg, ProjectedGrid

Floats = NDArray[np.float64]


def build_projected(definition: ProjectedGrid, pegs: Sequence[Peg] = ()) -> CourseGrid:
    """Build a projected grid; the pegs only say where the site lies. Raises GridError or GridFileMissing.

    PROJ's two-dimensional operation takes every position at height 0. Where its datum step turns (28992,
    2056, 27700) that leaves out up to 1.6 mm in 60 m of height, nearly the same for every point, beside an
    accuracy of a metre.
    """
    check_ground_height(definition.ground_height_m)
    gnss, crs = _gnss_crs(definition.gnss_crs), _projected_crs(definition.crs)
    transformer = _transformer(gnss, crs)
    matrix = _axes(definition.crs, crs)
    place = _site_place(pegs, transformer, matrix)
    spot = place or _middle_of_system(crs, transformer)
    step = datum_step(gnss, crs, transformer, spot, exact_place=place is not None)
    check_step(definition, step)
    check_epoch(definition, gnss, transformer, spot)
    return CourseGrid(
        definition=definition,
        ground_height_m=definition.ground_height_m,
        transformer=transformer,
        matrix=matrix,
        shift=np.zeros(2),
        accuracy_m=step.accuracy_m,
        apart_m=_apart_m(gnss, step),
        notes=_notes(definition, gnss, step, matrix),
        metres_per_unit=float(np.max(np.abs(matrix))),
        area=_area(crs),
        epoch=definition.epoch,
    )


@lru_cache(maxsize=64)
def check_step_at(definition: ProjectedGrid, lonlat: tuple[float, float]) -> None:
    """Raise GridFileMissing or GridError where PROJ's operation at this very place is not good enough."""
    gnss, crs = _gnss_crs(definition.gnss_crs), _projected_crs(definition.crs)
    check_step(definition, datum_step(gnss, crs, _transformer(gnss, crs), lonlat, exact_place=True))


def _transformer(gnss: CRS, crs: CRS) -> Transformer:
    try:
        return Transformer.from_crs(gnss, crs, always_xy=True)
    except ProjError as error:
        raise GridError(
            f"PROJ knows no way from '{gnss.name}' to '{crs.name}'; check the grid's crs."
        ) from error


def _read_crs(given: str, key: str) -> CRS:
    try:
        return CRS.from_user_input(given)
    except CRSError as error:
        raise GridError(
            f"There is no coordinate system '{given}' ({key} of the course grid); give an EPSG code such as "
            "'EPSG:3006' or a PROJ string."
        ) from error


def _gnss_crs(given: str) -> CRS:
    gnss = _read_crs(given, "gnss_crs")
    if not gnss.is_geographic:
        raise GridError(f"gnss_crs '{given}' is not in latitude and longitude; give a geographic system.")
    return gnss


def _projected_crs(given: str) -> CRS:
    crs = _read_crs(given, "crs")
    if crs.is_compound:
        crs = crs.sub_crs_list[0]
    if not crs.is_projected:
        raise GridError(
            f"The coordinate system '{given}' ({crs.name}) is not a projected one, so it has no metres or "
            "feet to draw in; give a projected system such as 'EPSG:3006'."
        )
    return crs


def _axes(given: str, crs: CRS) -> Floats:
    """Return the matrix `(2, 2)` from PROJ's two numbers to course metres, x east and y north.

    PROJ swaps north, east into east, north by itself and leaves every other order alone.
    """
    axes = crs.axis_info
    if [axis.direction for axis in axes] == ["north", "east"]:
        axes = axes[::-1]
    signs = {"east": (0, 1), "west": (0, -1), "north": (1, 1), "south": (1, -1)}
    matrix = np.zeros((2, 2))
    for column, axis in enumerate(axes):
        row, sign = signs.get(axis.direction, (0, 0))
        matrix[row, column] = sign * axis.unit_conversion_factor
    if np.linalg.det(matrix) == 0:
        raise GridError(
            f"The axes of '{given}' ({crs.name}) do not run east and north, so it cannot carry a course "
            "grid; choose another projected system."
        )
    return matrix


def _site_place(pegs: Sequence[Peg], transformer: Transformer, matrix: Floats) -> tuple[float, float] | None:
    """Return lon, lat of the first peg, or None without one that has a position."""
    if not pegs:
        return None
    x, y = np.linalg.inv(matrix) @ (pegs[0].x, pegs[0].y)
    lon, lat = transformer.transform(x, y, direction="INVERSE")
    return (float(lon), float(lat)) if np.isfinite([lon, lat]).all() else None


def _middle_of_system(crs: CRS, transformer: Transformer) -> tuple[float, float]:
    area = _area(crs)
    if area is None:
        lon, lat = transformer.transform(0.0, 0.0, direction="INVERSE")
        return float(lon), float(lat)
    west, south, east, north = area.bounds_deg
    lon = west + ((east - west) % 360) / 2
    return (lon + 180) % 360 - 180, (south + north) / 2


def _area(crs: CRS) -> AreaOfUse | None:
    area = crs.area_of_use
    return None if area is None else AreaOfUse(area.name, (area.west, area.south, area.east, area.north))


def _notes(definition: ProjectedGrid, gnss: CRS, step: DatumStep, matrix: Floats) -> tuple[str, ...]:
    notes = []
    apart_m = _apart_m(gnss, step)
    check = "stand on a control peg to see by how much before anything is set out"
    if step.missing_files:
        notes.append(
            f"The grid file {', '.join(step.missing_files)} is not on this machine, so every position may be "
            f"wrong by about {step.accuracy_m:g} m, nearly the same for every point: {check}."
        )
    elif step.accuracy_m is None:
        notes.append(
            "Nobody has published how far GNSS positions and this grid differ; it is the same for every "
            f"point: {check}."
        )
    elif apart_m is not None and apart_m >= WORTH_A_NOTE_M:
        notes.append(
            f"Uncorrected GNSS positions and this grid may differ by about {apart_m:.1f} m, the same for "
            f"every point: {check}."
        )
    if np.min(matrix) < 0:
        notes.append(
            f"{definition.crs} counts to the west and south; course coordinates here run to the east (x) and "
            "north (y), so its numbers carry the opposite sign."
        )
    return tuple(notes)


def _apart_m(gnss: CRS, step: DatumStep) -> float | None:
    """Return how far the receiver's frame and the grid's may lie apart, as published; None where nobody says."""
    if step.missing_files or step.accuracy_m is None:
        return None
    return step.accuracy_m or _ensemble_accuracy_m(gnss)


def _ensemble_accuracy_m(gnss: CRS) -> float:
    """Return how far the frames of a datum ensemble lie apart, as published; 0 for a single datum.

    Where no datum step is taken PROJ calls its operation exact, which hides this.
    """
    ensemble = gnss.to_json_dict().get("datum_ensemble", {})
    return float(ensemble.get("accuracy", 0.0))
