"""Who may plan pegs: a record that plans one is refused from whoever may only mark."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.formats.records import Refusal, SentRecord
from fieldapp.model import PegReport

NOT_YOURS = (
    "Record '{id}' cannot be taken: it plans peg '{peg}', and that is done on the page of the bunker's peg plan, by "
    "somebody who may change plans."
)


def without_plans(sent: Sequence[SentRecord]) -> tuple[list[SentRecord], list[Refusal]]:
    """Return the records that plan no peg, and the others refused in words."""
    plans = [item for item in sent if _plans(item)]
    return [item for item in sent if not _plans(item)], [_refused(item) for item in plans]


def _plans(item: SentRecord) -> bool:
    return isinstance(item.record, PegReport) and item.record.state == "planned"


def _refused(item: SentRecord) -> Refusal:
    record = item.record
    assert isinstance(record, PegReport)
    return Refusal(record.id, NOT_YOURS.format(id=record.id, peg=record.peg))
