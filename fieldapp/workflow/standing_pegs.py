"""The pegs of a site as they stand: its own and those that crews placed, each with what was last found of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fieldapp.model import HeldRecord, Peg, PegReport, Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.store.engine import Store
from fieldapp.workflow.records import held_records_of

KINDS = ("peg", "undo")
MOST_HISTORY = 4
"""How many reports of a peg are told: a phone that takes its own newest ones back knows what stood before."""


def pegs_of(store: Store, site: Site) -> tuple[StandingPeg, ...]:
    """Return the pegs of a site as they stand; raises NotFoundError."""
    return standing_pegs(site, held_records_of(store, site.id, kinds=KINDS))


def standing_pegs(site: Site, held: Iterable[HeldRecord]) -> tuple[StandingPeg, ...]:
    """Return the site's pegs in its order, then the crews' own in the order they came.

    Only real reports that stand count, in the order they were made. A report that gives a place makes a peg of its
    own, or moves it; the place of a peg of the site itself is the site's, which it is known to stand on only within the
    radius of the ties by which it was set again.
    """
    pegs = {peg.id: StandingPeg(peg, within_m=peg.within_m) for peg in site.pegs}
    own = set(pegs)
    for item, report in peg_reports(held):
        known = pegs.get(report.peg)
        if known is None and report.x is None:
            continue
        placed = _of_the_site(known, report) if report.peg in own else _placed(known, report)
        assert placed is not None
        photos = (known.photos if known else ()) + report.photos
        history = ((known.history if known else ()) + (item,))[-MOST_HISTORY:]
        pegs[report.peg] = replace(
            placed, last=item, state=report.state, photos=tuple(dict.fromkeys(photos)), history=history
        )
    return tuple(pegs.values())


def peg_reports(held: Iterable[HeldRecord]) -> Sequence[tuple[HeldRecord, PegReport]]:
    """Return the real reports that stand, in the order they were made."""
    found = [
        (item, item.record)
        for item in held
        if isinstance(item.record, PegReport) and item.record.real and item.undone_by is None
    ]
    return sorted(found, key=lambda pair: (pair[1].made_at, pair[0].sequence))


def _of_the_site(known: StandingPeg | None, report: PegReport) -> StandingPeg | None:
    return replace(known, within_m=report.within_m) if known and report.state == "reset" else known


def _placed(known: StandingPeg | None, report: PegReport) -> StandingPeg | None:
    if report.x is None or report.y is None:
        return known
    note = report.note or (known.peg.note if known else "")
    peg = Peg(id=report.peg, kind=report.peg_kind, x=report.x, y=report.y, note=note)
    return StandingPeg(peg, placed=report, within_m=report.within_m)
