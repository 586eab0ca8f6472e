"""The plan of a set-out sheet: the bunker with its numbered paint points and all about it, true to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from fieldapp.model import Site
from fieldapp.model.keep_clear import KeepClear
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.clearance import Nearness
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.coordinate_frame import CoordinateFrame, clear_crosses, coordinate_frame
from fieldapp.server.labels import LabelRoom
from fieldapp.server.pegs_about import DrawnPegs, pegs_about
from fieldapp.server.plan_drawing import outline_path, outward
from fieldapp.server.plan_sheet import FloatArray, Place, ScaleBar, Sheet, places_along, scale_bar, svg_path
from fieldapp.server.point_numbers import PointNumbers, set_numbers
from fieldapp.server.sheet_labels import SheetLabel, SheetLabels
from fieldapp.server.tape_words import TapeWords

BESIDE_PX = 1.5
"""Kept free either side of a line."""
BARB_PX, BARBS_APART_PX = 3.2, 40.0
SPOT_PX = 3.0
BAR_SHARE = 0.4
SAME_PX = 3.0
EDGE_PX = 4.0
"""Words keep so far off the edge of the plan."""


@dataclass(frozen=True)
class SheetPoint:
    """A paint point on the plan; `label` is None where it carries no number."""

    number: int
    at: Place
    label: Place | None


@dataclass(frozen=True)
class SheetOutline:
    """An outline on the plan with its paint points; `numbers` says which of them carry a number."""

    id: str
    part: str
    path: str
    points: tuple[SheetPoint, ...]
    numbers: PointNumbers


@dataclass(frozen=True)
class SheetThing:
    """A thing to keep clear of on the plan: its line, the barbs on it, and round a point its clearance."""

    path: str
    barbs: str
    at: Place | None
    clearance_px: float


@dataclass(frozen=True)
class SheetNearness:
    """Where a bunker comes too near to a thing: the shortest way between them, or where they meet."""

    path: str
    meets: Place | None


@dataclass(frozen=True)
class SheetDrawing:
    """The plan: sheet units of `UNIT_MM`. Words that found no room are left out."""

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    frame: CoordinateFrame
    crosses: str
    outlines: tuple[SheetOutline, ...]
    things: tuple[SheetThing, ...]
    nearnesses: tuple[SheetNearness, ...]
    lines: tuple[str, ...]
    pegs: DrawnPegs
    spots: tuple[Place, ...]
    labels: tuple[SheetLabel, ...]


@dataclass(frozen=True, eq=False)
class SheetGround:
    """What the plan is drawn from. `metres_per_unit` is of the coordinates as people read them."""

    site: Site
    laid_out: LaidOutBunker
    pegs: Sequence[StandingPeg]
    nearnesses: Sequence[Nearness]
    ground_scale: float
    convergence_deg: float
    metres_per_unit: float

    @property
    def words(self) -> TapeWords:
        """Lengths on the ground in words."""
        return TapeWords(self.site.units.ground)


def draw_sheet(ground: SheetGround, sheet: Sheet) -> SheetDrawing:
    """Draw the plan: pegs, what comes too near and numbers first, then names, last the spot levels."""
    frame = coordinate_frame(sheet, ground.metres_per_unit)
    seen = [one for one in ground.nearnesses if _is_seen(sheet, one.thing, ground.ground_scale)]
    things = [_thing_path(sheet, one.thing) for one in seen]
    plays = _lines_of_play(sheet, ground)
    room = _room(sheet, ground, [*things, *[path for _, path in plays]])
    pegs = pegs_about(sheet, ground.pegs, ground.ground_scale, ground.words, room)
    labels = SheetLabels(sheet, room)
    _near_labels(sheet, ground, labels)
    outlines = tuple(
        _outline(sheet, ground.laid_out, index, room) for index in range(len(ground.laid_out.outlines))
    )
    crosses = clear_crosses(sheet, frame, room)
    for outline, drawn in zip(ground.laid_out.outlines, outlines, strict=True):
        at = np.array([point.at for point in drawn.points])
        words, ways = (
            outline_words(ground.laid_out, outline.id, ground.words),
            outward(at, outline.curve.closed),
        )
        if not labels.along(words, at, ways):
            labels.along(words.replace(", ", ",\n"), at, ways)
    for nearness, path in zip(seen, things, strict=True):
        labels.by_path(
            f"{nearness.thing.name}\nkeep {ground.words.with_unit(nearness.thing.clearance_m)} clear", path
        )
    for name, path in _longest_of_each(plays).items():
        labels.by_path(f"line of play, {name}", path)
    return SheetDrawing(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, ground.ground_scale, ground.site.units.ground, BAR_SHARE),
        north_turn_deg=round(-ground.convergence_deg - sheet.up_bearing_deg, 2),
        frame=frame,
        crosses=crosses,
        outlines=outlines,
        things=tuple(
            _thing(sheet, one.thing, path, ground.ground_scale)
            for one, path in zip(seen, things, strict=True)
        ),
        nearnesses=tuple(_nearness(sheet, one) for one in ground.nearnesses if one.is_too_near),
        lines=tuple(svg_path(path) for _, path in plays),
        pegs=pegs,
        spots=_spots(sheet, ground, room, labels),
        labels=tuple(labels.found),
    )


def outline_words(laid_out: LaidOutBunker, outline_id: str, words: TapeWords) -> str:
    """Name an outline with its level, or its height above the ground, where it has one."""
    outline, called = laid_out.bunker.outline(outline_id), laid_out.called(outline_id)
    if outline.level_m is not None:
        return f"{called}, level {words.figure(outline.level_m)}"
    height_m = outline.above_ground_m
    if height_m is None:
        return called
    if float(words.figure(height_m)) == 0.0:
        return f"{called}, on the ground"
    way = "above" if height_m > 0 else "below"
    return f"{called}, {words.with_unit(abs(height_m))} {way} the ground"


def _room(sheet: Sheet, ground: SheetGround, paths: Sequence[FloatArray]) -> LabelRoom:
    """Return the sheet with all lines and points taken."""
    points = [tuple(at) for one in ground.laid_out.outlines for at in sheet.place(one.points.xy)]
    room = LabelRoom(sheet.width, sheet.height, points)
    for outline in ground.laid_out.outlines:
        room.take(places_along(_trace(sheet, outline.trace(), outline.curve.closed), 3.0), BESIDE_PX)
    for path in paths:
        room.take([at for at in places_along(path, 4.0) if sheet.holds(at)], BESIDE_PX)
    for one in ground.nearnesses:
        if one.is_too_near:
            ends = sheet.place([one.bunker_at, one.thing_at])
            room.take([*places_along(ends, 3.0), tuple(ends[0])], 2 * BESIDE_PX)
    room.take(places_along(_edge(sheet), EDGE_PX), EDGE_PX)
    return room


def _edge(sheet: Sheet) -> FloatArray:
    corners = [(0, 0), (sheet.width, 0), (sheet.width, sheet.height), (0, sheet.height), (0, 0)]
    return np.array(corners, dtype=float)


def _trace(sheet: Sheet, trace: FloatArray, closed: bool) -> FloatArray:
    return sheet.place(np.vstack([trace, trace[:1]]) if closed else trace)


def _outline(sheet: Sheet, laid_out: LaidOutBunker, index: int, room: LabelRoom) -> SheetOutline:
    outline = laid_out.outlines[index]
    at = sheet.place(outline.points.xy)
    numbers = set_numbers(room, at, outward(at, outline.curve.closed))
    points = tuple(
        SheetPoint(number, (round(float(x), 3), round(float(y), 3)), numbers.labels.get(number))
        for number, (x, y) in enumerate(at, 1)
    )
    return SheetOutline(outline.id, outline.part, outline_path(sheet, outline), points, numbers)


def _lines_of_play(sheet: Sheet, ground: SheetGround) -> list[tuple[str, FloatArray]]:
    """Return what is seen of the lines of play, by their tees; a line that runs along another's is drawn once."""
    found: list[tuple[str, FloatArray]] = []
    for tee in ground.site.tees_of(ground.laid_out.bunker.hole):
        legs = sheet.place(line_of_play(ground.site, tee).vertices)
        seen = [part for leg in pairwise(legs) if (part := sheet.clip(np.array(leg))) is not None]
        found += [(tee.name, part) for part in seen if not any(_is_same(part, other) for _, other in found)]
    return found


