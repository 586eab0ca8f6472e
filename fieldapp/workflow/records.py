"""Field records: take them in, and have them as they stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any

from fieldapp.formats.records import (
    Refusal,
    SentRecord,
    mark_for_phone,
    read_held_text,
    read_records,
    sent_at,
)
from fieldapp.model import HeldRecord, Mark
from fieldapp.store.engine import Store
from fieldapp.store.records import held_records, late_records, newest_sequence
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.sites import standing_site
from fieldapp.workflow.taking_in import Delivery, Taken
from fieldapp.workflow.who_plans import without_plans

OTHER_CONTENT = (
    "A record of the id '{id}' is held already with other content, and what is held is never overwritten; "
    "record it again under a new id."
)


@dataclass(frozen=True)
class Remark:
    """A record that was stored although something about it does not fit the site."""

    id: str
    detail: str


@dataclass(frozen=True)
class Receipt:
    """What became of a batch: ids now on disk, records refused, and remarks about stored ones.

    `revisions` are those that stand, by bunker, on the holes that the batch names.
    """

    stored: list[str]
    refused: list[Refusal]
    remarks: list[Remark]
    revisions: dict[str, str]

    @classmethod
    def of(cls, sent: Sequence[SentRecord], refused: list[Refusal], taken: Taken) -> Receipt:
        """Return the receipt for records sent, of which some were refused before; each id is named once."""
        receipt = cls([], list(refused), [], taken.revisions)
        named: set[str] = set()
        for item, (outcome, remarks) in zip(sent, taken.outcomes, strict=True):
            record_id = item.record.id
            if outcome == "contradicts":
                receipt.refused.append(Refusal(record_id, OTHER_CONTENT.format(id=record_id)))
            elif record_id not in named:
                named.add(record_id)
                receipt.stored.append(record_id)
                if remarks:
                    receipt.remarks.append(Remark(record_id, remarks))
        return receipt


@dataclass(frozen=True)
class Batch:
    """A batch as it could be read: what is to be stored, and what is refused already."""

    delivery: Delivery
    refused: list[Refusal]

    def receipt(self, taken: Taken) -> Receipt:
        """Return the receipt, once what became of the delivery is known."""
        return Receipt.of(self.delivery.sent, self.refused, taken)


@dataclass(frozen=True)
class RecordsSince:
    """The marks that came after a sequence number and stand, and those taken back after it.

    `revisions` are those that stand, by bunker of the hole.
    """

    sequence: int
    marks: list[dict[str, Any]]
    undone: list[str]
    revisions: dict[str, str]


def read_batch(
    site_id: str, document: object, received_at: datetime, came_by: str, may_plan: bool = False
) -> Batch:
    """Read a batch of records that came for a site; raises FormatError for a body that is no batch.

    Records that plan pegs are refused unless the sender may plan.
    """
    sent, refused = read_records(document)
    ours = [item for item in sent if item.record.site == site_id]
    refused += [_other_site(item, site_id) for item in sent if item.record.site != site_id]
    if not may_plan:
        ours, plans = without_plans(ours)
        refused += plans
    return Batch(Delivery(site_id, ours, Arrival(received_at, sent_at(document), came_by)), refused)


def held_records_of(
    store: Store, site_id: str | None = None, hole: int | None = None, kinds: Sequence[str] | None = None
) -> list[HeldRecord]:
    """Return the records held, oldest first, of one site or all, of some kinds or all; raises NotFoundError."""
    if site_id is not None:
        standing_site(store, site_id)
    with store.reading() as transaction:
        return held_records(transaction, site_id, hole, kinds)


def standing_marks(store: Store, site_id: str, hole: int) -> list[dict[str, Any]]:
    """Return the real marks of a hole that stand, as phones are given them."""
    return [
        mark_for_phone(mark, item.off_m) for item, mark in real_marks(held_records_of(store, site_id, hole))
    ]


def records_since(store: Store, site_id: str, hole: int, since: int) -> RecordsSince:
    """Return what changed among a hole's real marks after a sequence number; raises NotFoundError."""
    site = standing_site(store, site_id).site
    site.hole(hole)
    with store.reading() as transaction:
        newest = newest_sequence(transaction, site_id)
        late = late_records(transaction, site_id, hole, since) if newest > since else []
    told = (_for_phone(row.body, row.off_m) for row in late if row.kind == "mark" and not row.undone)
    return RecordsSince(
        sequence=newest,
        marks=[mark for mark in told if mark is not None],
        undone=[row.undoes for row in late if row.takes_back and not row.practice],
        revisions={bunker.id: bunker.revision for bunker in site.bunkers if bunker.hole == hole},
    )


@lru_cache(maxsize=5000)
def _for_phone(body: str, off_m: float | None) -> dict[str, Any] | None:
    """Return a mark as phones are given it, None for practice; many phones ask for the same new ones."""
    mark = read_held_text(body)
    return mark_for_phone(mark, off_m) if isinstance(mark, Mark) and mark.real else None


def real_marks(held: Iterable[HeldRecord]) -> list[tuple[HeldRecord, Mark]]:
    """Return the marks that stand: not practice, not taken back."""
    return [
        (item, item.record)
        for item in held
        if isinstance(item.record, Mark) and item.record.real and item.undone_by is None
    ]


def _other_site(item: SentRecord, site_id: str) -> Refusal:
    return Refusal(
        item.record.id,
        f"The record is of site '{item.record.site}' but was sent to '{site_id}'; send it to its own site.",
    )
