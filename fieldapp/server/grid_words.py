"""What a site's course grid is, in words."""

from __future__ import annotations

from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import FittedGrid, LocalGrid


def grid_words(grid: CourseGrid) -> str:
    """Say how the course grid is tied to the earth."""
    definition = grid.definition
    if isinstance(definition, LocalGrid):
        return f"the course's own, y toward {definition.north_bearing_deg:.2f}° true"
    if isinstance(definition, FittedGrid):
        return _fit_words(grid)
    return definition.crs


def _fit_words(grid: CourseGrid) -> str:
    if grid.fit is None:
        return "fitted to pegs"
    return f"fitted to {len(grid.fit.peg_ids)} pegs, {grid.fit.rms_m * 1000:.0f} mm root mean square"
