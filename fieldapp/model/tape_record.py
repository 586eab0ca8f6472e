"""Field records of pegs and tapes: what a crew found, taped and captured on the ground."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fieldapp.model.record import Received, StoodReading
from fieldapp.model.site import PartName, PegKind

PegState = Literal["planned", "new", "found", "moved", "missing", "reset"]
PlacedBy = Literal["", "plan", "reading", "ties"]
TapedVerdict = Literal["all fit", "misfit", "cannot tell"]
MorningVerdict = Literal["go on", "re-set", "cannot tell"]
CaptureMethod = Literal["walk", "line", "ties", "mixed"]
CapturedBy = Literal["line", "ties", "reading"]
Side = Literal["", "left", "right"]


@dataclass(frozen=True)
class PegTie:
    """A distance taped from a peg, level, ground metres."""

    peg: str
    distance_m: float


@dataclass(frozen=True)
class UsedPeg:
    """A peg as the phone had it when it reckoned: course metres, with the 95 % radius of its place where known."""

    peg: str
    x: float
    y: float
    within_m: float | None = None


@dataclass(frozen=True)
class PegReport(Received):
    """What is known of a peg from now on: it was planned, driven, found, moved, missing or set again.

    `x`, `y` (course metres) are given where it was planned, driven or set again; `within_m` is the 95 % radius of that
    place among its neighbours and `placed_by` how it came about. `photos` are the ids of pictures taken at the peg,
    which are sent by themselves.
    """

    bunker: str | None
    peg: str
    peg_kind: PegKind
    state: PegState
    x: float | None = None
    y: float | None = None
    within_m: float | None = None
    placed_by: PlacedBy = ""
    note: str = ""
    photos: tuple[str, ...] = ()
    ties: tuple[PegTie, ...] = ()
    reading: StoodReading | None = None
    kind: Literal["peg"] = "peg"


@dataclass(frozen=True)
class TapedLine:
    """A distance between two pegs as it was read on the tape, ground metres.

    `level_difference_m` is how much higher the one lies than the other, by which it was reduced; None where it was
    taken as level.
    """

    one: str
    other: str
    distance_m: float
    level_difference_m: float | None = None


@dataclass(frozen=True)
class Taped(Received):
    """Distances between pegs were taped, and what the phone made of them.

    `tape_error_m` is one sigma of a taped distance; `suspects` the pegs that may have moved, `suspect_line` the
    distance that does not fit where it is a distance, `words` what the phone said.
    """

    bunker: str | None
    pegs: tuple[UsedPeg, ...]
    lines: tuple[TapedLine, ...]
    tape_error_m: float
    verdict: TapedVerdict
    suspects: tuple[str, ...] = ()
    suspect_line: tuple[str, str] | None = None
    words: str = ""
    kind: Literal["taped"] = "taped"


@dataclass(frozen=True)
class CapturedPoint:
    """A point of an outline as it was measured on the ground.

    By "line": `pegs` are the two ends of the string, `distances_m` chainage along it and offset (right positive). By
    "ties": `pegs` are two or three, `distances_m` the taped distances, `side` on which side of the line from the first
    to the second it lies, looking along. By "reading": neither. `x`, `y` is where the phone put it, course metres.
    """

    by: CapturedBy
    pegs: tuple[str, ...]
    distances_m: tuple[float, ...]
    side: Side
    x: float
    y: float
    within_m: float | None


@dataclass(frozen=True)
class WalkFix:
    """A fix of a walked line: seconds since the first, position, one-axis sigma where the receiver gives one."""

    t_s: float
    lat_deg: float
    lon_deg: float
    sigma_m: float | None


@dataclass(frozen=True)
class Capture(Received):
    """An outline as it is sprayed on the ground, measured so that it can be brought back.

    `outline` is that of the bunker it stands for, `revision` the one it was captured over. A walk has `fixes`, with the
    receiver's error as `parts` (share of the variance, time constant in seconds) known within the factor `spread`, and
    the shift (course metres) of the check-in `check_in`, which is not yet taken off the fixes; the others have `points`
    in order.
    """

    bunker: str
    outline: str
    part: PartName
    revision: str
    method: CaptureMethod
    closed: bool
    curve: Literal["smooth", "straight"]
    tape_error_m: float
    pegs: tuple[UsedPeg, ...] = ()
    points: tuple[CapturedPoint, ...] = ()
    fixes: tuple[WalkFix, ...] = ()
    parts: tuple[tuple[float, float], ...] = ()
    spread: float = 1.0
    check_in: str | None = None
    shift_x_m: float = 0.0
    shift_y_m: float = 0.0
    shift_radius95_m: float | None = None
    note: str = ""
    kind: Literal["capture"] = "capture"


@dataclass(frozen=True)
class Morning(Received):
    """The pegs of a bunker were checked before work goes on: what was found, and the phone's verdict.

    `check_in` and `taped` are the ids of those records, `states` what the walk round the pegs found, `reset` the pegs
    to set again.
    """

    bunker: str
    revision: str
    check_in: str | None
    taped: str | None
    states: tuple[tuple[str, PegState], ...]
    verdict: MorningVerdict
    reset: tuple[str, ...] = ()
    words: str = ""
    kind: Literal["morning"] = "morning"


TapeRecord = PegReport | Taped | Capture | Morning
