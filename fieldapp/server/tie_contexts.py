"""What the tie sheet and the base line of a bunker are given. Headings name the unit of the figures."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.peg_drawing import PegDrawing


@dataclass(frozen=True)
class BunkerHead:
    """What every sheet of a bunker says at its head."""

    site_name: str
    site_url: str
    bunker_name: str
    bunker_url: str
    hole: str
    revision: str
    dated: str
    sign: str
    tape: str
    plan_url: str
    ties_url: str
    baseline_url: str


@dataclass(frozen=True)
class Taped:
    """A distance: level, and as the tape reads it on the slope, "" where that is not known."""

    level: str
    slope: str


@dataclass(frozen=True)
class TieRow:
    """A paint point: its distances from the pegs of its group, in their order."""

    number: int
    taped: tuple[Taped, ...]
    crossing: str
    error: str
    is_poor: bool


@dataclass(frozen=True)
class TieGroup:
    """Neighbouring points of one outline taped from the same pegs: two, and a third as a check; `side` in words.

    Points without ties have no pegs, and `why`.
    """

    part: str
    first: int
    last: int
    pegs: tuple[str, ...]
    side: str
    why: str
    rows: tuple[TieRow, ...]


@dataclass(frozen=True)
class PegPair:
    """How far two pegs are apart, and how far a tape may miss that."""

    one: str
    other: str
    taped: Taped
    within: str


@dataclass(frozen=True)
class TiesPage:
    """The tie sheet."""

    head: BunkerHead
    drawing: PegDrawing
    groups: tuple[TieGroup, ...]
    has_slopes: bool
    has_checks: bool
    levels: tuple[str, ...]
    pegs: tuple[str, ...]
    pairs: tuple[PegPair, ...]
    left_out: tuple[str, ...]
    untied: str
    has_planned: bool
    with_planned: bool
    notes: tuple[str, ...]
    csv_url: str


@dataclass(frozen=True)
class SquareRow:
    """A place by the string: a paint point by its number, or one at a round chainage; `beyond` says past which peg."""

    number: str
    chainage: str
    offset: str
    error: str
    beyond: str


@dataclass(frozen=True)
class SquareGroup:
    """The places of one outline, in the order they are set out."""

    part: str
    rows: tuple[SquareRow, ...]


@dataclass(frozen=True)
class BaselinePage:
    """The base line; `shown` is False where no string can be drawn yet, and `faults` or `needs` say why."""

    head: BunkerHead
    faults: tuple[str, ...]
    needs: str
    starts: tuple[Choice, ...]
    ends: tuple[Choice, ...]
    every_typed: str
    shown: bool
    start: str
    end: str
    length: str
    string_words: str
    drawing: PegDrawing | None
    groups: tuple[SquareGroup, ...]
    by_points: bool
    square: tuple[str, ...]
    diagonals: tuple[str, ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]
    csv_url: str
