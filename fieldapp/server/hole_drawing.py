"""Plans of one hole, play up the sheet: tees, lines of play, fairway, green, bunkers with their names, carry arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.model import Hole, KeepClear, Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.line_of_play import LineOfPlay, line_of_play
from fieldapp.server.aim_on_plan import AimOnGround, DrawnAim, aim_on_sheet, place_on_sheet
from fieldapp.server.carry_arcs import ArcsAsked, DrawnArc, carry_arcs
from fieldapp.server.keep_clear_drawing import DrawnThing, drawn_things
from fieldapp.server.labels import LINE_PX, LabelRoom, half_size
from fieldapp.server.plan_drawing import (
    DrawnLine,
    DrawnOutline,
    DrawnSpot,
    drawn_tee,
    outline_path,
)
from fieldapp.server.plan_sheet import (
    FloatArray,
    Place,
    ScaleBar,
    Sheet,
    fit_sheet,
    places_along,
    scale_bar,
    svg_path,
)

MARGIN_PX = 44.0
NAME_GAP_PX = 7.0
TEE_NAME_AWAY_PX = 12.0
LEADER_FROM_PX = 16.0
"""A name that stands further from its bunker than this is joined to it by a thin line."""
GREEN_PX = 15.0
PLACE_PX = 8.0
"""Names keep so far off the middle of the mark at the place that an aim line goes through."""
LINE_CHARACTERS = 22
"""Longer names take several lines on a plan."""
BAR_SHARE = 0.4
NORTH_PX = 30.0
"""From the side of the sheet to the north arrow, and about from its head."""


@dataclass(frozen=True)
class HoleDrawing:
    """One hole on a sheet. Paths are SVG paths, "" where there is none; `leaders` join names to their bunkers."""

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    north_x: float
    fairway: str
    lines: tuple[DrawnLine, ...]
    aim: DrawnAim | None
    outlines: tuple[DrawnOutline, ...]
    spots: tuple[DrawnSpot, ...]
    leaders: tuple[str, ...]
    arcs: tuple[DrawnArc, ...] = ()
    things: tuple[DrawnThing, ...] = ()


@dataclass(frozen=True)
class HoleOnGround:
    """What a plan of a hole is drawn from; `bunkers` are those of the hole, laid out."""

    site: Site
    hole: Hole
    bunkers: Sequence[LaidOutBunker]
    ground_scale: float
    convergence_deg: float

    @property
    def tees(self) -> tuple[Tee, ...]:
        """The tees of the hole, of which a site has at least one for each."""
        return self.site.tees_of(self.hole.number)

    @property
    def up_bearing_deg(self) -> float:
        """Course bearing from the first tee straight to the green, which is up the sheet."""
        tee = self.tees[0]
        across, ahead = self.hole.green_x - tee.x, self.hole.green_y - tee.y
        return math.degrees(math.atan2(across, ahead)) % 360.0

    def reach(self) -> FloatArray:
        """Return the places `(N, 2)` that a plan of the whole hole must hold, course metres."""
        drawn = [outline.points.xy for bunker in self.bunkers for outline in bunker.outlines]
        places = [(tee.x, tee.y) for tee in self.tees] + [(self.hole.green_x, self.hole.green_y)]
        return np.concatenate([np.array([*places, *self.hole.turning_points, *self.hole.fairway]), *drawn])


def fit_hole(ground: HoleOnGround, width: float, most_height: float) -> Sheet:
    """Return the sheet of the given width that holds the whole hole."""
    return fit_sheet(ground.reach(), ground.up_bearing_deg, width, most_height, MARGIN_PX)


def fit_around(
    ground: HoleOnGround, places: ArrayLike, beyond_m: float, width: float, most_height: float
) -> Sheet:
    """Return the sheet of the given width that holds places `(N, 2)` and `beyond_m` ground metres round them."""
    each = np.asarray(places, dtype=float).reshape(-1, 1, 2)
    turns = np.deg2rad(ground.up_bearing_deg + np.array([0.0, 90.0, 180.0, 270.0]))
    beyond = np.stack([np.sin(turns), np.cos(turns)], axis=-1) * beyond_m / ground.ground_scale
    return fit_sheet((each + beyond).reshape(-1, 2), ground.up_bearing_deg, width, most_height, 0.0)


def draw_hole(
    ground: HoleOnGround,
    sheet: Sheet,
    aim: AimOnGround | None = None,
    arcs: ArcsAsked | None = None,
    things: Sequence[KeepClear] = (),
) -> HoleDrawing:
    """Draw a hole, with a visitor's aim line, carry arcs and things to keep clear of where they are asked for."""
    lines = [line_of_play(ground.site, tee) for tee in ground.tees]
    paths = [sheet.place(line.vertices if at == 0 else _own_legs(line)) for at, line in enumerate(lines)]
    traces = {bunker.bunker.id: _trace(sheet, bunker) for bunker in ground.bunkers}
    bar = scale_bar(sheet, ground.ground_scale, ground.site.units.ground, BAR_SHARE)
    north_x = _north_x(sheet, sheet.place(ground.reach()))
    green = sheet.spot(ground.hole.green_x, ground.hole.green_y)
    room = LabelRoom(sheet.width, sheet.height, ())
    _keep_off_lines(room, paths, list(traces.values()))
    room.take([green], GREEN_PX)
    _keep_off_signs(room, sheet, bar, north_x)
    aimed = None if aim is None else _aim(sheet, aim, room)
    names = Names(sheet, room)
    bunkers = [names.of_bunker(bunker, traces[bunker.bunker.id]) for bunker in ground.bunkers]
    tees = [
        names.of_tee(drawn_tee(sheet, tee, line.at(0.0)[1]))
        for tee, line in zip(ground.tees, lines, strict=True)
    ]
    return HoleDrawing(
        width=sheet.width,
        height=sheet.height,
        bar=bar,
        north_turn_deg=round(-ground.convergence_deg - sheet.up_bearing_deg, 2),
        north_x=north_x,
        fairway=svg_path(sheet.place(ground.hole.fairway)) + "Z" if ground.hole.fairway else "",
        lines=tuple(
            DrawnLine(tee.name, svg_path(path)) for tee, path in zip(ground.tees, paths, strict=True)
        ),
        aim=aimed,
        outlines=drawn_outlines(sheet, ground.bunkers),
        spots=(DrawnSpot("green", f"{ground.hole.number}", green, green), *tees, *bunkers),
        leaders=tuple(names.leaders),
        arcs=() if arcs is None else carry_arcs(sheet, arcs, ground.ground_scale, room),
        things=drawn_things(sheet, things),
    )


