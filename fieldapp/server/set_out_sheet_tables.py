"""The tables of a set-out sheet: the points to paint, what the bunker measures, pegs, ties, things to keep clear of."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.model import ProjectedGrid
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.drawn_figures import drawn_figures
from fieldapp.outline.laid_out import LaidOutOutline
from fieldapp.outline.measure import measure
from fieldapp.server.bunker_figures import area_words, drawn_against_planned
from fieldapp.server.plan_sheet import FloatArray, Sheet
from fieldapp.server.point_numbers import numbers_words
from fieldapp.server.record_rows import ground_words
from fieldapp.server.set_out_sheet_drawing import SheetDrawing, SheetGround, outline_words
from fieldapp.server.sheet_tables import Head, Table
from fieldapp.server.yardage_words import BEHIND, DASH, YardageWords
from fieldapp.tape.bunker_points import BunkerPoints
from fieldapp.tape.tied_bunker import TiedBunker
from fieldapp.tape.ties import PointTies

COORDINATE_DECIMALS = {"metre": 3, "foot": 2, "us-survey-foot": 2}
SIGN_OF_COORDINATES = {"metre": "m", "foot": "ft", "us-survey-foot": "US survey ft"}
TOLD_SCALE = 5e-6
KEY_POINTS = 8
"""About so many points of an outline are tied on the sheet; the tie sheet has them all."""
TIE_NOTES = (
    "Point 1, corners, ends and some between; the tie sheet has every point.",
    "Left or right is seen from the first peg to the second.",
    "As the tape reads: along the slope where both levels are known, else held level.",
)
NUMBERING = (
    "Numbers run clockwise from point 1, the nearest to the first tee; along an open line from its nearer end.",
    "The sand edge is a solid line with dots on paper, and white paint on the ground.",
)
NAME = False


@dataclass(frozen=True, eq=False)
class SheetFigures:
    """What the tables are made from; `lonlat` holds the positions `(N, 2)` of each outline's points, degrees.

    `told` is what is told of the revision, a sentence each.
    """

    ground: SheetGround
    drawing: SheetDrawing
    sheet: Sheet
    points: BunkerPoints
    tied: TiedBunker
    lonlat: Sequence[FloatArray]
    coordinate_sign: str
    coordinate_decimals: int
    told: tuple[str, ...]

    def coordinate(self, value_m: float) -> str:
        """Write a course coordinate in the unit that the site's drawings have."""
        return f"{value_m / self.ground.metres_per_unit:.{self.coordinate_decimals}f}"


def tables_of(figures: SheetFigures) -> tuple[Table, ...]:
    """Return the tables in the order they are printed; those of which there is nothing to tell are left out."""
    found = (
        Table("This revision", (), (), figures.told) if figures.told else None,
        _outlines(figures),
        _planned(figures),
        _from_tees(figures),
        _clear(figures),
        _pegs(figures),
        _ties(figures),
        *_points(figures),
    )
    return tuple(table for table in found if table is not None)


def _outlines(figures: SheetFigures) -> Table:
    ground, unit = figures.ground, figures.ground.site.units.ground
    rows = []
    for outline, drawn in zip(ground.laid_out.outlines, figures.drawing.outlines, strict=True):
        measures = measure(outline.curve)
        area_m2 = measures.area_m2
        area = DASH if area_m2 is None else area_words(area_m2 * ground.ground_scale**2, unit)
        around = ground_words(measures.perimeter_m * ground.ground_scale, unit)
        words = outline_words(ground.laid_out, outline.id, ground.words)
        rows.append((words, area, around, str(len(outline.points.xy)), numbers_words(drawn.numbers)))
    floor_m = ground.laid_out.bunker.floor_level_m
    floor = () if floor_m is None else (f"Floor of the sand: level {ground.words.with_unit(floor_m)}.",)
    heads = (
        Head(f"outline, level in {ground.words.sign}", NAME),
        Head("area"),
        Head("length round"),
        Head("points"),
        Head("numbered on the plan", NAME),
    )
    return Table("Outlines", heads, tuple(rows), (*NUMBERING, *floor))


