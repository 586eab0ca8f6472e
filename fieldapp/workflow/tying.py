"""Tie sheets and base lines: of a site as it stands in the store, or of one that was only read."""

from __future__ import annotations

from dataclasses import replace

from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.laid_out import hole_scale
from fieldapp.tape.bunker_points import (
    BunkerPoints,
    bunker_points,
    peg_called,
    pegs_of_bunker,
    site_square_unit_m,
    site_tape,
    tie_peg,
)
from fieldapp.tape.squared_bunker import SquaredBunker, squared_bunker
from fieldapp.tape.tied_bunker import TiedBunker, tied_bunker
from fieldapp.workflow.sites import StandingSite, laid_out


def ties_of_site(
    site: Site, grid: CourseGrid, bunker_id: str, tape_length_m: float | None = None
) -> TiedBunker:
    """Return the tie sheet of a bunker from the site's own pegs, with another tape where one is given.

    Raises NotFoundError.
    """
    tape = site_tape(site) if tape_length_m is None else replace(site_tape(site), length_m=tape_length_m)
    return tied_bunker(_read_points(site, grid, bunker_id), _own_pegs(site), tape)


def baseline_of_site(
    site: Site, grid: CourseGrid, bunker_id: str, start: str, end: str, every_m: float | None = None
) -> SquaredBunker:
    """Return a bunker by the string between two of the site's own pegs; raises NotFoundError, InputError."""
    points, tape = _read_points(site, grid, bunker_id), site_tape(site)
    pegs = [tie_peg(standing, points.scale) for standing in pegs_of_bunker(_own_pegs(site), points, tape)]
    ends = [peg_called(pegs, wanted, bunker_id) for wanted in (start, end)]
    return squared_bunker(points, ends[0], ends[1], tape, every_m, site_square_unit_m(site))


def standing_points(standing: StandingSite, bunker_id: str) -> BunkerPoints:
    """Return the paint points of a bunker of a site that stands; raises NotFoundError."""
    bunker = standing.site.bunker(bunker_id)
    found = next(one for one in standing.bunkers if one.bunker.id == bunker.id)
    return bunker_points(standing.site, found, standing.ground_scale(bunker.hole))


def _read_points(site: Site, grid: CourseGrid, bunker_id: str) -> BunkerPoints:
    bunker = site.bunker(bunker_id)
    return bunker_points(site, laid_out(site, grid, bunker), hole_scale(grid, site.hole(bunker.hole)))


def _own_pegs(site: Site) -> list[StandingPeg]:
    return [StandingPeg(peg, within_m=peg.within_m) for peg in site.pegs]
