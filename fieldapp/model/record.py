"""Field records: what a phone says was done. Append-only; each has an id made on the phone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Verdict = Literal["inside", "outside", "cannot tell"]
CheckVerdict = Literal["agrees", "differs", "cannot tell"]
CheckFigure = Literal["reach", "carry", "along", "offset"]
CheckBasis = Literal["planned", "drawn"]
PlaceKind = Literal["tee", "peg", "turn", "green"]


@dataclass(frozen=True)
class Target:
    """Which paint point of which revision, and where it was meant to be (course coordinates, metres)."""

    bunker: str
    outline: str
    part: str
    number: int
    revision: str
    x: float
    y: float


@dataclass(frozen=True)
class Fix:
    """One GNSS position as the receiver gave it.

    `accuracy_m` is the receiver's own figure (None when it gave none); `radius95_m` is the 95 % radius taken from it,
    `radius95_basis` says how. `age_s` is how old the fix was when the record was made.
    """

    lat_deg: float
    lon_deg: float
    accuracy_m: float | None
    radius95_m: float | None
    radius95_basis: str
    age_s: float
    height_m: float | None = None


@dataclass(frozen=True)
class StoodReading:
    """Fixes combined while standing still, as the phone worked it out.

    `radius95_m` is None where the phone knows no radius; `check_in` is the id of the check-in whose shift was applied,
    `check_in_age_s` how old that was then.
    """

    lat_deg: float
    lon_deg: float
    radius95_m: float | None
    radius95_basis: str
    seconds: float
    fixes: int
    left_out: int
    check_in: str | None = None
    check_in_age_s: float | None = None


@dataclass(frozen=True)
class Made:
    """What every record says: its id, where it belongs, when, by whom and on what it was made."""

    id: str
    site: str
    hole: int
    made_at: datetime
    person: str
    device: str
    practice: bool


@dataclass(frozen=True)
class Received(Made):
    """A record made with a receiver, named here; its name begins with practice where it was no real one."""

    receiver: str

    @property
    def real(self) -> bool:
        """Whether it counts: not practice, by its own word or by its receiver."""
        return not self.practice and not self.receiver.startswith("practice")


@dataclass(frozen=True)
class Mark(Received):
    """A paint point was sprayed or pegged.

    `fix` is the last fix as the receiver gave it, None when it was marked without a position; `reading` what was made
    of the fixes, None where nothing was.
    """

    target: Target
    fix: Fix | None
    off_m: float | None
    verdict: Verdict
    reading: StoodReading | None = None
    kind: Literal["mark"] = "mark"

    @property
    def position(self) -> Fix | StoodReading | None:
        """Where it was marked and how well that is known: the reading where there is one, else the fix."""
        return self.reading or self.fix


@dataclass(frozen=True)
class Undo(Made):
    """An earlier record (a mark, check-in, trial or yardage check) is taken back; both stay in the record.

    It counts only for one of the same site, hole and device as its own, a practice one for practice only. The two may
    come in either order.
    """

    undoes: str
    kind: Literal["undo"] = "undo"


@dataclass(frozen=True)
class CheckIn(Received):
    """The receiver was held over a known peg: `shift` is the reading minus the peg, metres of the course grid."""

    peg: str
    peg_x: float
    peg_y: float
    reading: StoodReading
    shift_x_m: float
    shift_y_m: float
    kind: Literal["check_in"] = "check_in"


@dataclass(frozen=True)
class Trial(Received):
    """The receiver was tried for some minutes over a known peg.

    `accuracy_m` is the median of its own figure, `scatter_m` its one-axis sigma, `parts` the shares of its variance
    with their time constants in seconds (0: without memory), `spread` the factor they are known within; the offset,
    metres of the course grid, is the mean position minus the peg.
    """

    peg: str
    peg_x: float
    peg_y: float
    seconds: float
    fixes: int
    accuracy_m: float | None
    scatter_m: float
    parts: tuple[tuple[float, float], ...]
    spread: float
    offset_x_m: float
    offset_y_m: float
    offset_radius95_m: float | None
    kind: Literal["trial"] = "trial"


@dataclass(frozen=True)
class CheckTarget:
    """Which figure of which revision was checked from which tee plate, which lay at `tee_x`, `tee_y` (course metres).

    `basis` says whether it was compared with what is planned or, where nothing is planned from that tee, with what is
    drawn.
    """

    bunker: str
    revision: str
    tee: str
    tee_x: float
    tee_y: float
    figure: CheckFigure
    basis: CheckBasis


@dataclass(frozen=True)
class YardageCheck(Received):
    """A figure of a bunker was measured on the ground from a tee plate, as the phone worked it out.

    Ground metres, an offset right positive. `range95_m` is the half-width of the 95 % range of the figure, None where
    the receiver gives none or the grid is not known; `reading95_m`, `tee95_m`, `grid95_m` are the 95 % radii it was
    made of, None where one is not known and, of the tee plate, where it was taken as exact. `settle` says what would
    settle a check that cannot tell. `off_line_m` is how far right of the straight line from the tee to the bunker's
    middle the place lies, `own_line_m` what the drawn outline measures on the line through the place, `line_effect_m`
    how much less it measures on the line to the middle, `edge_slope` how many metres farther or nearer the edge is
    drawn per metre across; None where the figure has none.
    """

    target: CheckTarget
    reading: StoodReading
    measured_m: float
    range95_m: float | None
    planned_m: float
    tolerance_m: float
    verdict: CheckVerdict
    settle: str
    reading95_m: float | None
    tee95_m: float | None
    grid95_m: float | None
    off_line_m: float | None = None
    own_line_m: float | None = None
    line_effect_m: float | None = None
    edge_slope: float | None = None
    kind: Literal["yardage"] = "yardage"

    @property
    def difference_m(self) -> float:
        """Measured less planned."""
        return self.measured_m - self.planned_m


@dataclass(frozen=True)
class PlaceRead(Received):
    """Somebody stood at a place that a site is made of, so that the desk can take it: a tee plate, a peg, a turning
    point of a line of play, the middle of a green.

    `name` is what it is called, of a turning point its number in order of play. A peg may stand off every hole: `hole`
    is 0 then.
    """

    what: PlaceKind
    name: str
    reading: StoodReading
    note: str = ""
    kind: Literal["place"] = "place"
