"""Records that came before their site stood: taken into the field record with the version that makes it stand."""

from __future__ import annotations

from fieldapp.store.draft_places import waiting_of
from fieldapp.store.engine import Transaction
from fieldapp.store.records import held_bodies
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.taking_in import Delivery, take_all_in


def take_waiting_in(transaction: Transaction, site_id: str) -> None:
    """Take over the records that wait for a site, which must stand, each once by its id; raises NotFoundError."""
    waiting = waiting_of(transaction, site_id)
    held = held_bodies(transaction, [item.sent.record.id for item in waiting]) if waiting else {}
    deliveries = [
        Delivery(site_id, [item.sent], Arrival(item.received_at, came_by=item.came_by))
        for item in waiting
        if item.sent.record.id not in held
    ]
    if deliveries:
        take_all_in(transaction, deliveries)
