"""What the one-page sheet of a hole is given. Headings name the unit of the figures."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.hole_drawing import HoleDrawing


@dataclass(frozen=True)
class SheetRow:
    """A bunker from one tee: the straight shot at its middle, and its middle by the line of play; `is_behind` says
    that there is neither reach nor carry, as it lies behind the tee.
    """

    tee: str
    reach: str
    carry: str
    along: str
    off: str
    is_behind: bool


@dataclass(frozen=True)
class SheetBlock:
    """The rows of one bunker."""

    name: str
    revision: str
    rows: tuple[SheetRow, ...]


FurtherPage = tuple[tuple[SheetBlock, ...], ...]
"""A page after the first: its columns."""


@dataclass(frozen=True)
class SheetPage:
    """The sheet; `further` are the pages of the bunkers that do not fit on its first one."""

    site_name: str
    site_url: str
    hole_title: str
    hole_url: str
    url: str
    faults: tuple[str, ...]
    tees: tuple[Choice, ...]
    papers: tuple[Choice, ...]
    paper: str
    paper_words: str
    step_typed: str
    arrangement: str
    type_size: str
    drawing: HoleDrawing
    plan_width_mm: float
    plan_height_mm: float
    scale: str
    arcs_words: str
    lengths: tuple[str, ...]
    unit: str
    sign: str
    blocks: tuple[SheetBlock, ...]
    further: tuple[FurtherPage, ...]
    notes: tuple[str, ...]
    dated: str
