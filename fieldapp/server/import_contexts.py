"""What the page that brings a drawing in is given."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.hole_drawing import HoleDrawing
from fieldapp.server.plan_drawing import DrawnOutline
from fieldapp.server.plan_sheet import ScaleBar


@dataclass(frozen=True)
class BroughtLine:
    """A line of the drawing on a sheet; `used` says that it becomes something."""

    path: str
    used: bool


@dataclass(frozen=True)
class CloseUp:
    """What is brought in on a sheet of its own, with what stands there."""

    width: float
    height: float
    bar: ScaleBar
    north_turn_deg: float
    outlines: tuple[DrawnOutline, ...]
    brought: tuple[BroughtLine, ...]


@dataclass(frozen=True)
class TieRow:
    """A place of the drawing as it was typed, and the pegs and tee plates that it may be."""

    number: int
    place: str
    marks: tuple[Choice, ...]


@dataclass(frozen=True)
class LineRow:
    """A line of a layer, which may be left out by itself."""

    index: int
    words: str
    left_out: bool


@dataclass(frozen=True)
class LayerRow:
    """A layer: what was found on it, what it becomes; `clearance` is typed where that is something to keep clear of."""

    index: int
    name: str
    found: str
    uses: tuple[Choice, ...]
    is_clear: bool
    clearance: str
    lines: tuple[LineRow, ...]


@dataclass(frozen=True)
class Questions:
    """How the numbers of a drawing are read: what may be chosen, and why it is taken so at first."""

    systems: tuple[Choice, ...]
    system_why: str
    code: str
    by_pegs: bool
    published: bool
    units: tuple[Choice, ...]
    unit_why: str
    orders: tuple[Choice, ...]
    order_why: str
    ties: tuple[TieRow, ...]
    spots: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class LookedAt:
    """A drawing that was read: the questions, its layers, the preview, and what keeping it comes to."""

    kind: str
    says: tuple[str, ...]
    questions: Questions
    layers: tuple[LayerRow, ...]
    told: tuple[str, ...]
    faults: tuple[str, ...]
    outcome: tuple[str, ...]
    overview: HoleDrawing | None
    brought: tuple[BroughtLine, ...]
    close_up: CloseUp | None
    makes_outlines: bool
    has_services: bool
    bunkers: tuple[Choice, ...]
    bunker_is_new: bool
    bunker_id: str
    bunker_name: str
    draft_number: int
    has_draft: bool
    may_keep: bool


@dataclass(frozen=True)
class ImportPage:
    """The page; `state` is "" before a file was sent, `words` says why one was refused, `done` what was kept."""

    site_name: str
    site_url: str
    hole: int
    hole_title: str
    hole_url: str
    url: str
    api_url: str
    import_id: str
    file_name: str
    state: str
    words: str
    progress: str
    most_mb: int
    done: str
    board_url: str
    asks_name: bool
    person: str
    looked: LookedAt | None
