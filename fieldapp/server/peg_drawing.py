"""Drawings of a bunker with its pegs, play up the sheet: plans of pegs, tie sheets, base lines."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from fieldapp.server.labels import LabelRoom, half_size
from fieldapp.server.plan_drawing import DrawnOutline, numbered_outlines, outline_path
from fieldapp.server.plan_sheet import (
    FloatArray,
    Place,
    ScaleBar,
    Sheet,
    fit_sheet,
    rounded,
    scale_bar,
    svg_path,
)
from fieldapp.tape.bunker_points import BunkerPoints
from fieldapp.tape.peg_places import roomy_spots

MARGIN_PX = 54.0
NORTH_PX = 30.0
TICK_PX = 5.0
STATION_AWAY_PX = 14.0
BESIDE_PX = 3.0
FAIRWAY = "fairway"
PegMark = Literal["standing", "planned"]
PointMark = Literal["well", "poor", "out", "weakest"]
NAME_AWAY_PX: dict[PegMark, float] = {"standing": 12.0, "planned": 17.0}


@dataclass(frozen=True)
class MarkedPeg:
    """A peg to draw: course metres. `row` is that of a planned one in the form, counted from 1; 0 of another."""

    id: str
    xy: tuple[float, float]
    kind: PegMark
    row: int = 0


@dataclass(frozen=True)
class DrawnPeg:
    """A peg on a sheet, with the middle of its name."""

    id: str
    kind: PegMark
    row: int
    at: Place
    label: Place


@dataclass(frozen=True)
class DrawnWords:
    """Words on a sheet, by their middle."""

    words: str
    at: Place


@dataclass(frozen=True)
class PegDrawing:
    """A bunker with its pegs on a sheet; "" where a path is not drawn.

    `px_per_m` is per ground metre, `middle` the place that along and aside are counted from. `marks` are paint points
    by how well they are fixed; where they are given the outlines carry no numbers.
    """

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    north_x: float
    px_per_m: float
    middle: Place
    outlines: tuple[DrawnOutline, ...]
    pegs: tuple[DrawnPeg, ...]
    margin: str
    fairways: tuple[str, ...]
    marks: tuple[tuple[PointMark, Place], ...]
    lines: tuple[str, ...]
    string: str
    ticks: tuple[str, ...]
    words: tuple[DrawnWords, ...]


@dataclass(frozen=True, eq=False)
class PegsOnGround:
    """What is drawn: the bunker, its pegs, how it is turned; margins and fairways are rings. All in course metres."""

    points: BunkerPoints
    pegs: Sequence[MarkedPeg]
    ground_unit: str
    convergence_deg: float
    margins: Sequence[FloatArray] = ()
    fairways: Sequence[FloatArray] = ()

    @property
    def up_bearing_deg(self) -> float:
        """The direction of play at the bunker, which is up the sheet."""
        return self.points.laid_out.play_bearing_deg


def fit_pegs(ground: PegsOnGround, width: float, most_height: float) -> Sheet:
    """Return the sheet of the given width that holds the bunker, its margin and its pegs."""
    places = [ground.points.xy / ground.points.scale, *ground.margins]
    places.append(np.array([peg.xy for peg in ground.pegs]).reshape(-1, 2))
    return fit_sheet(np.concatenate(places), ground.up_bearing_deg, width, most_height, MARGIN_PX)


def draw_pegs(
    ground: PegsOnGround,
    sheet: Sheet,
    marks: Sequence[PointMark] = (),
    lines: Mapping[str, tuple[Place, Place]] | None = None,
    string: tuple[Place, Place] | None = None,
    stations: Sequence[tuple[str, Place]] = (),
) -> PegDrawing:
    """Draw a bunker with its pegs.

    `marks` say of each paint point how well it is fixed. `lines` are tapes by their words, `string` a base line,
    `stations` places along it with their chainage in words; all in course metres.
    """
    outlines = _outlines(ground, sheet, numbered=not marks)
    at = [rounded(place) for place in sheet.place(ground.points.xy / ground.points.scale)]
    room = LabelRoom(sheet.width, sheet.height, at)
    _keep_off_signs(room, sheet)
    room.take([point.label for outline in outlines for point in outline.points if point.label], 9.0)
    taped = [sheet.place(np.array(ends)) for ends in (lines or {}).values()]
    along = None if string is None else sheet.place(np.array(string))
    pegs = _pegs(ground, sheet, room)
    ticks, station_words = _stations(sheet, stations, along, room)
    return PegDrawing(
        width=sheet.width,
        height=sheet.height,
        bar=scale_bar(sheet, ground.points.scale, ground.ground_unit),
        north_turn_deg=round(-ground.convergence_deg - sheet.up_bearing_deg, 2),
        north_x=sheet.width - NORTH_PX,
        px_per_m=round(sheet.px_per_m / ground.points.scale, 6),
        middle=sheet.spot(*ground.points.laid_out.middle),
        outlines=outlines,
        pegs=pegs,
        margin="".join(_ring(sheet, ring) for ring in ground.margins),
        fairways=tuple(_ring(sheet, fairway) for fairway in ground.fairways),
        marks=tuple(zip(marks, at, strict=True)) if marks else (),
        lines=tuple(svg_path(ends) for ends in taped),
        string="" if along is None else svg_path(along),
        ticks=ticks,
        words=(*_tape_words(lines or {}, taped, room), *station_words, *_fairway_words(ground, sheet, room)),
    )


def _outlines(ground: PegsOnGround, sheet: Sheet, numbered: bool) -> tuple[DrawnOutline, ...]:
    outlines = ground.points.laid_out.outlines
    if numbered:
        return numbered_outlines(sheet, outlines, {}, {})
    return tuple(
        DrawnOutline(outline.id, outline.part, outline_path(sheet, outline), ()) for outline in outlines
    )


def _pegs(ground: PegsOnGround, sheet: Sheet, room: LabelRoom) -> tuple[DrawnPeg, ...]:
    at = [sheet.spot(*peg.xy) for peg in ground.pegs]
    room.take(at, 9.0)
    return tuple(
        DrawnPeg(peg.id, peg.kind, peg.row, place, room.set_beside(peg.id, place, NAME_AWAY_PX[peg.kind]))
        for peg, place in zip(ground.pegs, at, strict=True)
    )


def _tape_words(
    lines: Mapping[str, tuple[Place, Place]], taped: Sequence[FloatArray], room: LabelRoom
) -> list[DrawnWords]:
    """Set the words of tapes beside them, near the middle."""
    for ends in taped:
        room.take(
            [rounded(ends[0] + share * (ends[1] - ends[0])) for share in np.arange(0.02, 1.0, 0.02)], 1.5
        )
    found = []
    for words, ends in zip(lines, taped, strict=True):
        run = ends[1] - ends[0]
        square = np.array([-run[1], run[0]]) / max(float(np.hypot(*run)), 1.0)
        beside = square * (float(np.abs(square) @ half_size(words)) + BESIDE_PX)
        middles = [
            rounded(ends[0] + share * run + side * beside)
            for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2)
            for side in (1, -1)
        ]
        found.append(DrawnWords(words, room.set_first(words, middles)))
    return found


def _fairway_words(ground: PegsOnGround, sheet: Sheet, room: LabelRoom) -> list[DrawnWords]:
    """Name each fairway that has room for it."""
    wide, high = half_size(FAIRWAY)
    found = []
    for fairway in ground.fairways:
        around = wide + BESIDE_PX, high + BESIDE_PX
        spots = roomy_spots(sheet.place(fairway), sheet.width, sheet.height, around)
        if len(spots):
            found.append(DrawnWords(FAIRWAY, room.set_first(FAIRWAY, [rounded(spot) for spot in spots])))
    return found


def _stations(
    sheet: Sheet, stations: Sequence[tuple[str, Place]], along: FloatArray | None, room: LabelRoom
) -> tuple[tuple[str, ...], list[DrawnWords]]:
    """Return ticks across a string and the chainages beside them."""
    if along is None:
        return (), []
    run = along[1] - along[0]
    square = np.array([-run[1], run[0]]) / max(float(np.hypot(*run)), 1.0)
    ticks, words = [], []
    for text, place in stations:
        at = sheet.place(np.array(place))
        ticks.append(svg_path(np.array([at - TICK_PX * square, at + TICK_PX * square])))
        beside = [rounded(at + side * STATION_AWAY_PX * square) for side in (1, -1)]
        words.append(DrawnWords(text, room.set_first(text, beside)))
    return tuple(ticks), words


def _ring(sheet: Sheet, ring: FloatArray) -> str:
    return svg_path(sheet.place(ring)) + "Z" if len(ring) else ""


def _keep_off_signs(room: LabelRoom, sheet: Sheet) -> None:
    """Keep names off the scale bar at the foot, the north arrow and the words at the head."""
    room.take([(x, sheet.height - 24.0) for x in np.arange(10.0, sheet.width * 0.3, 12.0)], 14.0)
    room.take([(sheet.width - NORTH_PX, 34.0)], 24.0)
    half = math.ceil(sheet.width / 2)
    room.take([(half + x, 14.0) for x in range(-60, 61, 12)], 9.0)
