"""Field records: take them in, and have them as they stand."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import InputError
from fieldapp.formats.records import Refusal, SentRecord, mark_for_phone, read_records
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import FieldRecord, HeldRecord, Mark
from fieldapp.store.engine import Store
from fieldapp.store.records import NewRecord, add_record, held_records, newest_sequence
from fieldapp.workflow.fitness import RevisionBook, misfits
from fieldapp.workflow.sites import StandingSite, site_versions, standing_site

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
    """What became of a batch: ids now on disk, records refused, and remarks about stored ones."""

    stored: list[str]
    refused: list[Refusal]
    remarks: list[Remark]


@dataclass(frozen=True)
class RecordsSince:
    """The marks that came after a sequence number and stand, and those taken back after it."""

    sequence: int
    marks: list[dict[str, Any]]
    undone: list[str]


def accept_records(store: Store, site_id: str, document: object, received_at: datetime) -> Receipt:
    """Store a batch of records of a site; what the receipt calls stored is on disk.

    Raises NotFoundError for a site never loaded, FormatError for a body that is no batch, StoreError.
    """
    standing = standing_site(store, site_id)
    sent, refused = read_records(document)
    ours = [item for item in sent if item.record.site == site_id]
    refused += [_other_site(item, site_id) for item in sent if item.record.site != site_id]
    book = RevisionBook(standing, lambda: site_versions(store, site_id))
    places = _course_places(standing.grid, [item.record for item in ours])
    new = [_examined(item, standing, book, received_at, xy) for item, xy in zip(ours, places, strict=True)]
    receipt = Receipt([], refused, [])
    with store.writing() as transaction:
        for item in new:
            _note(receipt, item, add_record(transaction, item))
    return receipt


def held_records_of(store: Store, site_id: str | None = None, hole: int | None = None) -> list[HeldRecord]:
    """Return the records held, oldest first, of one site or all; raises NotFoundError."""
    if site_id is not None:
        standing_site(store, site_id)
    with store.reading() as transaction:
        return held_records(transaction, site_id, hole)


def standing_marks(store: Store, site_id: str, hole: int) -> list[dict[str, Any]]:
    """Return the real marks of a hole that stand, as phones are given them."""
    return [mark_for_phone(item, mark) for item, mark in real_marks(held_records_of(store, site_id, hole))]


def records_since(store: Store, site_id: str, hole: int, since: int) -> RecordsSince:
    """Return what changed among a hole's real marks after a sequence number; raises NotFoundError."""
    standing_site(store, site_id).site.hole(hole)
    with store.reading() as transaction:
        newest = newest_sequence(transaction, site_id)
        held = held_records(transaction, site_id) if newest > since else []
    late = {item.record.id for item in held if item.sequence > since}
    ours = [item for item in held if item.record.hole == hole]
    return RecordsSince(
        sequence=newest,
        marks=[mark_for_phone(item, mark) for item, mark in real_marks(ours) if item.sequence > since],
        undone=[item.record.id for item in ours if item.undone_by in late and not item.record.practice],
    )


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


def _course_places(grid: CourseGrid, records: Sequence[FieldRecord]) -> list[tuple[float, float] | None]:
    """Return each record's fix in course coordinates; None without a fix, or with one outside the grid."""
    fixes = [record.fix if isinstance(record, Mark) else None for record in records]
    lonlat = np.array([(fix.lon_deg, fix.lat_deg) for fix in fixes if fix is not None]).reshape(-1, 2)
    found = iter(_to_course(grid, lonlat))
    return [None if fix is None else next(found) for fix in fixes]


def _to_course(grid: CourseGrid, lonlat: NDArray[np.float64]) -> list[tuple[float, float] | None]:
    """Turn positions `(N, 2)` into course coordinates in one go; one by one where some of them cannot be."""
    if len(lonlat) == 0:
        return []
    try:
        return [(float(x), float(y)) for x, y in grid.to_course(lonlat)]
    except InputError:
        if len(lonlat) == 1:
            return [None]
        return [place for position in lonlat for place in _to_course(grid, position[np.newaxis])]


def _examined(
    sent: SentRecord,
    standing: StandingSite,
    book: RevisionBook,
    received_at: datetime,
    xy: tuple[float, float] | None,
) -> NewRecord:
    record = sent.record
    off_m = None
    if isinstance(record, Mark) and xy is not None:
        off_m = math.dist(xy, (record.target.x, record.target.y)) * standing.ground_scale(record.hole)
    remarks = " ".join(misfits(record, book, xy, off_m))
    return NewRecord(sent, standing.sequence, received_at, xy, off_m, remarks)


def _note(receipt: Receipt, item: NewRecord, outcome: str) -> None:
    record_id = item.sent.record.id
    if outcome == "contradicts":
        receipt.refused.append(Refusal(record_id, OTHER_CONTENT.format(id=record_id)))
        return
    if record_id not in receipt.stored:
        receipt.stored.append(record_id)
        if item.remarks:
            receipt.remarks.append(Remark(record_id, item.remarks))
