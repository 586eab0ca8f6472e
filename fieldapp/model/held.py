"""A field record of any kind, and as the server holds it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from fieldapp.model.record import CheckIn, Mark, PlaceRead, Trial, Undo, YardageCheck
from fieldapp.model.tape_record import TapeRecord

MarkState = Literal["still good", "re-mark", "not in the plan"]
FieldRecord = Mark | Undo | CheckIn | Trial | YardageCheck | PlaceRead | TapeRecord


@dataclass(frozen=True)
class HeldRecord:
    """A record as the server holds it: `course_xy` is computed here from its position, exact to the grid."""

    record: FieldRecord
    sequence: int
    received_at: datetime
    course_xy: tuple[float, float] | None
    off_m: float | None
    """Distance from the target, or of a check-in from its peg, by the server's own computation, ground metres."""
    undone_by: str | None = None
    remarks: str = ""
    """What did not fit the site when the record came in, in words; empty when all did."""
    came_by: str = ""
    """The name on the link by which it came; empty when it came by none."""


@dataclass(frozen=True)
class MarkNow:
    """A mark of an older revision against the plan that stands, where its bunker's revision is `revision`.

    `off_m` is how far its target lies from the line of its part, ground metres, None where there is no such line; a
    bunker that the plan has no more gives the revision "".
    """

    revision: str
    state: MarkState
    off_m: float | None
