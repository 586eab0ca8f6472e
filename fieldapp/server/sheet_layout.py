"""How a hole lies on a page of paper: the plan beside the table or above it, at a round ratio that is true on paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import Literal

from fieldapp.server.hole_drawing import HoleOnGround, fit_hole
from fieldapp.server.paper import A4, LETTER, MARGIN_MM, PX_PER_MM, SLACK_MM, Paper
from fieldapp.server.plan_sheet import Sheet

RATIOS = (250, 500, 750, 1000, 1250, 1500, 2000, 2500, 3000, 4000, 5000, 7500, 10_000, 15_000, 20_000)
TITLE_MM, GAP_MM = 15.0, 3.0
BESIDE_WIDTH_MM = 92.0
TABLE_GAP_MM = 5.0
LEAST_PLAN_MM = 110.0
HEAD_ROWS = 3.3
"""The head of the table, in rows."""
CHARACTER_MM_PER_PT = 0.18
NAME_SHARE = 0.36
"""Of the table's width, for the names of tees."""

PAPERS = {paper.name: paper for paper in (A4, LETTER)}

Arrangement = Literal["beside", "above"]


@dataclass(frozen=True)
class TypeSize:
    """A size of type of the table: how high its rows are, and the notes beside or below it."""

    name: str
    points: float
    row_mm: float
    notes_mm: float


SIZES = (
    TypeSize("large", 9.5, 5.0, 82.0),
    TypeSize("middling", 8.8, 4.3, 82.0),
    TypeSize("small", 8.1, 3.55, 73.0),
)


@dataclass(frozen=True)
class TableText:
    """The names in a table of yardages, which decide how high it is: of each bunker its own and those of its tees."""

    bunker: str
    tees: Sequence[str]

    def height_mm(self, size: TypeSize, width_mm: float) -> float:
        """Return the height of the bunker's rows."""
        lines = _lines(self.bunker, size, width_mm * 0.75)
        return size.row_mm * (lines + sum(_lines(tee, size, width_mm * NAME_SHARE) for tee in self.tees))


@dataclass(frozen=True)
class SheetLayout:
    """What goes where: the plan's sheet (CSS px) at `ratio`, the type, and how many bunkers the first page holds.

    `further` are those of the columns of the pages after it, two columns a page.
    """

    paper: Paper
    arrangement: Arrangement
    plan: Sheet
    plan_width_mm: float
    plan_height_mm: float
    ratio: int
    size: TypeSize
    bunkers_on_first: int
    further: tuple[range, ...]


def lay_out_sheet(ground: HoleOnGround, paper: Paper, table: Sequence[TableText]) -> SheetLayout:
    """Choose the arrangement that draws the hole larger, the largest type that fits, and the round ratio."""
    found = [
        layout
        for layout in (_beside(ground, paper, table), _above(ground, paper, table))
        if layout is not None
    ]
    return min(found, key=lambda layout: (layout.bunkers_on_first < len(table), layout.ratio))


def _beside(ground: HoleOnGround, paper: Paper, table: Sequence[TableText]) -> SheetLayout:
    width_mm = paper.width_mm - 2 * MARGIN_MM - BESIDE_WIDTH_MM - TABLE_GAP_MM
    height_mm = paper.height_mm - 2 * MARGIN_MM - TITLE_MM - GAP_MM - SLACK_MM
    size, count = _fitting(table, width_mm, height_mm, with_notes=True)
    further = _columns(table, size, width_mm, height_mm, count)
    return _layout(ground, paper, "beside", (BESIDE_WIDTH_MM, height_mm), size, further)


def _above(ground: HoleOnGround, paper: Paper, table: Sequence[TableText]) -> SheetLayout | None:
    """Plan over the whole width, table and notes side by side below it; None where that leaves the plan too little."""
    full_mm = paper.width_mm - 2 * MARGIN_MM
    width_mm = (full_mm - TABLE_GAP_MM) / 2
    room_mm = paper.height_mm - 2 * MARGIN_MM - TITLE_MM - 2 * GAP_MM - SLACK_MM
    size, count = _fitting(table, width_mm, room_mm - LEAST_PLAN_MM, with_notes=False)
    if count < len(table):
        return None
    needed_mm = HEAD_ROWS * size.row_mm + sum(text.height_mm(size, width_mm) for text in table)
    height_mm = room_mm - max(needed_mm, size.notes_mm)
    return _layout(ground, paper, "above", (full_mm, height_mm), size, [range(len(table))])


def _fitting(
    table: Sequence[TableText], width_mm: float, height_mm: float, with_notes: bool
) -> tuple[TypeSize, int]:
    """Return the largest type in which all bunkers fit; else the smallest, and how many fit in it.

    `with_notes` says that the notes stand below the table.
    """
    for size in SIZES:
        room_mm = height_mm - HEAD_ROWS * size.row_mm - (size.notes_mm if with_notes else 0.0)
        ends_mm = list(accumulate(text.height_mm(size, width_mm) for text in table))
        if not ends_mm or ends_mm[-1] <= room_mm:
            return size, len(table)
    return SIZES[-1], sum(end_mm <= room_mm for end_mm in ends_mm)


def _columns(
    table: Sequence[TableText], size: TypeSize, width_mm: float, height_mm: float, first: int
) -> list[range]:
    """Return which bunkers stand in which column: `first` on the first page, then as many as a column holds."""
    room_mm = height_mm - HEAD_ROWS * size.row_mm
    starts, used_mm = [0], 0.0
    for number, text in enumerate(table):
        own_mm = text.height_mm(size, width_mm)
        used_mm += own_mm
        if number == first or (number > first and used_mm > room_mm):
            starts.append(number)
            used_mm = own_mm
    return [range(start, end) for start, end in pairwise([*starts, len(table)])]


def _layout(
    ground: HoleOnGround,
    paper: Paper,
    arrangement: Arrangement,
    plan_mm: tuple[float, float],
    size: TypeSize,
    columns: Sequence[range],
) -> SheetLayout:
    width_px, height_px = (round(side * PX_PER_MM, 3) for side in plan_mm)
    fitted = fit_hole(ground, width_px, height_px)
    true_px_per_m = ground.ground_scale * 1000.0 * PX_PER_MM
    ratio = next((one for one in RATIOS if true_px_per_m / one <= fitted.px_per_m), RATIOS[-1])
    plan = replace(fitted, px_per_m=true_px_per_m / ratio, width=width_px, height=height_px)
    return SheetLayout(paper, arrangement, plan, *plan_mm, ratio, size, len(columns[0]), tuple(columns[1:]))


def _lines(text: str, size: TypeSize, width_mm: float) -> int:
    return max(math.ceil(len(text) * CHARACTER_MM_PER_PT * size.points / width_mm), 1)
