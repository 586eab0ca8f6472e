"""Places read for a site that has no version yet: kept among its drafts until the site stands and takes them over."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from fieldapp.formats.record_text import same_content
from fieldapp.formats.records import SentRecord, read_held_text
from fieldapp.store.drafts import PLACES, KeptDraft, add_draft, drafts_of
from fieldapp.store.records import Outcome


@dataclass(frozen=True)
class WaitingRecord:
    """A record that waits for its site, with when it came and by whose link."""

    sent: SentRecord
    received_at: datetime
    came_by: str


def add_waiting(connection: Connection, site_id: str, news: Sequence[WaitingRecord]) -> list[Outcome]:
    """Keep records for a site being made, each once by its id; return what became of each, as `add_records` does."""
    held = {item.sent.record.id: item.sent.text for item in waiting_of(connection, site_id)}
    outcomes: list[Outcome] = []
    for new in news:
        body = held.get(new.sent.record.id)
        if body is not None:
            outcomes.append("held" if same_content(body, new.sent.text) else "contradicts")
            continue
        held[new.sent.record.id] = new.sent.text
        add_draft(connection, _kept(site_id, len(held), new))
        outcomes.append("new")
    return outcomes


def waiting_of(connection: Connection, site_id: str) -> list[WaitingRecord]:
    """Return the records that wait for a site, oldest first."""
    return [_waiting(kept) for kept in reversed(drafts_of(connection, site_id, PLACES))]


def _kept(site_id: str, number: int, new: WaitingRecord) -> KeptDraft:
    document = json.dumps({"record": new.sent.text, "came_by": new.came_by}, ensure_ascii=False)
    return KeptDraft(site_id, PLACES, number, "open", document, new.sent.record.person, new.received_at)


def read_waiting_text(document: str) -> tuple[SentRecord, str]:
    """Return the record that a document holds, and by whose link it came."""
    content = json.loads(document)
    text = content["record"]
    return SentRecord(read_held_text(text), text), content["came_by"]


def _waiting(kept: KeptDraft) -> WaitingRecord:
    sent, came_by = read_waiting_text(kept.document)
    return WaitingRecord(sent, kept.made_at, came_by)
