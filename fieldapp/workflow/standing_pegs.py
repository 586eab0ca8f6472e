"""The pegs of a site as they stand: its own and those that crews placed, each with what was last found of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from fieldapp.model import HeldRecord, Peg, PegReport, Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.store.engine import Store
from fieldapp.store.records import held_records

MOST_HISTORY = 4
"""How many reports of a peg are told at least: a phone that takes its own newest ones back knows what stood before."""
MOST_OF_A_STATE = 2
"""How many of each state but "found" are told, however old: where a peg stands, and how well, hangs on them."""


def pegs_of(store: Store, site: Site) -> tuple[StandingPeg, ...]:
    """Return the pegs of a site as they stand."""
    with store.reading() as transaction:
        return standing_pegs(site, held_records(transaction, site.id, kinds=("peg",)))


def standing_pegs(site: Site, held: Iterable[HeldRecord]) -> tuple[StandingPeg, ...]:
    """Return the site's pegs in its order, then the crews' own in the order they came.

    Only real reports that stand count, in the order they were made. A report that gives a place makes a peg of its
    own, or moves it; the place of a peg of the site itself is the site's, which it is known to stand on only within the
    radius of the ties by which it was set again. A plan for a peg that is there already does not count.
    """
    pegs = {peg.id: StandingPeg(peg, within_m=peg.within_m) for peg in site.pegs}
    pegs |= {peg.peg.id: peg for peg in as_reported(site, held)}
    return tuple(pegs.values())


def as_reported(site: Site, held: Iterable[HeldRecord]) -> Iterator[StandingPeg]:
    """Yield what each report that counts makes of its peg, in the order they were made."""
    pegs = {peg.id: StandingPeg(peg, within_m=peg.within_m) for peg in site.pegs}
    for item, report in peg_reports(held):
        known = pegs.get(report.peg)
        if (known is None and report.x is None) or is_late_plan(known, report):
            continue
        placed = _placed(known, report) if known is None or known.placed else _of_the_site(known, report)
        state, seen_as = (known or placed).after(report.state)
        pegs[report.peg] = replace(
            placed,
            last=item,
            state=state,
            seen_as=seen_as,
            photos=tuple(dict.fromkeys((known.photos if known else ()) + report.photos)),
            history=_told((*known.history, item) if known else (item,)),
        )
        yield pegs[report.peg]


def is_late_plan(known: StandingPeg | None, report: PegReport) -> bool:
    """Whether a report plans a peg that the site has, or of which anything but a plan stands."""
    if report.state != "planned" or known is None:
        return False
    return known.placed is None or any(
        isinstance(item.record, PegReport) and item.record.state != "planned" for item in known.history
    )


def reported_at(item: HeldRecord) -> datetime:
    """Return when a report was made; where its clock says later than it came, when it came."""
    return min(item.record.made_at, item.received_at)


def peg_reports(held: Iterable[HeldRecord]) -> Sequence[tuple[HeldRecord, PegReport]]:
    """Return the real reports that stand, in the order they were made."""
    found = [
        (item, item.record)
        for item in held
        if isinstance(item.record, PegReport) and item.record.real and item.undone_by is None
    ]
    return sorted(found, key=lambda pair: (reported_at(pair[0]), pair[0].sequence))


def _told(items: Sequence[HeldRecord]) -> tuple[HeldRecord, ...]:
    """Return those of a peg's reports, in order, from which a phone makes the same of it, also without the newest."""
    kept, counts = [], dict[str, int]()
    for back, item in enumerate(reversed(items)):
        assert isinstance(item.record, PegReport)
        state = item.record.state
        counts[state] = counts.get(state, 0) + 1
        if back < MOST_HISTORY or (state != "found" and counts[state] <= MOST_OF_A_STATE):
            kept.append(item)
    return tuple(reversed(kept))


def _of_the_site(known: StandingPeg, report: PegReport) -> StandingPeg:
    return replace(known, within_m=report.within_m) if report.state == "reset" else known


def _placed(known: StandingPeg | None, report: PegReport) -> StandingPeg:
    """Return a crew's own peg where a report places it; without a place it stays, and then it is known."""
    if report.x is None or report.y is None:
        assert known is not None
        return known
    note = report.note or (known.peg.note if known else "")
    peg = Peg(id=report.peg, kind=report.peg_kind, x=report.x, y=report.y, note=note)
    return StandingPeg(peg, placed=report, within_m=report.within_m)