def _planned(figures: SheetFigures) -> Table:
    ground = figures.ground
    tee, rows = drawn_against_planned(ground.site, ground.laid_out, ground.ground_scale)
    heads = (Head(f"from {tee}, level, on the ground", NAME), Head("drawn"), Head("planned"))
    return Table("Drawn and planned", heads, tuple((row.name, row.drawn, row.planned) for row in rows))


def _from_tees(figures: SheetFigures) -> Table:
    ground = figures.ground
    words = YardageWords(ground.site.units.yardage)
    rows = []
    for tee in ground.site.tees_of(ground.laid_out.bunker.hole):
        drawn = drawn_figures(ground.site, ground.laid_out, tee, ground.ground_scale)
        ways = (
            (BEHIND, BEHIND)
            if drawn.is_behind
            else (words.figure(drawn.reach_m), words.figure(drawn.carry_m))
        )
        rows.append((tee.name, *ways, words.figure(drawn.along_m), words.side(drawn.offset_m)))
    heads = (Head("from", NAME), Head("reach"), Head("carry"), Head("middle, along"), Head("off the line"))
    return Table(f"From every tee, {words.sign}", heads, tuple(rows))


def _clear(figures: SheetFigures) -> Table:
    ground, words = figures.ground, figures.ground.words
    rows = tuple(
        (
            one.thing.name,
            one.thing.kind,
            words.figure(one.distance_m),
            words.figure(one.thing.clearance_m),
            "TOO NEAR" if one.is_too_near else "clear",
        )
        for one in ground.nearnesses
    )
    heads = (
        Head("thing", NAME),
        Head("what it is", NAME),
        Head(f"comes within, {words.sign}"),
        Head(f"to keep, {words.sign}"),
        Head("", NAME),
    )
    none = () if rows else ("Nothing is drawn near this bunker. That does not say that nothing is there.",)
    return Table("To keep clear of", heads if rows else (), rows, (LOCATE_FIRST, *none))


def _pegs(figures: SheetFigures) -> Table | None:
    rows = tuple(_peg_row(figures, one) for one in figures.ground.pegs)
    sign = figures.ground.words.sign
    heads = (
        Head("peg", NAME),
        Head(f"x, {figures.coordinate_sign}"),
        Head(f"y, {figures.coordinate_sign}"),
        Head(f"level, {sign}"),
        Head("nearest point", NAME),
        Head(f"from it, {sign}"),
        Head("bearing"),
        Head("", NAME),
    )
    notes = ("Bearings are of the course grid, clockwise from its y axis, from the paint point to the peg.",)
    return Table("Pegs", heads, rows, notes) if rows else None


def _peg_row(figures: SheetFigures, one: StandingPeg) -> tuple[str, ...]:
    ground, peg = figures.ground, one.peg
    run = np.array([peg.x, peg.y]) - figures.points.xy / ground.ground_scale
    nearest = int(np.argmin(np.hypot(*run.T)))
    name = figures.points.names[nearest]
    place = "on the plan" if figures.sheet.holds(figures.sheet.spot(peg.x, peg.y)) else "beyond it"
    return (
        peg.id,
        figures.coordinate(peg.x),
        figures.coordinate(peg.y),
        DASH if peg.level_m is None else ground.words.figure(peg.level_m),
        f"{name.called} {name.number}",
        ground.words.figure(float(np.hypot(*run[nearest])) * ground.ground_scale),
        f"{math.degrees(math.atan2(*run[nearest])) % 360.0:.0f}°",
        place if one.is_in_place else f"{place}, {one.state}",
    )