def _longest_of_each(plays: Sequence[tuple[str, FloatArray]]) -> dict[str, FloatArray]:
    """Return the longest leg that is seen of each line of play, by its tee."""
    return dict(sorted(plays, key=lambda play: float(np.hypot(*(play[1][-1] - play[1][0])))))


def _is_same(one: FloatArray, other: FloatArray) -> bool:
    return float(np.abs(one - other).max()) < SAME_PX


def _thing_path(sheet: Sheet, thing: KeepClear) -> FloatArray:
    points = [*thing.points, thing.points[0]] if thing.extent == "area" else [*thing.points]
    return sheet.place(points)


def _is_seen(sheet: Sheet, thing: KeepClear, ground_scale: float) -> bool:
    """Whether any of a thing falls on the sheet: of a point, its clearance."""
    path = _thing_path(sheet, thing)
    if thing.extent != "point":
        return any(sheet.clip(np.array(leg)) is not None for leg in pairwise(path))
    radius = thing.clearance_m / ground_scale * sheet.px_per_m
    size = np.array([sheet.width, sheet.height])
    return bool(np.hypot(*(path[0] - np.clip(path[0], 0.0, size))) < radius)


def _thing(sheet: Sheet, thing: KeepClear, path: FloatArray, ground_scale: float) -> SheetThing:
    radius = round(thing.clearance_m / ground_scale * sheet.px_per_m, 2)
    if thing.extent == "point":
        return SheetThing("", "", sheet.spot(*thing.points[0]), radius)
    barbs = [at for at in places_along(path, BARBS_APART_PX) if sheet.holds(at)]
    return SheetThing(svg_path(path), "".join(map(_barb, barbs)), None, 0.0)


