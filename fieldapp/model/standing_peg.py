"""A peg as it stands now: the site's own or one that a crew placed, with what was last found of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fieldapp.model.held import HeldRecord
from fieldapp.model.site import Peg
from fieldapp.model.tape_record import PegReport, PegState

OUT_OF_PLACE: tuple[PegState, ...] = ("planned", "moved", "missing")
"""What a peg that nothing may be measured from can be: not driven yet, or not where it was."""


SeenAs = Literal["found", "moved", "planned"]


@dataclass(frozen=True)
class StandingPeg:
    """A peg with its newest standing report.

    `placed` is the report by which a crew's own peg came to its place, None for one of the site; `within_m` the 95 %
    radius of its place among its neighbours, None where nobody told: that of the site itself until it is set again.
    `last` is the newest report with its record, None where nothing was reported. `photos` are the ids of the pictures
    of all its standing reports, oldest first. `history` are the newest of those, in order, `last` at its end: what
    stood before one that is taken back. `state` is what it is by all of them; `seen_as` what it is once it is seen:
    the eye finds a peg again, but not that it still stands where it did, or was driven.
    """

    peg: Peg
    placed: PegReport | None = None
    within_m: float | None = None
    last: HeldRecord | None = None
    history: tuple[HeldRecord, ...] = ()
    state: PegState | None = None
    photos: tuple[str, ...] = ()
    seen_as: SeenAs = "found"

    def after(self, reported: PegState) -> tuple[PegState, SeenAs]:
        """Return its state, and what it is once it is seen, after one more report; twin: session/standing_pegs.js.

        Seen again, only a missing peg is as it was. One that has moved stands again once it is set again or driven
        anew, a planned one once it is driven.
        """
        if reported == "found":
            return self.seen_as, self.seen_as
        if reported == "missing":
            return "missing", self.seen_as
        return reported, reported if reported in ("moved", "planned") else "found"

    @property
    def is_in_place(self) -> bool:
        """Whether it can be measured from, as far as is known."""
        return self.state not in OUT_OF_PLACE
