"""Records taken in: where they lie on the course, what does not fit, and into the store with whatever else waits."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import InputError
from fieldapp.formats.records import SentRecord, read_held_text
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import (
    CheckIn,
    FieldRecord,
    Fix,
    HeldRecord,
    Mark,
    Morning,
    PegReport,
    PlaceRead,
    StoodReading,
    Undo,
    YardageCheck,
)
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.records import NewRecord, Outcome, add_records, held_bodies, held_records
from fieldapp.workflow.fitness import RevisionBook, misfits
from fieldapp.workflow.morning_fitness import morning_misfits
from fieldapp.workflow.phone_clock import Arrival, clock_remarks
from fieldapp.workflow.sites import standing_in, versions_in
from fieldapp.workflow.undo_fitness import undo_misfits


@dataclass(frozen=True)
class Delivery:
    """Records of one site as they came; `remarks` are those made of them by their ids when they came elsewhere."""

    site_id: str
    sent: Sequence[SentRecord]
    arrival: Arrival
    remarks: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Taken:
    """What became of each record of a delivery, with its remarks, and what stands on their holes, by bunker."""

    outcomes: list[tuple[Outcome, str]]
    revisions: dict[str, str]


def take_in(store: Store, delivery: Delivery) -> Taken:
    """Store records of one site; what is not called a contradiction is on disk. Raises NotFoundError, StoreError."""
    (taken,) = take_in_all(store, [delivery])
    if isinstance(taken, Exception):
        raise taken
    return taken


def take_in_all(store: Store, deliveries: Sequence[Delivery]) -> list[Taken | Exception]:
    """Store deliveries of any sites together, and say of each what became of it: what `take_in` returns, or raises."""
    return store.write_all(take_all_in, deliveries)


def take_all_in(transaction: Transaction, deliveries: Sequence[Delivery]) -> list[Taken]:
    """Do as `take_in_all` within a transaction, in which every site must stand; raises NotFoundError."""
    books = {
        site_id: _book(transaction, site_id, deliveries)
        for site_id in {delivery.site_id for delivery in deliveries}
    }
    places = {site_id: _places_of(site_id, deliveries, book) for site_id, book in books.items()}
    named = _named(transaction, [item.record for delivery in deliveries for item in delivery.sent])
    new = [
        [
            _as_remarked(
                _examined(
                    item, books[delivery.site_id], delivery.arrival, next(places[delivery.site_id]), named
                ),
                delivery,
            )
            for item in delivery.sent
        ]
        for delivery in deliveries
    ]
    outcomes = iter(add_records(transaction, [item for items in new for item in items]))
    return [
        Taken(
            [(next(outcomes), item.remarks) for item in items], _revisions(delivery, books[delivery.site_id])
        )
        for delivery, items in zip(deliveries, new, strict=True)
    ]


def _revisions(delivery: Delivery, book: RevisionBook) -> dict[str, str]:
    holes = {item.record.hole for item in delivery.sent}
    return {name: bunker.revision for name, bunker in book.bunkers.items() if bunker.hole in holes}


def _named(transaction: Transaction, records: Sequence[FieldRecord]) -> dict[str, FieldRecord]:
    """Return the records that undos and mornings among these name, as far as they are held or come now."""
    wanted = {record.undoes for record in records if isinstance(record, Undo)}
    wanted |= {record.taped for record in records if isinstance(record, Morning) and record.taped}
    held = held_bodies(transaction, list(wanted)) if wanted else {}
    come = {record.id: record for record in reversed(records) if record.id in wanted}
    return come | {record_id: read_held_text(body) for record_id, body in held.items()}


def _book(transaction: Transaction, site_id: str, deliveries: Sequence[Delivery]) -> RevisionBook:
    return RevisionBook(
        standing_in(transaction, site_id),
        lambda: versions_in(transaction, site_id),
        lambda: _reports(transaction, site_id, deliveries),
    )


def _reports(transaction: Transaction, site_id: str, deliveries: Sequence[Delivery]) -> Iterator[HeldRecord]:
    """Yield the reports of a site's pegs that are held, and those that come now, but what is taken back now."""
    come = [
        (item.record, delivery.arrival.received_at)
        for delivery in deliveries
        if delivery.site_id == site_id
        for item in delivery.sent
    ]
    gone = {record.undoes for record, _ in come if isinstance(record, Undo)}
    held = [item for item in held_records(transaction, site_id, kinds=("peg",)) if item.record.id not in gone]
    yield from held
    known, last = {item.record.id for item in held} | gone, max((item.sequence for item in held), default=0)
    for place, (record, received_at) in enumerate(come, last + 1):
        if isinstance(record, PegReport) and record.id not in known:
            known.add(record.id)
            yield HeldRecord(record, place, received_at, None, None)


def _places_of(
    site_id: str, deliveries: Sequence[Delivery], book: RevisionBook
) -> Iterator[tuple[float, float] | None]:
    """Return the places of all records of a site, in the order of the deliveries."""
    sent = [item.record for delivery in deliveries if delivery.site_id == site_id for item in delivery.sent]
    return iter(_course_places(book.standing.grid, sent))


def _course_places(grid: CourseGrid, records: Sequence[FieldRecord]) -> list[tuple[float, float] | None]:
    """Return each record's position in course coordinates; None without one, or with one outside the grid."""
    places = [_position(record) for record in records]
    lonlat = np.array([(at.lon_deg, at.lat_deg) for at in places if at is not None]).reshape(-1, 2)
    found = iter(_to_course(grid, lonlat))
    return [None if at is None else next(found) for at in places]


def _position(record: FieldRecord) -> Fix | StoodReading | None:
    if isinstance(record, Mark):
        return record.position
    return record.reading if isinstance(record, CheckIn | YardageCheck | PegReport | PlaceRead) else None


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
    book: RevisionBook,
    arrival: Arrival,
    xy: tuple[float, float] | None,
    named: Mapping[str, FieldRecord],
) -> NewRecord:
    record, standing = sent.record, book.standing
    off_m = None if xy is None else _off_m(record, book, xy)
    remarks = [*misfits(record, book, xy, off_m), *clock_remarks(record, book, arrival)]
    if isinstance(record, Undo):
        remarks += undo_misfits(record, named.get(record.undoes))
    if isinstance(record, Morning) and record.verdict == "go on":
        remarks += morning_misfits(record, named.get(record.taped or ""), standing, book.pegs)
    return NewRecord(
        sent, standing.sequence, arrival.received_at, xy, off_m, " ".join(remarks), arrival.came_by
    )


def _as_remarked(new: NewRecord, delivery: Delivery) -> NewRecord:
    told = delivery.remarks.get(new.sent.record.id)
    return new if told is None else replace(new, remarks=told)


def _off_m(record: FieldRecord, book: RevisionBook, xy: tuple[float, float]) -> float | None:
    """Return how far from its target, or from its peg, a record's position lies, ground metres."""
    if isinstance(record, Mark):
        meant = record.target.x, record.target.y
    elif isinstance(record, CheckIn):
        meant = record.peg_x, record.peg_y
    else:
        return None
    return math.dist(xy, meant) * book.ground_scale(record.hole)