def drawn_outlines(sheet: Sheet, bunkers: Sequence[LaidOutBunker]) -> tuple[DrawnOutline, ...]:
    """Draw every outline of the bunkers, without paint points."""
    return tuple(
        DrawnOutline(outline.id, outline.part, outline_path(sheet, outline), ())
        for bunker in bunkers
        for outline in bunker.outlines
    )


def on_lines(name: str) -> str:
    """Return a name as it stands on a plan, in lines of bearable length."""
    return "\n".join(wrap(name, LINE_CHARACTERS)) or name


class Names:
    """Sets names where they cover nothing, bunkers' first; `leaders` are the thin lines to those that stand off."""

    def __init__(self, sheet: Sheet, room: LabelRoom) -> None:
        self._sheet, self._room = sheet, room
        self.leaders: list[str] = []

    def of_tee(self, tee: DrawnSpot) -> DrawnSpot:
        """Set the name of a tee beside its plate."""
        self._room.take([tee.at], 6.0)
        name = on_lines(tee.name)
        label = self._room.set_beside(name, tee.at, TEE_NAME_AWAY_PX)
        return DrawnSpot("tee", name, tee.at, label, tee.turn_deg)

    def of_bunker(self, bunker: LaidOutBunker, trace: FloatArray) -> DrawnSpot:
        """Set the name of a bunker beside its outlines, or a little off with a leader."""
        name, at = on_lines(bunker.bunker.name), self._sheet.spot(*bunker.middle)
        low, high = trace.min(axis=0), trace.max(axis=0)
        label = self._room.set_first(name, _round_about(name, low, high))
        edge = np.clip(label, low, high)
        away = np.maximum(np.abs(np.array(label) - edge) - half_size(name), 0.0)
        if float(np.hypot(*away)) > LEADER_FROM_PX:
            self.leaders.append(_leader(name, label, at))
        return DrawnSpot("bunker", name, at, label)


