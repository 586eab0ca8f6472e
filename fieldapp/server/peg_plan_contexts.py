"""What the page of a peg plan is given. Headings name the unit of the figures."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.peg_drawing import PegDrawing


@dataclass(frozen=True)
class PlannedRow:
    """A planned peg's row of the form, and what it comes to; `remarks` are what to know of its place.

    `kept` says by whom and when it was kept where it stands, else that it is not.
    """

    number: int
    id: str
    along: str
    offset: str
    away: str
    reaches: str
    remarks: tuple[str, ...]
    kept: str


@dataclass(frozen=True)
class StandingRow:
    """A peg in the ground that the plan counts in."""

    id: str
    within: str
    reaches: str


@dataclass(frozen=True)
class PointRow:
    """How a paint point is fixed; `why` stands in the place of the figures where it is not."""

    part: str
    number: int
    pegs: str
    crossing: str
    error: str
    check: str
    why: str
    is_weakest: bool


@dataclass(frozen=True)
class KeptRow:
    """A planned peg that is kept."""

    id: str
    who: str
    made_at: str
    withdraw_url: str


@dataclass(frozen=True)
class PegPlanPage:
    """The page: `verdict` is "well", "poor" or "out", said in `headline` and `told`; `done` is what was just done."""

    site_name: str
    site_url: str
    bunker_name: str
    bunker_url: str
    hole: str
    revision: str
    url: str
    withdraw_url: str
    ties_url: str
    baseline_url: str
    dated: str
    unit: str
    sign: str
    faults: tuple[str, ...]
    done: str
    margin_typed: str
    counts: tuple[Choice, ...]
    counts_standing: bool
    verdict: str
    figure: str
    headline: str
    told: tuple[str, ...]
    drawing: PegDrawing
    px_per_unit: float
    planned: tuple[PlannedRow, ...]
    spare_row: int
    standing: tuple[StandingRow, ...]
    notes: tuple[str, ...]
    points: tuple[PointRow, ...]
    kept: tuple[KeptRow, ...]
    kept_words: str
    may_plan: bool
