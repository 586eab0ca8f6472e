"""Whether pegs that have both course coordinates and a GNSS position lie in one place by both."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from fieldapp.errors import PositionError
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import FittedGrid, Peg


def away_m(grid: CourseGrid, peg: Peg, lat_deg: float, lon_deg: float) -> float:
    """Return how far a position lies from a peg's course coordinates, course metres; infinite off the grid."""
    try:
        apart = grid.to_course((lon_deg, lat_deg)) - (peg.x, peg.y)
    except PositionError:
        return float("inf")
    return float(np.hypot(*apart))


def peg_notes(grid: CourseGrid, pegs: Iterable[Peg], tolerance_m: float) -> tuple[str, ...]:
    """Return a sentence for each peg whose two places are farther apart than the site can bear.

    That is twice the site's tolerance, or the published error of the grid where that is more. The pegs of a fitted
    grid are judged by the fit.
    """
    if isinstance(grid.definition, FittedGrid):
        return ()
    bearable_m = max(2 * tolerance_m, grid.accuracy_m or 0.0)
    found = [
        (peg, away_m(grid, peg, peg.position.lat_deg, peg.position.lon_deg))
        for peg in pegs
        if peg.position is not None
    ]
    return tuple(
        f"By its GNSS position peg '{peg.id}' lies {apart:.2f} m from its course coordinates: find out which is right "
        "before anything is checked against it."
        for peg, apart in found
        if apart > bearable_m
    )
