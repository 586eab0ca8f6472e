"""Plans of pegs that are kept: peg records of state planned, made at the desk, and taken back there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import uuid4

from fieldapp.errors import InputError, NotFoundError
from fieldapp.formats.records import moment_text
from fieldapp.model import PegReport, Site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.model.visitor import Visitor
from fieldapp.store.engine import Store
from fieldapp.workflow.peg_planning import BunkerPegs, PlannedPeg, judged, place_of
from fieldapp.workflow.records import read_batch
from fieldapp.workflow.taking_in import take_in

DEVICE = "desk"
"""What stands in a record for the phone it was made on; an undo must have the same."""
Json = dict[str, Any]


@dataclass(frozen=True)
class KeptPeg:
    """A planned peg that stands: the record it is kept by."""

    report: PegReport
    remarks: str


def kept_plan(pegs: Sequence[StandingPeg], bunker_id: str) -> tuple[KeptPeg, ...]:
    """Return the pegs that are planned for a bunker and not driven yet."""
    found = []
    for standing in pegs:
        if standing.state != "planned" or standing.placed is None or standing.placed.bunker != bunker_id:
            continue
        item = next(one for one in standing.history if one.record.id == standing.placed.id)
        found.append(KeptPeg(standing.placed, item.remarks))
    return tuple(found)


def keep_plan(
    store: Store,
    site: Site,
    about: BunkerPegs,
    pegs: Sequence[PlannedPeg],
    kept: Sequence[KeptPeg],
    visitor: Visitor,
    now: datetime,
) -> None:
    """Keep a plan in the place of the one that is kept; raises InputError for names and places that cannot be."""
    _check(about, pegs)
    records = [_undo(site, one.report, visitor, now) for one in kept]
    records += [_planned(site, about, peg, visitor, now) for peg in pegs]
    _take(store, site, records, visitor, now)


def withdraw(
    store: Store, site: Site, kept: Sequence[KeptPeg], record_id: str | None, visitor: Visitor, now: datetime
) -> None:
    """Take back one planned peg, or without an id all of them; raises NotFoundError where there is none."""
    chosen = [one for one in kept if record_id in (None, one.report.id)]
    if not chosen:
        raise NotFoundError(
            f"There is no planned peg '{record_id}' here any more; it may be driven, or taken back."
        )
    _take(store, site, [_undo(site, one.report, visitor, now) for one in chosen], visitor, now)


def name_faults(about: BunkerPegs, pegs: Sequence[PlannedPeg]) -> list[str]:
    """Say of each name that cannot be why: another peg has it, or two planned ones."""
    names = [peg.id for peg in pegs]
    return [
        f"A peg '{name}' is there already; give the planned one another name."
        if name in about.taken
        else f"Two planned pegs are called '{name}'; give one of them another name."
        for name in dict.fromkeys(names)
        if name in about.taken or names.count(name) > 1
    ]


def _check(about: BunkerPegs, pegs: Sequence[PlannedPeg]) -> None:
    if not pegs:
        raise InputError("The plan has no new peg, so there is nothing to keep.")
    for fault in name_faults(about, pegs):
        raise InputError(fault)
    for peg in judged(about, pegs).dug:
        raise InputError(
            f"The plan is not kept: {peg.id} stands in the dig and is dug out with it. "
            "Move it outside, then keep the plan."
        )


def _take(store: Store, site: Site, records: list[Json], visitor: Visitor, now: datetime) -> None:
    document = {"format": "fieldapp-records", "version": 1, "records": records}
    batch = read_batch(site.id, document, now, visitor.came_by, visitor.may("plan"))
    if batch.refused:
        raise InputError(f"The plan cannot be kept: {batch.refused[0].detail}")
    take_in(store, batch.delivery)


def _common(site: Site, hole: int, visitor: Visitor, now: datetime) -> Json:
    return {
        "id": str(uuid4()),
        "site": site.id,
        "hole": hole,
        "made_at": moment_text(now),
        "person": visitor.name,
        "device": DEVICE,
        "practice": False,
    }


def _planned(site: Site, about: BunkerPegs, peg: PlannedPeg, visitor: Visitor, now: datetime) -> Json:
    bunker, scale = about.points.laid_out.bunker, about.points.scale
    x, y = place_of(about, peg)
    return {
        **_common(site, bunker.hole, visitor, now),
        "kind": "peg",
        "receiver": "",
        "bunker": bunker.id,
        "peg": peg.id,
        "peg_kind": "reference",
        "state": "planned",
        "x": x / scale,
        "y": y / scale,
        "within_m": None,
        "placed_by": "plan",
        "note": "",
        "photos": [],
        "ties": [],
        "reading": None,
    }


def _undo(site: Site, report: PegReport, visitor: Visitor, now: datetime) -> Json:
    return {
        **_common(site, report.hole, visitor, now),
        "kind": "undo",
        "device": report.device,
        "undoes": report.id,
    }
