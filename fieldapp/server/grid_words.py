"""What a site's course grid is, in words."""

from __future__ import annotations

from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import FittedGrid, LocalGrid
from fieldapp.model.units import GroundUnit
from fieldapp.server.tape_words import TapeWords


def grid_words(grid: CourseGrid, unit: GroundUnit) -> str:
    """Say how the course grid is tied to the earth."""
    definition = grid.definition
    if isinstance(definition, LocalGrid):
        return f"the course's own, y toward {definition.north_bearing_deg:.2f}° true"
    if isinstance(definition, FittedGrid):
        return _fit_words(grid, unit)
    return definition.crs


def _fit_words(grid: CourseGrid, unit: GroundUnit) -> str:
    if grid.fit is None:
        return "fitted to pegs"
    return f"fitted to {len(grid.fit.peg_ids)} pegs, {TapeWords(unit).error(grid.fit.rms_m)} root mean square"
