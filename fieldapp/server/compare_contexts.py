"""What the page of an old bunker beside a new one is given. Headings name the unit of the figures."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.compare_drawing import CompareDrawing
from fieldapp.server.hole_contexts import Choice


@dataclass(frozen=True)
class StraightCompared:
    """The straight shot at the middle: of the old bunker, the new one, or the change from one to the other; `behind`
    in the place of reach and carry, or "".
    """

    which: str
    middle: str
    reach: str
    carry: str
    width: str
    behind: str


@dataclass(frozen=True)
class PlayCompared:
    """The middle by the line of play, room and slant: of the old bunker, the new one, or the change."""

    which: str
    along: str
    off: str
    room: str
    slant: str


@dataclass(frozen=True)
class TeeCompared:
    """Both bunkers from one tee: a row each for the old one, the new one and the change."""

    tee: str
    straight: tuple[StraightCompared, ...]
    play: tuple[PlayCompared, ...]


@dataclass(frozen=True)
class PlayerCell:
    """What the old and the new bunker ask of a player from one tee; `now` stands out where it is not the same."""

    old: str
    now: str
    changed: bool


@dataclass(frozen=True)
class PlayerRow:
    """A player of the visitor's list, with a cell for each tee."""

    name: str
    carry: str
    cells: tuple[PlayerCell, ...]


@dataclass(frozen=True)
class Comparison:
    """Two bunkers compared: the shift in words, the plan of both, the figures, the players."""

    old: str
    new: str
    shift: str
    drawing: CompareDrawing
    tees: tuple[TeeCompared, ...]
    lies_words: tuple[str, ...]
    players: tuple[PlayerRow, ...]
    told: tuple[str, ...]


@dataclass(frozen=True)
class ComparePage:
    """The page of an old bunker beside a new one; `missing` says why there is nothing to compare, or is ""."""

    site_name: str
    site_url: str
    hole_title: str
    hole_url: str
    url: str
    unit: str
    sign: str
    faults: tuple[str, ...]
    remarks: tuple[str, ...]
    old: tuple[Choice, ...]
    new: tuple[Choice, ...]
    carries: str
    allowance_typed: str
    allowance: str
    missing: str
    comparison: Comparison | None
