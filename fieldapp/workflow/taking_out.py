"""A bunker as a drawing to be taken out: a revision of it, standing or older, or the newest draft."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from fieldapp.errors import NotFoundError
from fieldapp.formats.draft import read_draft
from fieldapp.formats.drawing_out import Coordinates, DrawingOut, LineOut, SpotOut, course_system_words
from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.geodesy.course_grid import CourseGrid
from fieldapp.geodesy.known_system import system_text
from fieldapp.model import Bunker, ControlPoint, DrawnShape, FittedGrid, LocalGrid, ProjectedGrid, Site
from fieldapp.model.keep_clear import KeepClear
from fieldapp.outline.course_shapes import course_shapes
from fieldapp.outline.laid_out import LaidOutBunker, lay_out_bunker
from fieldapp.outline.near_by import pegs_near, ring_of, things_near
from fieldapp.outline.pieces import FloatArray
from fieldapp.store.drafts import newest_draft
from fieldapp.store.engine import Store
from fieldapp.workflow.sites import StandingSite, standing_in, versions_in

NEAR_M = 50.0
"""What lies no further from the bunker goes into its file too, ground metres. A choice."""
TRACE_M = 0.00005
PEG_LAYER = "peg"


@dataclass(frozen=True)
class Chosen:
    """A bunker to be taken out, of which version of its site, and what its state is called in words and in a name."""

    standing: StandingSite
    bunker: Bunker
    words: str
    short: str


def chosen(store: Store, site_id: str, bunker_id: str, revision: str = "", draft: bool = False) -> Chosen:
    """Return the standing revision of a bunker, the one that is named, or its newest draft; raises NotFoundError."""
    with store.reading() as transaction:
        standing = standing_in(transaction, site_id)
        if draft:
            kept = newest_draft(transaction, site_id, bunker_id)
            if kept is None:
                raise NotFoundError(f"There is no draft of bunker '{bunker_id}'.")
            return _of_draft(standing, kept.document, kept.number)
        if not revision:
            bunker = standing.site.bunker(bunker_id)
            return Chosen(standing, bunker, bunker.revision, bunker.revision)
        versions = versions_in(transaction, site_id)
    return _of_revision(versions, bunker_id, revision)


def _of_draft(standing: StandingSite, document: str, number: int) -> Chosen:
    draft = read_draft(json.loads(document))
    grown = f", grown from revision {draft.from_revision}" if draft.from_revision else ""
    words = f"draft {number}{grown}; it is not issued, do not set out from it"
    return Chosen(standing, draft.bunker, words, f"draft-{number}")


def _of_revision(versions: Sequence[StandingSite], bunker_id: str, revision: str) -> Chosen:
    found = [
        (version, bunker) for version in versions for bunker in version.site.bunkers if bunker.id == bunker_id
    ]
    if not found:
        versions[0].site.bunker(bunker_id)
    for version, bunker in found:
        if bunker.revision == revision:
            stands = bunker.revision == found[0][1].revision
            words = revision if stands else f"{revision}, superseded by {found[0][1].revision}"
            return Chosen(version, bunker, words, revision)
    known = ", ".join(dict.fromkeys(bunker.revision for _, bunker in found))
    raise NotFoundError(f"Bunker '{bunker_id}' never had a revision '{revision}'; it had: {known}.")


def drawing_out(which: Chosen, coordinates: Coordinates, today: date) -> DrawingOut:
    """Return a bunker and what lies near it as a drawing; raises OutlineError, NotFoundError, GridError."""
    site, grid, bunker = which.standing.site, which.standing.grid, which.bunker
    if not bunker.outlines:
        raise NotFoundError(f"Bunker '{bunker.id}' has no outline yet, so there is nothing to take out.")
    scale = which.standing.ground_scale(bunker.hole)
    laid_out = lay_out_bunker(site, bunker, scale)
    things = things_near(site, laid_out, NEAR_M, scale)
    lines = [
        *_outlines(site, laid_out, scale),
        *(_thing_line(one) for one in things if one.extent != "point"),
    ]
    spots = [_thing_spot(thing) for thing in things if thing.extent == "point"]
    spots += (
        SpotOut(PEG_LAYER, peg.id, peg.x, peg.y, f"{peg.kind} peg")
        for peg in pegs_near(site, laid_out, NEAR_M, scale)
    )
    is_service = any(thing.is_service for thing in things)
    drawing = DrawingOut(
        title=f"{site.name}, {bunker.name}, {which.words}",
        facts=(*_facts(which, today), *_system_facts(site, grid, coordinates)),
        notes=(*((LOCATE_FIRST,) if is_service else ()), *grid.notes),
        coordinates="course",
        lines=tuple(lines),
        spots=tuple(spots),
        system=_system(grid, coordinates),
    )
    return drawing if coordinates == "course" else _in_lonlat(drawing, grid)


def _outlines(site: Site, laid_out: LaidOutBunker, scale: float) -> Iterator[LineOut]:
    bunker = laid_out.bunker
    shapes = course_shapes(site, bunker, {one.id: one.curve for one in laid_out.outlines}, scale)
    for outline, drawn in zip(bunker.outlines, laid_out.outlines, strict=True):
        words = ""
        if outline.level_m is not None:
            words = f"level {outline.level_m:g} m"
        elif outline.above_ground_m is not None:
            words = f"{outline.above_ground_m:g} m above the ground"
        yield LineOut(
            outline.part, outline.id, shapes[outline.id], drawn.curve.vertices(TRACE_M / scale), words
        )


def _thing_line(thing: KeepClear) -> LineOut:
    closed = thing.extent == "area"
    shape = DrawnShape(tuple(ControlPoint(x, y) for x, y in thing.points), "straight", closed)
    return LineOut(thing.kind, thing.name or thing.id, shape, ring_of(thing), _thing_words(thing))


def _thing_spot(thing: KeepClear) -> SpotOut:
    return SpotOut(thing.kind, thing.name or thing.id, *thing.points[0], _thing_words(thing))


def _thing_words(thing: KeepClear) -> str:
    words = f"keep {thing.clearance_m:g} m clear"
    return f"{words}; {LOCATE_FIRST}" if thing.is_service else words


def _facts(which: Chosen, today: date) -> tuple[tuple[str, str], ...]:
    site, bunker = which.standing.site, which.bunker
    return (
        ("site", f"{site.name} ({site.id})"),
        ("bunker", f"{bunker.name} ({bunker.id}), hole {bunker.hole}"),
        ("revision", which.words),
        ("taken out", today.isoformat()),
    )


def _system_facts(site: Site, grid: CourseGrid, coordinates: Coordinates) -> tuple[tuple[str, str], ...]:
    if coordinates == "course":
        return ("units", "metre"), ("coordinate system", course_system_words(_grid_words(site, grid)))
    gnss = grid.definition.gnss_crs if isinstance(grid.definition, ProjectedGrid) else "EPSG:4326"
    return ("units", "degree"), ("coordinate system", f"longitude and latitude, {gnss}")


def _grid_words(site: Site, grid: CourseGrid) -> str:
    match grid.definition:
        case LocalGrid() as local:
            return (
                f"the course's own grid, true on the ground: x {local.origin_x} y {local.origin_y} is at latitude "
                f"{local.origin_lat_deg} longitude {local.origin_lon_deg}, and the y axis runs "
                f"{local.north_bearing_deg} degrees from true north"
            )
        case FittedGrid():
            return (
                f"the course's own grid, fitted to {sum(peg.position is not None for peg in site.pegs)} pegs"
            )
        case ProjectedGrid() as projected:
            return f"{projected.crs}, in metres, x east and y north"


def _system(grid: CourseGrid, coordinates: Coordinates) -> str:
    """Return the text of the system; a course grid has one where it is a published one as it is."""
    definition = grid.definition
    if coordinates == "lonlat":
        return system_text(definition.gnss_crs if isinstance(definition, ProjectedGrid) else "EPSG:4326")
    as_published = isinstance(definition, ProjectedGrid) and np.array_equal(grid.matrix, np.eye(2))
    return system_text(definition.crs) if isinstance(definition, ProjectedGrid) and as_published else ""


def _in_lonlat(drawing: DrawingOut, grid: CourseGrid) -> DrawingOut:
    """Return a drawing with every place turned into longitude and latitude, by one call of the grid."""
    lines, spots = drawing.lines, drawing.spots
    controls = [np.array([(at.x, at.y) for at in line.shape.points]) for line in lines]
    places = np.array([(spot.x, spot.y) for spot in spots]).reshape(-1, 2)
    turned = grid.outlines_to_gnss([*(line.trace for line in lines), *controls, places])
    traces, controls = turned[: len(lines)], turned[len(lines) : -1]
    return replace(
        drawing,
        coordinates="lonlat",
        lines=tuple(map(_moved, lines, traces, controls)),
        spots=tuple(
            replace(spot, x=float(x), y=float(y)) for spot, (x, y) in zip(spots, turned[-1], strict=True)
        ),
    )


def _moved(line: LineOut, trace: FloatArray, controls: Iterable[FloatArray]) -> LineOut:
    points = (
        replace(at, x=float(x), y=float(y)) for at, (x, y) in zip(line.shape.points, controls, strict=True)
    )
    return replace(line, trace=trace, shape=replace(line.shape, points=tuple(points)))