def _round_about(name: str, low: FloatArray, high: FloatArray) -> list[Place]:
    """Return places for a name about a box, near ones first: right, left, above, below, each also moved along."""
    (left, top), (right, bottom) = low, high
    middle_x, middle_y = (left + right) / 2, (top + bottom) / 2
    half, half_high = half_size(name)
    found: list[Place] = []
    for gap in (NAME_GAP_PX, NAME_GAP_PX + 18, NAME_GAP_PX + 40, NAME_GAP_PX + 64):
        for shift in (0.0, -LINE_PX, LINE_PX, -2 * LINE_PX, 2 * LINE_PX):
            found += [(right + gap + half, middle_y + shift), (left - gap - half, middle_y + shift)]
        found += [(middle_x, top - gap - half_high), (middle_x, bottom + gap + half_high)]
    return found


def _leader(name: str, label: Place, at: Place) -> str:
    """Return a thin line from the near end of a name to its bunker's middle."""
    half = half_size(name)[0] + 2
    start_x = label[0] + math.copysign(min(half, abs(at[0] - label[0])), at[0] - label[0])
    return svg_path(np.array([(start_x, label[1]), at]))


def _trace(sheet: Sheet, bunker: LaidOutBunker) -> FloatArray:
    return np.concatenate([sheet.place(outline.points.xy) for outline in bunker.outlines])


def _own_legs(line: LineOfPlay) -> FloatArray:
    """Return the places of a line as far as it is a tee's own: to the first turning point, where there is one."""
    return line.vertices[:2] if len(line.vertices) > 2 else line.vertices


def _north_x(sheet: Sheet, drawn: FloatArray) -> float:
    """Return where across the head of the sheet the north arrow stands: right, or left where the hole comes near."""
    right, left = sheet.width - NORTH_PX, NORTH_PX
    near = np.hypot(*(drawn - (right, NORTH_PX)).T).min() < 2 * NORTH_PX
    return left if near else right


def _keep_off_lines(room: LabelRoom, paths: Sequence[FloatArray], traces: Sequence[FloatArray]) -> None:
    """Keep names off the lines of play and the outlines."""
    for path in paths:
        room.take(places_along(path), 1.0)
    for trace in traces:
        room.take(map(tuple, trace), 2.0)


def _aim(sheet: Sheet, aim: AimOnGround, room: LabelRoom) -> DrawnAim:
    """Draw an aim line, and keep names off it and off the place typed."""
    ends, at = aim_on_sheet(sheet, aim), place_on_sheet(sheet, aim)
    room.take(places_along(ends), 2.0)
    room.take([] if at is None else [at], PLACE_PX)
    return DrawnAim(svg_path(ends), at)


def _keep_off_signs(room: LabelRoom, sheet: Sheet, drawn: ScaleBar, north_x: float) -> None:
    """Keep names off the scale bar at the foot and the north arrow at the head."""
    bar = [(x, sheet.height - 24.0) for x in np.arange(10.0, drawn.px + 40, 12.0)]
    room.take(bar, 14.0)
    room.take([(north_x, 34.0)], 28.0)
