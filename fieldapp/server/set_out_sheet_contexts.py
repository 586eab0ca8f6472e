"""What a set-out sheet is given: one context of the plan's sheet and the sheets of tables after it."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.set_out_sheet_drawing import SheetDrawing
from fieldapp.server.sheet_tables import Column


@dataclass(frozen=True)
class TitleBlock:
    """What the title block says, on every sheet of a set. `status` is "" only of a revision that stands.

    `is_long` says that the names want smaller type.
    """

    site: str
    hole: str
    bunker: str
    revision: str
    dated: str
    person: str
    why: str
    scale: str
    inch: str
    paper: str
    grid: str
    unit: str
    drawn: str
    status: str
    sheets: int
    is_long: bool


@dataclass(frozen=True)
class KeyRow:
    """A kind of line or mark that the plan has, and what it is; `kind` names how it is drawn."""

    kind: str
    words: str


@dataclass(frozen=True)
class Across:
    """Words written across the plan of what nobody sets out from: lines, the height of their type, their turn."""

    lines: tuple[str, ...]
    size: float
    turn_deg: float


@dataclass(frozen=True)
class SetOutSheetPage:
    """The set of sheets. `qr` is an SVG of the way to the phone's page, "" where there is none to go to."""

    title: TitleBlock
    site_url: str
    bunker_url: str
    board_url: str
    revisions_url: str
    url: str
    revision_asked: str
    draft_asked: bool
    faults: tuple[str, ...]
    notices: tuple[str, ...]
    papers: tuple[Choice, ...]
    scales: tuple[Choice, ...]
    paper: str
    columns: int
    drawing: SheetDrawing
    plan_width_mm: float
    plan_height_mm: float
    plan_width: float
    plan_height: float
    frame_px: float
    across: Across | None
    play: tuple[str, ...]
    play_turn_deg: float
    key: tuple[KeyRow, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    qr: str
    qr_words: str
    further: tuple[tuple[Column, ...], ...]
