"""Pegs on a plan to set out from: those that fall on the sheet, and arrows to those beyond its edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model.standing_peg import StandingPeg
from fieldapp.server.labels import SIDES, LabelRoom, half_size
from fieldapp.server.plan_sheet import FloatArray, Place, Sheet
from fieldapp.server.tape_words import TapeWords

PEG_PX = 6.0
ARROW_PX, HEAD_PX = 26.0, 8.0
AWAY_PX = (8.0, 14.0, 22.0, 32.0, 46.0)


@dataclass(frozen=True)
class SheetPeg:
    """A peg on the sheet with the middle of its name; `stands` is False of one that is planned, moved or missing."""

    words: str
    at: Place
    label: Place
    stands: bool


@dataclass(frozen=True)
class PegBeyond:
    """An arrow at the edge of the sheet toward a peg beyond it, and how far on it is from there."""

    words: str
    path: str
    label: Place


@dataclass(frozen=True)
class DrawnPegs:
    """The pegs on the sheet and those beyond it."""

    on_sheet: tuple[SheetPeg, ...]
    beyond: tuple[PegBeyond, ...]


def pegs_about(
    sheet: Sheet, pegs: Sequence[StandingPeg], ground_scale: float, words: TapeWords, room: LabelRoom
) -> DrawnPegs:
    """Draw the pegs; those out of place are told so, and no arrow leads to them."""
    at = {one.peg.id: sheet.place((one.peg.x, one.peg.y)) for one in pegs}
    on = [one for one in pegs if sheet.holds(_place(at[one.peg.id]))]
    room.take([_place(at[one.peg.id]) for one in on], PEG_PX)
    beyond = [one for one in pegs if one not in on and one.is_in_place]
    ends = {one.peg.id: _edge_place(sheet, at[one.peg.id]) for one in beyond}
    for end, way in ends.values():
        room.take([_place(end - way * back) for back in np.arange(0.0, ARROW_PX, 4.0)], 3.0)
    return DrawnPegs(
        tuple(_on_sheet(one, _place(at[one.peg.id]), room) for one in on),
        tuple(
            _beyond(sheet, one, at[one.peg.id], *ends[one.peg.id], ground_scale, words, room)
            for one in beyond
        ),
    )


def _place(at: FloatArray) -> Place:
    return round(float(at[0]), 2), round(float(at[1]), 2)


def _on_sheet(one: StandingPeg, at: Place, room: LabelRoom) -> SheetPeg:
    words = one.peg.id if one.is_in_place else f"{one.peg.id} ({one.state})"
    return SheetPeg(words, at, room.set_beside(words, at, PEG_PX + 4.0), one.is_in_place)


def _edge_place(sheet: Sheet, at: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return where the straight way from the middle of the sheet to a place leaves it, and that way."""
    middle = np.array([sheet.width / 2, sheet.height / 2])
    run = at - middle
    share = float(np.min(middle / np.maximum(np.abs(run), 1e-9)))
    return middle + run * share, run / np.hypot(*run)


def _beyond(
    sheet: Sheet,
    one: StandingPeg,
    at: FloatArray,
    end: FloatArray,
    way: FloatArray,
    ground_scale: float,
    words: TapeWords,
    room: LabelRoom,
) -> PegBeyond:
    on_m = float(np.hypot(*(at - end))) / sheet.px_per_m * ground_scale
    text = f"{one.peg.id}, {words.with_unit(on_m)} on"
    tail, (wide, high) = end - way * ARROW_PX, half_size(text)
    middles = [
        (float(at_arrow[0]) + x * (away + wide), float(at_arrow[1]) + y * (away + high))
        for away in AWAY_PX
        for at_arrow in (tail, (tail + end) / 2)
        for x, y in SIDES
    ]
    return PegBeyond(text, _arrow(tail, end, way), room.set_first(text, middles))


def _arrow(tail: FloatArray, tip: FloatArray, way: FloatArray) -> str:
    angle = math.atan2(way[1], way[0])
    barbs = [
        tip - HEAD_PX * np.array([math.cos(angle + turn), math.sin(angle + turn)]) for turn in (0.4, -0.4)
    ]
    (a, b), ends = barbs, [*_place(tail), *_place(tip)]
    shaft = f"M{ends[0]} {ends[1]}L{ends[2]} {ends[3]}"
    return f"{shaft}M{a[0]:.2f} {a[1]:.2f}L{ends[2]} {ends[3]}L{b[0]:.2f} {b[1]:.2f}"
