"""Field records: what a phone says was done. Append-only; each has an id made on the phone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Verdict = Literal["inside", "outside", "cannot tell"]


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
class Mark:
    """A paint point was sprayed or pegged. `fix` is None when it was marked without a position."""

    id: str
    site: str
    hole: int
    made_at: datetime
    person: str
    device: str
    practice: bool
    receiver: str
    target: Target
    fix: Fix | None
    off_m: float | None
    verdict: Verdict
    kind: Literal["mark"] = "mark"

    @property
    def real(self) -> bool:
        """Whether it counts: not practice, by its own word or by its receiver."""
        return not self.practice and not self.receiver.startswith("practice")


@dataclass(frozen=True)
class Undo:
    """An earlier record of the same phone is taken back; both stay in the record."""

    id: str
    site: str
    hole: int
    made_at: datetime
    person: str
    device: str
    practice: bool
    undoes: str
    kind: Literal["undo"] = "undo"


FieldRecord = Mark | Undo


@dataclass(frozen=True)
class HeldRecord:
    """A record as the server holds it: `course_xy` is computed here from the fix, exact to the grid."""

    record: FieldRecord
    sequence: int
    received_at: datetime
    course_xy: tuple[float, float] | None
    off_m: float | None
    """Distance from the target by the server's own computation, ground metres."""
    undone_by: str | None = None
    remarks: str = ""
    """What did not fit the site when the record came in, in words; empty when all did."""
