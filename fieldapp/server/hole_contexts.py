"""What the page of a hole is given: the yardage table, carry against aim. Headings name the unit of the figures."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_asking import AimForm
from fieldapp.server.hole_drawing import HoleDrawing
from fieldapp.server.keep_clear_key import ThingKey
from fieldapp.server.page_contexts import Fact, YardageCheckRow
from fieldapp.server.plan_sheet import Place


@dataclass(frozen=True)
class Choice:
    """One of several to choose from."""

    id: str
    name: str
    chosen: bool


@dataclass(frozen=True)
class StraightRow:
    """A bunker from one tee on the straight shot at its middle; `behind` in the place of reach and carry, or ""."""

    tee: str
    middle: str
    reach: str
    carry: str
    behind: str


@dataclass(frozen=True)
class PlayRow:
    """A bunker from one tee by the line of play: abeam from and to, off the line, each stretch of sand on the line."""

    tee: str
    along: str
    off: str
    line: tuple[str, ...]


@dataclass(frozen=True)
class LiesRow:
    """How a bunker lies to the play from one tee: width square to the shot, room beside it, slant."""

    tee: str
    width: str
    room: str
    slant: str


@dataclass(frozen=True)
class AimRow:
    """A bunker from one tee on the visitor's aim line; where it misses, `beside` says how."""

    tee: str
    reach: str
    carry: str
    beside: str


@dataclass(frozen=True)
class PlannedRow:
    """A planned figure beside the drawn one; `beyond` says that they differ by more than the plan allows."""

    figure: str
    planned: str
    drawn: str
    difference: str
    beyond: bool


@dataclass(frozen=True)
class BunkerBlock:
    """One bunker of the yardage table; `remarks` are sand crossed more than once, the carry along the line of play
    with an allowance, and where a rangefinder or the grid would measure otherwise.
    """

    id: str
    name: str
    revision: str
    note: str
    open_edge: str
    straight: tuple[StraightRow, ...]
    play: tuple[PlayRow, ...]
    lies: tuple[LiesRow, ...]
    lies_words: str
    aim: tuple[AimRow, ...]
    planned_from: str
    tolerance: str
    planned: tuple[PlannedRow, ...]
    remarks: tuple[str, ...]
    set_out_url: str
    sight_url: str


@dataclass(frozen=True)
class AimRay:
    """One aim of the picture: from the foot of the sheet to the end of the sand, its carry at the head."""

    path: str
    lead: str
    figure: str
    at: Place
    end: Place


@dataclass(frozen=True)
class Tick:
    """A line of the chart's scale with its figure."""

    at: float
    figure: str


@dataclass(frozen=True)
class CarryPicture:
    """The sand from above with the aims over it, and below it the carry needed by aim, on the same scale across."""

    width: float
    height: float
    sand: str
    rays: tuple[AimRay, ...]
    bar_px: float
    bar_label: str
    chart_top: float
    chart_foot: float
    curve: str
    ticks: tuple[Tick, ...]
    across: tuple[Tick, ...]


@dataclass(frozen=True)
class AimedRow:
    """One aim of the table: its angle, how far off the middle it passes, reach and carry."""

    angle: str
    aside: str
    reach: str
    carry: str


@dataclass(frozen=True)
class CarryAgainstAim:
    """Carry against aim for one bunker from one tee; `told` says the least and the most in a sentence,
    `ends` the nearest and the furthest sand.
    """

    bunker: str
    tee: str
    told: str
    ends: str
    picture: CarryPicture
    rows: tuple[AimedRow, ...]


@dataclass(frozen=True)
class CheckedBunker:
    """A bunker with the yardage checks that were saved at it."""

    name: str
    checks: tuple[YardageCheckRow, ...]


@dataclass(frozen=True)
class HolePage:
    """The page of one hole; `checked` are its bunkers that have yardage checks.

    `aim_words`, `aim_beyond` and `aim_meets` say where the visitor's aim line goes, that it is aimed beyond the green,
    and what sand it meets; "" where there is nothing to say.
    """

    site_name: str
    site_url: str
    title: str
    facts: tuple[Fact, ...]
    dated: str
    drawing: HoleDrawing
    unit: str
    sign: str
    form: AimForm
    url: str
    faults: tuple[str, ...]
    aim_words: str
    aim_beyond: str
    aim_meets: str
    allowance: str
    blocks: tuple[BunkerBlock, ...]
    bunkers: tuple[Choice, ...]
    tees: tuple[Choice, ...]
    carry: CarryAgainstAim | None
    no_carry: str
    checked: tuple[CheckedBunker, ...]
    csv_url: str
    import_url: str
    sheet_url: str
    board_url: str
    compare_url: str
    sight_url: str
    keep_clear_url: str
    things: ThingKey
