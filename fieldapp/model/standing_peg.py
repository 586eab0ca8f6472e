"""A peg as it stands now: the site's own or one that a crew placed, with what was last found of it."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model.held import HeldRecord
from fieldapp.model.site import Peg
from fieldapp.model.tape_record import PegReport, PegState

OUT_OF_PLACE: tuple[PegState, ...] = ("planned", "moved", "missing")
"""What a peg that nothing may be measured from can be: not driven yet, or not where it was."""


@dataclass(frozen=True)
class StandingPeg:
    """A peg with its newest standing report.

    `placed` is the report by which a crew's own peg came to its place, None for one of the site; `within_m` the 95 %
    radius of its place among its neighbours, None where nobody told: that of the site itself until it is set again.
    `last` is the newest report with its record, None where nothing was reported. `photos` are the ids of the pictures
    of all its standing reports, oldest first. `history` are the newest of those, in order, `last` at its end: what
    stood before one that is taken back.
    """

    peg: Peg
    placed: PegReport | None = None
    within_m: float | None = None
    last: HeldRecord | None = None
    history: tuple[HeldRecord, ...] = ()
    state: PegState | None = None
    photos: tuple[str, ...] = ()

    @property
    def is_in_place(self) -> bool:
        """Whether it can be measured from, as far as is known."""
        return self.state not in OUT_OF_PLACE
