"""The yardage table of a hole, from a site and its grid."""

from __future__ import annotations

from fieldapp.formats.yardage_table import YardageTable
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Site
from fieldapp.outline.laid_out import hole_scale, lay_out_bunker
from fieldapp.play.hole_yardages import AimLine, hole_yardages


def hole_table(
    site: Site, grid: CourseGrid, hole_number: int, aim: AimLine | None = None, allowance_m: float = 0.0
) -> YardageTable:
    """Return what every bunker of a hole measures from every tee; lengths are ground metres.

    Raises NotFoundError, OutlineError.
    """
    hole = site.hole(hole_number)
    scale = hole_scale(grid, hole)
    bunkers = [lay_out_bunker(site, bunker, scale) for bunker in site.bunkers if bunker.hole == hole.number]
    rows = hole_yardages(site, bunkers, hole.number, scale, aim)
    return YardageTable(site, hole, rows, aim, allowance_m)
