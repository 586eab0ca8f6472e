"""A fitted grid: known by pegs that have both course coordinates and GNSS positions."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer

from fieldapp.errors import FitError
from fieldapp.geodesy.course_grid import CourseGrid
from fieldapp.geodesy.distance import check_position, geodesic
from fieldapp.geodesy.fit import FitReport, SimilarityFit, fit_similarity
from fieldapp.geodesy.local import low_distortion_plane
from fieldapp.model import FittedGrid, Peg
from fieldapp.model.units import METRES_PER_FOOT, METRES_PER_YARD

Floats = NDArray[np.float64]
LEAST_SPREAD_M = 20.0
MOST_SCALE_ERROR_PPM = 1000.0
WIDEST_M = 40_000.0
_UNITS = {"yards": METRES_PER_YARD, "feet": METRES_PER_FOOT}


def build_fitted(definition: FittedGrid, pegs: Sequence[Peg]) -> CourseGrid:
    """Build a grid fitted to the pegs that have a position; raises FitError or PositionError in words."""
    if definition.scale not in ("fixed", "free"):
        raise FitError(f"The scale of the fit is '{definition.scale}'; write 'fixed' or 'free'.")
    known = [peg for peg in pegs if peg.position is not None]
    course, lonlat = _check_pegs(known)
    transformer, plane = _plane(lonlat, definition.ground_height_m)
    _check_spread(known, course, plane)
    fit = fit_similarity(plane, course, "free" if definition.scale == "free" else "fixed")
    _check_fit(definition, _report(known, course, fit), _hint(lonlat, plane, course))
    return CourseGrid(
        definition=definition,
        ground_height_m=definition.ground_height_m,
        transformer=transformer,
        matrix=fit.similarity.matrix,
        shift=fit.similarity.shift,
        notes=_notes(known, fit),
        fit=_report(known, course, fit),
        centre_xy=(float(course[:, 0].mean()), float(course[:, 1].mean())),
    )


def _check_pegs(pegs: Sequence[Peg]) -> tuple[Floats, Floats]:
    if len(pegs) < 2:
        have = f"only peg '{pegs[0].id}' has" if pegs else "no peg has"
        raise FitError(
            f"A fitted grid needs at least two pegs with course coordinates and a GNSS position, and {have} "
            "both; add lat_deg and lon_deg to more pegs."
        )
    positions = [peg.position for peg in pegs if peg.position is not None]
    for peg, position in zip(pegs, positions, strict=True):
        check_position(position.lat_deg, position.lon_deg, f"The position of peg '{peg.id}'")
        if not (np.isfinite(peg.x) and np.isfinite(peg.y)):
            raise FitError(f"Peg '{peg.id}' has an x or y that is not a number; correct it.")
    course = np.array([(peg.x, peg.y) for peg in pegs])
    return course, np.array([(position.lon_deg, position.lat_deg) for position in positions])


def _plane(lonlat: Floats, height_m: float) -> tuple[Transformer, Floats]:
    """Return the low-distortion plane about the middle of positions `(N, 2)`, and the positions in it."""
    turned = (lonlat - lonlat[0] + 180) % 360 - 180
    lon, lat = lonlat[0] + turned.mean(axis=0)
    transformer = low_distortion_plane(float(lat), float((lon + 180) % 360 - 180), height_m)
    return transformer, np.column_stack(transformer.transform(lonlat[:, 0], lonlat[:, 1]))


def _check_spread(pegs: Sequence[Peg], course: Floats, plane: Floats) -> None:
    lonlat = np.array([(peg.position.lon_deg, peg.position.lat_deg) for peg in pegs if peg.position])
    farthest = float(np.max(geodesic(lonlat[:1], lonlat).distance_m))
    if farthest > WIDEST_M or not np.isfinite(plane).all():
        far = pegs[int(np.argmax(geodesic(lonlat[:1], lonlat).distance_m))]
        raise FitError(
            f"By their GNSS positions pegs '{pegs[0].id}' and '{far.id}' are {farthest / 1000:,.0f} km "
            "apart; check both positions, and that latitude comes first."
        )
    longest = min(_longest_m(course), _longest_m(plane))
    if longest < LEAST_SPREAD_M:
        raise FitError(
            f"The pegs of the fit are at most {longest:.2f} m apart, too close together to carry a course "
            f"grid; use pegs at least {LEAST_SPREAD_M:.0f} m apart, better on opposite sides of the work."
        )


def _longest_m(points: Floats) -> float:
    apart = points[:, None, :] - points[None, :, :]
    return float(np.max(np.hypot(apart[..., 0], apart[..., 1])))


def _check_fit(definition: FittedGrid, report: FitReport, hint: str) -> None:
    if abs(report.scale - 1) * 1e6 > MOST_SCALE_ERROR_PPM:
        raise FitError(
            f"The pegs give a scale of {report.scale:.5f} course metres per ground metre, more than "
            f"{MOST_SCALE_ERROR_PPM:.0f} ppm from 1{hint}; check their coordinates and the unit."
        )
    worst_m = max(report.residual_lengths_m)
    if worst_m > definition.max_residual_m:
        raise FitError(
            f"The pegs contradict each other: with the best fit peg '{report.worst_peg_id}' is {worst_m:.2f} "
            f"m from where it should be, and {definition.max_residual_m:g} m is allowed{hint}; check that "
            "peg first, then the others."
        )


def _hint(lonlat: Floats, plane: Floats, course: Floats) -> str:
    """Return what the mistake looks like, where it is obvious; empty otherwise."""
    if _agree(plane, course):
        return ""
    if np.max(np.abs(lonlat[:, 0])) < 90 and _agree(_plane(lonlat[:, ::-1], 0.0)[1], course):
        return " (latitude and longitude of the pegs look swapped)"
    if len(plane) > 2 and _agree(plane, course[:, ::-1]):
        return " (the course coordinates look mirrored, as when x and y are swapped)"
    for unit, metres in _UNITS.items():
        if _agree(plane, course * metres):
            return f" (the course coordinates look like {unit})"
    return ""


def _agree(plane: Floats, course: Floats) -> bool:
    """Tell whether two figures are the same to 1 %, which is far off for a grid and near for a hint."""
    fit = fit_similarity(plane, course)
    return abs(fit.similarity.scale - 1) < 0.01 and fit.rms_m < 0.01 * _longest_m(course)


def _report(pegs: Sequence[Peg], course: Floats, fit: SimilarityFit) -> FitReport:
    middle = course.mean(axis=0)
    return FitReport(
        peg_ids=tuple(peg.id for peg in pegs),
        residuals_m=tuple((float(x), float(y)) for x, y in fit.residuals),
        rms_m=fit.rms_m,
        degrees_of_freedom=fit.degrees_of_freedom,
        scale=fit.similarity.scale,
        rotation_deg=fit.similarity.rotation_deg,
        standard_error_m=fit.standard_error_m,
        middle_xy=(float(middle[0]), float(middle[1])),
        spread_m2=float(np.sum((course - middle) ** 2)),
    )


def _notes(pegs: Sequence[Peg], fit: SimilarityFit) -> tuple[str, ...]:
    if fit.degrees_of_freedom == 0:
        return (
            "Two pegs with free scale fit exactly whatever their coordinates are, so nothing checks this "
            "grid: add a third peg or fix the scale.",
        )
    if len(pegs) == 2:
        return (
            "Only the distance between two pegs checks this grid: a third peg would show a mistake in "
            "direction.",
        )
    return ()
