"""Places that phones have read for a site: kept while it is made, and told to the pages on which it is made."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fieldapp.formats.records import Refusal, SentRecord
from fieldapp.model import FieldRecord, PlaceRead, Undo
from fieldapp.store.draft_places import WaitingRecord, add_waiting, waiting_of
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.records import held_records
from fieldapp.store.sites import standing_version
from fieldapp.workflow.site_drafts import draft_in
from fieldapp.workflow.taking_in import Delivery, Taken
from fieldapp.workflow.waiting_places import take_waiting_in

ONLY_PLACES = (
    "Record '{id}' is a {kind}: this site is still being made, so only places are taken until it is loaded; send it "
    "again then."
)


@dataclass(frozen=True)
class Waiting:
    """What became of a delivery for a site that is still being made."""

    delivery: Delivery
    refused: list[Refusal]
    taken: Taken


def keep_for_new_site(store: Store, delivery: Delivery) -> Waiting:
    """Keep the places of a delivery for a site that is being made; raises NotFoundError where there is none.

    Where the site was loaded a moment ago they go on into its field record.
    """
    kept = [item for item in delivery.sent if isinstance(item.record, PlaceRead | Undo)]
    others = [item for item in delivery.sent if item not in kept]
    with store.writing() as transaction:
        draft_in(transaction, delivery.site_id)
        outcomes = add_waiting(transaction, delivery.site_id, [_waiting(item, delivery) for item in kept])
        if standing_version(transaction, delivery.site_id) is not None:
            take_waiting_in(transaction, delivery.site_id)
    refused = [
        Refusal(item.record.id, ONLY_PLACES.format(id=item.record.id, kind=item.record.kind))
        for item in others
    ]
    return Waiting(
        Delivery(delivery.site_id, kept, delivery.arrival),
        refused,
        Taken([(outcome, "") for outcome in outcomes], {}),
    )


def places_read(store: Store, site_id: str) -> tuple[PlaceRead, ...]:
    """Return the places that were read for a site and stand, oldest first; practice is left out."""
    with store.reading() as transaction:
        return places_in(transaction, site_id)


def places_in(transaction: Transaction, site_id: str) -> tuple[PlaceRead, ...]:
    """Do as `places_read` within a transaction."""
    waiting: Iterable[FieldRecord] = [item.sent.record for item in waiting_of(transaction, site_id)]
    held: Sequence[FieldRecord] = [
        item.record for item in held_records(transaction, site_id, kinds=("place", "undo"))
    ]
    known = {record.id: record for record in (*waiting, *held)}
    undos = [record for record in known.values() if isinstance(record, Undo)]
    places = (record for record in known.values() if isinstance(record, PlaceRead) and record.real)
    standing = (place for place in places if not any(_takes_back(undo, place) for undo in undos))
    return tuple(sorted(standing, key=lambda place: place.made_at))


def _takes_back(undo: Undo, place: PlaceRead) -> bool:
    return undo.undoes == place.id and (undo.hole, undo.device) == (place.hole, place.device)


def _waiting(item: SentRecord, delivery: Delivery) -> WaitingRecord:
    return WaitingRecord(item, delivery.arrival.received_at, delivery.arrival.came_by)
