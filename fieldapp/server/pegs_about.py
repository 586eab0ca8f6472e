"""Pegs on a plan to set out from: those that fall on the sheet, and arrows to those beyond its edge."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model.standing_peg import StandingPeg
from fieldapp.server.labels import SIDES, LabelRoom, half_size
from fieldapp.server.plan_sheet import FloatArray, Place, Sheet, places_along, svg_path
from fieldapp.server.tape_words import TapeWords

PEG_PX = 6.0
ARROW_PX, HEAD_PX = 26.0, 8.0
AWAY_PX = (8.0, 14.0, 22.0, 32.0)
FAR_PX = tuple(range(40, 460, 20))
INSIDE_PX = 8.0


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
    leader: str
    label: Place


@dataclass(frozen=True)
class DrawnPegs:
    """The pegs on the sheet and those beyond it."""

    on_sheet: tuple[SheetPeg, ...]
    beyond: tuple[PegBeyond, ...]


def pegs_about(
    sheet: Sheet, pegs: Sequence[StandingPeg], ground_scale: float, words: TapeWords, room: LabelRoom
) -> DrawnPegs:
    """Draw the pegs. Those out of place are told so, and no arrow leads to them, nor one whose words find no room."""
    at = {one.peg.id: sheet.place((one.peg.x, one.peg.y)) for one in pegs}
    on = [one for one in pegs if sheet.holds(_place(at[one.peg.id]))]
    room.take([_place(at[one.peg.id]) for one in on], PEG_PX)
    on_sheet = tuple(_on_sheet(one, _place(at[one.peg.id]), room) for one in on)
    arrows = [_Arrow(sheet, at[one.peg.id], one.peg.id) for one in pegs if one not in on and one.is_in_place]
    for arrow in arrows:
        room.take([_place(place) for place in np.linspace(arrow.tail, arrow.tip, 8)], 3.0)
    beyond = [arrow.drawn(ground_scale, words, room) for arrow in arrows]
    return DrawnPegs(on_sheet, tuple(one for one in beyond if one is not None))


class _Arrow:
    """An arrow from a little inside the edge of the sheet to the edge, straight toward a peg beyond it."""

    def __init__(self, sheet: Sheet, at: FloatArray, peg: str) -> None:
        middle = np.array([sheet.width, sheet.height]) / 2
        run = at - middle
        shares = middle / np.maximum(np.abs(run), 1e-9)
        self.way = run / np.hypot(*run)
        self.tip = middle + run * float(shares.min())
        self.tail = self.tip - self.way * ARROW_PX
        self._along_edge = np.array([0.0, 1.0] if shares[0] < shares[1] else [1.0, 0.0])
        self._sheet, self._at, self._peg = sheet, at, peg

    def drawn(self, ground_scale: float, words: TapeWords, room: LabelRoom) -> PegBeyond | None:
        """Return the arrow with its words, near it or joined to it by a leader; None where they find no room."""
        on_m = float(np.hypot(*(self._at - self.tip))) / self._sheet.px_per_m * ground_scale
        text = f"{self._peg}, {words.with_unit(on_m)} on"
        for label, leader in self._choices(*half_size(text)):
            run = [] if leader is None else places_along(leader, 3.0)[3:]
            if room.is_clear(run) and room.set_free(text, [label]):
                room.take(run, 1.0)
                path = "" if leader is None else svg_path(leader)
                return PegBeyond(text, _arrow(self.tail, self.tip, self.way), path, label)
        return None

    def _choices(self, wide: float, high: float) -> Iterator[tuple[Place, FloatArray | None]]:
        """Yield middles for words of that half size: round the arrow, then along the edge with a leader."""
        for away in AWAY_PX:
            for at in (self.tail, (self.tail + self.tip) / 2):
                for x, y in SIDES:
                    yield _place(at + np.array([x * (away + wide), y * (away + high)])), None
        half = np.array([wide, high])
        least, most = half + INSIDE_PX, np.array([self._sheet.width, self._sheet.height]) - half - INSIDE_PX
        for off in FAR_PX:
            for side in (1.0, -1.0):
                middle = np.clip(self.tail + self._along_edge * side * off, least, most)
                end = middle - self._along_edge * side * half
                yield _place(middle), np.array([self.tail, self.tail + self._along_edge * (end - self.tail)])


def _place(at: FloatArray) -> Place:
    return round(float(at[0]), 2), round(float(at[1]), 2)


def _on_sheet(one: StandingPeg, at: Place, room: LabelRoom) -> SheetPeg:
    words = one.peg.id if one.is_in_place else f"{one.peg.id} ({one.state})"
    return SheetPeg(words, at, room.set_beside(words, at, PEG_PX + 4.0), one.is_in_place)


def _arrow(tail: FloatArray, tip: FloatArray, way: FloatArray) -> str:
    angle = math.atan2(way[1], way[0])
    barbs = [
        tip - HEAD_PX * np.array([math.cos(angle + turn), math.sin(angle + turn)]) for turn in (0.4, -0.4)
    ]
    (a, b), ends = barbs, [*_place(tail), *_place(tip)]
    shaft = f"M{ends[0]} {ends[1]}L{ends[2]} {ends[3]}"
    return f"{shaft}M{a[0]:.2f} {a[1]:.2f}L{ends[2]} {ends[3]}L{b[0]:.2f} {b[1]:.2f}"