def _ties(figures: SheetFigures) -> Table | None:
    if not figures.tied.pegs:
        return None
    wanted = {outline.id: set(key_points(outline)) for outline in figures.ground.laid_out.outlines}
    pairs = zip(figures.points.names, figures.tied.ties, strict=True)
    rows = tuple(
        (f"{name.called} {name.number}", *_tie_cells(figures, ties))
        for name, ties in pairs
        if name.number in wanted[name.outline]
    )
    if all(row[1] == DASH for row in rows):
        return Table("Ties to pegs", (), (), ("None of these points is in reach of two pegs that stand.",))
    sign = figures.ground.words.sign
    heads = (
        Head("point", NAME),
        Head(f"from, {sign}"),
        Head(f"from, {sign}"),
        Head(f"check, {sign}"),
        Head("lies", NAME),
        Head("may miss by"),
    )
    return Table("Ties to pegs", heads, rows, TIE_NOTES)


def key_points(outline: LaidOutOutline) -> Iterator[int]:
    """Yield the numbers that are tied on the sheet: 1, those at corners, the last of an open one, some between."""
    count = len(outline.points.xy)
    step = max(1, math.ceil(count / KEY_POINTS))
    corners = outline.curve.points_at(outline.curve.corners_m)
    for number, xy in enumerate(outline.points.xy, 1):
        at_corner = len(corners) > 0 and bool(np.min(np.hypot(*(corners - xy).T)) < 1e-6)
        is_end = not outline.curve.closed and number == count
        if (number - 1) % step == 0 or at_corner or is_end:
            yield number


def _tie_cells(figures: SheetFigures, ties: PointTies) -> tuple[str, ...]:
    words = figures.ground.words
    if not ties.ties or ties.ellipse is None:
        return (DASH, DASH, DASH, ties.why, DASH)
    read = [
        f"{tie.peg} {words.figure(tie.level_m if tie.slope_m is None else tie.slope_m)}" for tie in ties.ties
    ]
    check = read[2] if len(read) > 2 else DASH
    return (read[0], read[1], check, ties.side, f"± {words.error(ties.ellipse.major_m)}")


def _points(figures: SheetFigures) -> Iterator[Table]:
    """Yield the points of each outline with all that is known of them."""
    ground, words, start = figures.ground, figures.ground.words, 0
    heads = (
        Head("point", NAME),
        Head(f"x, {figures.coordinate_sign}"),
        Head(f"y, {figures.coordinate_sign}"),
        Head("latitude"),
        Head("longitude"),
        Head(f"chainage, {words.sign}"),
        Head(f"level, {words.sign}"),
    )
    each = zip(ground.laid_out.outlines, figures.lonlat, figures.points.levels_basis, strict=True)
    for outline, lonlat, (_, basis) in each:
        xy, chainage = outline.points.xy, outline.points.chainage_m * ground.ground_scale
        levels = figures.points.levels_m[start : start + len(xy)]
        start += len(xy)
        rows = tuple(
            (
                str(number),
                figures.coordinate(float(xy[at, 0])),
                figures.coordinate(float(xy[at, 1])),
                f"{lonlat[at, 1]:.8f}",
                f"{lonlat[at, 0]:.8f}",
                words.figure(float(chainage[at])),
                DASH if np.isnan(levels[at]) else words.figure(float(levels[at])),
            )
            for at, number in enumerate(range(1, len(xy) + 1))
        )
        notes = (f"Levels: {basis}.", *_system_notes(figures))
        yield Table(f"Paint points: {ground.laid_out.called(outline.id)}", heads, rows, notes)


def _system_notes(figures: SheetFigures) -> Iterator[str]:
    """Yield what positions and coordinates are told in."""
    definition, scale = figures.ground.site.grid, figures.ground.ground_scale
    system = definition.gnss_crs if isinstance(definition, ProjectedGrid) else "EPSG:4326"
    yield f"Latitude and longitude in degrees, as a receiver gives them in {system}. Chainage is along the line."
    if abs(scale - 1.0) > TOLD_SCALE:
        yield f"Lengths are those on the ground: a length of 1 between coordinates is {scale:.6f} there."
