"""What can only be said of a site by computing it: its grid, curves, placing and distances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import FieldappError, GridError, OutlineError, PositionError
from fieldapp.formats.site_distance_check import check_distances, check_fairway, check_line
from fieldapp.formats.site_level_check import check_floor, check_spot_levels, ground_of
from fieldapp.formats.site_peg_check import check_peg_positions
from fieldapp.formats.site_reading import Reading
from fieldapp.geodesy.grid import CourseGrid, build_grid, check_within_area
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Outline
from fieldapp.outline.curve import build_curve
from fieldapp.outline.laid_out import LaidOutBunker, hole_scale, lay_out_bunker
from fieldapp.play.ground import Ground

WIDEST_M = 10_000.0

Floats = NDArray[np.float64]


def check_reading(reading: Reading) -> CourseGrid | None:
    """Note every mistake that computing a site brings to light; return its grid if it has a good one."""
    middle = np.median(np.array([xy for _, xy in _places(reading)] or [(0.0, 0.0)]), axis=0)
    grid = _grid(reading, middle)
    if grid is not None:
        check_peg_positions(reading.site, reading.findings, grid)
    astray = _astray(reading, middle, grid)
    crossed = {id(outline) for outline in reading.outlines if not _draws(reading, outline)}
    scales = {
        hole.number: 1.0 if grid is None else hole_scale(grid, hole)
        for hole in reading.site.holes
        if id(hole) not in astray
    }
    tees = _tees_with_a_line(reading, astray, scales)
    for hole in reading.site.holes:
        if hole.number in scales:
            check_fairway(reading, hole, tees, scales[hole.number])
    check_spot_levels(reading)
    ground = ground_of(reading)
    for bunker in reading.site.bunkers:
        drawn = [outline for outline in bunker.outlines if id(outline) not in crossed | astray]
        if drawn and _hangs_on(reading, bunker) <= tees:
            shown = replace(bunker, outlines=tuple(drawn))
            _check_bunker(reading, shown, bunker, scales[bunker.hole], ground)
    return grid


def _tees_with_a_line(reading: Reading, astray: set[int], scales: dict[int, float]) -> set[str]:
    """Return the ids of the tees whose line of play can be believed.

    `scales` has ground metres per course metre by hole, at the green, as the bundle of the hole has it.
    """
    return {
        tee.id
        for tee in reading.site.tees
        if id(tee) not in astray
        and tee.hole in scales
        and check_line(reading.site, reading.findings, tee, scales[tee.hole])
    }


def _places(reading: Reading) -> Iterator[tuple[object, tuple[float, float]]]:
    """Yield what has course coordinates of its own, a drawn outline by its first point."""
    site = reading.site
    yield from ((hole, (hole.green_x, hole.green_y)) for hole in site.holes)
    yield from ((thing, (thing.x, thing.y)) for things in (site.tees, site.pegs) for thing in things)
    yield from ((thing, thing.points[0]) for thing in site.keep_clear)
    for bunker in site.bunkers:
        for outline in bunker.outlines:
            if bunker.place is None and isinstance(outline.shape, DrawnShape) and outline.shape.points:
                yield outline, (outline.shape.points[0].x, outline.shape.points[0].y)


def _grid(reading: Reading, middle: Floats) -> CourseGrid | None:
    if reading.grid is None:
        return None
    where = f"The middle of the site (x {middle[0]:.0f}, y {middle[1]:.0f} in metres)"
    try:
        grid = build_grid(reading.grid, reading.site.pegs)
        check_within_area(grid, middle, where)
    except (GridError, PositionError) as error:
        reading.findings.add_refusal(("grid",), error)
        return None
    return grid


def _astray(reading: Reading, middle: Floats, grid: CourseGrid | None) -> set[int]:
    """Note what lies far from the rest of the site, and return the identities of those things."""
    astray = set()
    for thing, xy in _places(reading):
        away_m = float(np.hypot(*(np.array(xy) - middle)))
        if away_m > WIDEST_M:
            astray.add(id(thing))
            reading.findings.add(
                reading.findings.path_of(thing),
                f"it lies {away_m / 1000:,.0f} km from the middle of the site",
                _why_astray(reading, xy, middle, grid),
            )
    return astray


def _why_astray(reading: Reading, xy: tuple[float, float], middle: Floats, grid: CourseGrid | None) -> str:
    lonlat = np.array(xy) / float(reading.factor)
    if grid is not None and np.all(np.abs(lonlat) <= (180, 90)):
        away = grid.to_gnss(middle) - lonlat
        if np.hypot(*away) < 1.0:
            return "its numbers look like longitude and latitude; write course coordinates"
    return "check its x and y and their unit"


def _draws(reading: Reading, outline: Outline) -> bool:
    """Tell whether a shape can be drawn as it stands in the file, and note why not in the file's own unit."""
    if not isinstance(outline.shape, DrawnShape):
        return True
    unit_m = float(reading.factor)
    points = tuple(ControlPoint(at.x / unit_m, at.y / unit_m, at.role) for at in outline.shape.points)
    try:
        build_curve(replace(outline.shape, points=points))
    except OutlineError as error:
        reading.findings.add_refusal(reading.findings.path_of(outline), error)
        return False
    return True


def _hangs_on(reading: Reading, bunker: Bunker) -> set[str]:
    """Return the ids of the tees a bunker cannot do without; one of another hole counts as none."""
    own = [tee.id for tee in reading.site.tees_of(bunker.hole)]
    named = {part.tee for part in (bunker.place, bunker.plan) if part is not None}
    return {tee if tee in own else "" for tee in {*own[:1], *named}} or {""}


def _check_bunker(reading: Reading, drawn: Bunker, bunker: Bunker, scale: float, ground: Ground) -> None:
    """`drawn` is the bunker with only those outlines that can be drawn."""
    laid_out = [_lay_out_one(reading, drawn, outline, scale) for outline in drawn.outlines]
    if laid_out[0] is not None and drawn.outlines[0] is bunker.outlines[0]:
        check_distances(reading, bunker, laid_out[0], scale)
    for one in laid_out:
        if one is not None:
            check_floor(reading, bunker, one.outlines[0], ground)


def _lay_out_one(reading: Reading, bunker: Bunker, outline: Outline, scale: float) -> LaidOutBunker | None:
    try:
        return lay_out_bunker(reading.site, replace(bunker, outlines=(outline,)), scale)
    except OutlineError as error:
        reading.findings.add_refusal(reading.findings.path_of(outline), _own_words(error))
        return None


def _own_words(error: OutlineError) -> FieldappError:
    """Return the refusal without the names of bunker and outline before it, which the place says already."""
    return error.__cause__ if isinstance(error.__cause__, OutlineError) else error