def _barb(at: Place) -> str:
    x, y, size = at[0], at[1], BARB_PX
    rising = f"M{x - size:.2f} {y + size:.2f}L{x + size:.2f} {y - size:.2f}"
    return f"{rising}M{x - size:.2f} {y - size:.2f}L{x + size:.2f} {y + size:.2f}"


def _nearness(sheet: Sheet, one: Nearness) -> SheetNearness:
    if one.distance_m < 0.005:
        return SheetNearness("", sheet.spot(*one.bunker_at))
    return SheetNearness(svg_path(sheet.place([one.bunker_at, one.thing_at])), None)


def _near_labels(sheet: Sheet, ground: SheetGround, labels: SheetLabels) -> None:
    for one in ground.nearnesses:
        if one.is_too_near:
            words = (
                "crosses" if one.distance_m < 0.005 else f"too near: {ground.words.with_unit(one.distance_m)}"
            )
            labels.beside(words, sheet.spot(*np.mean([one.bunker_at, one.thing_at], axis=0)), "near")


def _spots(sheet: Sheet, ground: SheetGround, room: LabelRoom, labels: SheetLabels) -> tuple[Place, ...]:
    """Return the spot levels on the sheet that have room for their figure."""
    found = []
    for spot in ground.site.spot_levels:
        at = sheet.spot(spot.x, spot.y)
        if (
            sheet.holds(at)
            and room.is_clear([at], SPOT_PX)
            and labels.beside(ground.words.figure(spot.level_m), at, "level", SPOT_PX)
        ):
            room.take([at], SPOT_PX)
            found.append(at)
    return tuple(found)
