"""The pegs of a site as they stood at any time, for looking at records that were made then."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime

from fieldapp.model import HeldRecord, Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.workflow.standing_pegs import as_reported, reported_at


class PegBook:
    """What became of every peg of a site, report by report; `held` are its records, among them those that come now."""

    def __init__(self, site: Site, held: Iterable[HeldRecord]) -> None:
        self._untouched = {peg.id: StandingPeg(peg, within_m=peg.within_m) for peg in site.pegs}
        self._steps: dict[str, list[tuple[datetime, StandingPeg]]] = defaultdict(list)
        for peg in as_reported(site, held):
            assert peg.last is not None
            self._steps[peg.peg.id].append((reported_at(peg.last), peg))

    def before(self, name: str, moment: datetime) -> StandingPeg | None:
        """Return a peg as it stood before a time; None for one that nobody knew."""
        steps = self._steps.get(name, [])
        passed = bisect_left(steps, moment, key=lambda step: step[0])
        return steps[passed - 1][1] if passed else self._untouched.get(name)

    def all_before(self, moment: datetime) -> Mapping[str, StandingPeg]:
        """Return every peg there was before a time."""
        names = [*self._untouched, *(name for name in self._steps if name not in self._untouched)]
        found = {name: self.before(name, moment) for name in names}
        return {name: peg for name, peg in found.items() if peg is not None}
