"""The yardage table of a hole: of a site as it stands in the store, or of one that was only read."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.formats.yardage_table import YardageTable
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Hole, Site
from fieldapp.outline.laid_out import LaidOutBunker, hole_scale
from fieldapp.play.hole_yardages import AimLine, hole_yardages
from fieldapp.workflow.sites import StandingSite, laid_out


def hole_table(
    site: Site, grid: CourseGrid, hole_number: int, aim: AimLine | None = None, allowance_m: float = 0.0
) -> YardageTable:
    """Return what every bunker of a hole measures from every tee; lengths are ground metres.

    Raises NotFoundError, OutlineError.
    """
    hole = site.hole(hole_number)
    bunkers = [laid_out(site, grid, bunker) for bunker in site.bunkers if bunker.hole == hole.number]
    return _table(site, bunkers, hole, hole_scale(grid, hole), aim, allowance_m)


def standing_table(
    standing: StandingSite, hole: Hole, aim: AimLine | None = None, allowance_m: float = 0.0
) -> YardageTable:
    """Return the same of a site that stands, whose bunkers are laid out once. Raises OutlineError."""
    scale = standing.ground_scale(hole.number)
    return _table(standing.site, standing.bunkers, hole, scale, aim, allowance_m)


def _table(
    site: Site,
    bunkers: Sequence[LaidOutBunker],
    hole: Hole,
    ground_scale: float,
    aim: AimLine | None,
    allowance_m: float,
) -> YardageTable:
    rows = hole_yardages(site, bunkers, hole.number, ground_scale, aim)
    return YardageTable(site, hole, rows, aim, allowance_m)
