"""What the site page says of the record: marks, points painted twice, check-ins and trials, and how much there is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

from fieldapp.model import CheckIn, HeldRecord, Mark, Site, Trial, YardageCheck
from fieldapp.model.units import METRES_PER
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.server.page_contexts import MarkRow, PegVisitRow
from fieldapp.workflow.records import real_marks

VERDICT_WORDS = {"inside": "on the mark", "outside": "not on the mark", "cannot tell": "cannot tell"}
TWICE_WITHIN = timedelta(hours=12)
"""Within this time two phones' marks of one point are a double painting, later a line renewed. As on the phone."""


def mark_rows(
    site: Site, laid_out: LaidOutBunker, held: Sequence[HeldRecord], against: Mapping[str, str]
) -> Iterator[MarkRow]:
    """Yield the standing marks of a bunker, oldest first; `against` says of those of older revisions, by their ids,
    how they lie against the line that stands.
    """
    unit = site.units.ground
    for item, mark in real_marks(held):
        if mark.target.bunker != laid_out.bunker.id:
            continue
        radius = mark.position.radius95_m if mark.position else None
        yield MarkRow(
            id=mark.id,
            part=laid_out.bunker.called_as(mark.target.outline, mark.target.part),
            number=mark.target.number,
            verdict=VERDICT_WORDS[mark.verdict],
            off="no position" if item.off_m is None else ground_words(item.off_m, unit),
            radius="not known" if radius is None else ground_words(radius, unit),
            person=mark.person,
            came_by=came_by_words(item),
            made_at=minute(mark.made_at),
            revision=mark.target.revision,
            older=against.get(mark.id, ""),
            remarks=item.remarks,
        )


def peg_visit_rows(site: Site, held: Sequence[HeldRecord], on_day: date) -> Iterator[PegVisitRow]:
    """Yield the real check-ins and trials of a day (UTC) that stand, oldest first."""
    unit = site.units.ground
    for item in held:
        record = item.record
        if not isinstance(record, CheckIn | Trial) or item.undone_by is not None or record.practice:
            continue
        if record.made_at.astimezone(UTC).date() != on_day:
            continue
        yield PegVisitRow(
            id=record.id,
            kind="trial" if isinstance(record, Trial) else "check-in",
            person=record.person,
            came_by=came_by_words(item),
            receiver=record.receiver,
            peg=record.peg,
            shift=_shift_words(record, unit),
            worth=_worth(record, unit),
            made_at=minute(record.made_at),
        )


def _shift_words(record: CheckIn | Trial, unit: str) -> str:
    if isinstance(record, CheckIn):
        x, y = record.shift_x_m, record.shift_y_m
    else:
        x, y = record.offset_x_m, record.offset_y_m
    bearing = round(math.degrees(math.atan2(x, y))) % 360
    return f"{ground_words(math.hypot(x, y), unit)} toward {bearing:03d}° of the grid"


def _worth(record: CheckIn | Trial, unit: str) -> str:
    if isinstance(record, Trial):
        return _trial_worth(record, unit)
    reading = record.reading
    known = (
        ""
        if reading.radius95_m is None
        else f", known within {ground_words(reading.radius95_m, unit)} (95 %)"
    )
    return f"stood {reading.seconds:.0f} s{known}"


def _trial_worth(trial: Trial, unit: str) -> str:
    known = (
        ""
        if trial.offset_radius95_m is None
        else f", offset known within {ground_words(trial.offset_radius95_m, unit)} (95 %)"
    )
    return f"stood {trial.seconds / 60:.0f} min, scatters {ground_words(trial.scatter_m, unit)}{known}"


def twice_words(laid_out: LaidOutBunker, held: Sequence[HeldRecord]) -> Iterator[str]:
    """Yield a sentence for every point of the standing revision that two phones painted at about the same time."""
    bunker = laid_out.bunker
    of_point: dict[tuple[str, int], list[Mark]] = {}
    for _, mark in real_marks(held):
        target = mark.target
        if (target.bunker, target.revision) == (bunker.id, bunker.revision):
            of_point.setdefault((target.outline, target.number), []).append(mark)
    for (outline, number), marks in sorted(of_point.items()):
        pair = _painted_twice(sorted(marks, key=lambda mark: mark.made_at))
        if pair:
            told = " and ".join(f"by {mark.person} at {minute(mark.made_at)}" for mark in pair)
            called = bunker.called_as(outline, marks[0].target.part)
            yield f"Point {number} of the {called} was painted twice: {told} (UTC)."


def _painted_twice(marks: Sequence[Mark]) -> tuple[Mark, Mark] | None:
    """Return the newest two neighbours in time that are of two phones and near in time."""
    pairs = [
        (one, other)
        for one, other in pairwise(marks)
        if one.device != other.device and other.made_at - one.made_at <= TWICE_WITHIN
    ]
    return pairs[-1] if pairs else None


def came_by_words(item: HeldRecord) -> str:
    """Return the name on the link where it is another than the one in the record."""
    return "" if item.came_by == item.record.person else item.came_by


def record_words(site: Site, held: Sequence[HeldRecord]) -> str:
    """Say how much the record holds."""
    real = real_marks(held)
    practice = sum(1 for item in held if item.record.practice)
    marks = (item for item in held if isinstance(item.record, Mark) and not item.record.practice)
    taken_back = sum(1 for item in marks if item.undone_by is not None)
    known = {bunker.id for bunker in site.bunkers}
    strangers = sum(1 for _, mark in real if mark.target.bunker not in known)
    apart = (
        f" {_count(strangers, 'mark is', 'marks are')} of bunkers that this site no longer has."
        if strangers
        else ""
    )
    checks = sum(
        1
        for item in held
        if isinstance(item.record, YardageCheck) and item.record.real and item.undone_by is None
    )
    checked = f" {_count(checks, 'yardage check stands', 'yardage checks stand')}." if checks else ""
    return (
        f"{_count(len(real), 'mark stands', 'marks stand')}, "
        f"{_count(taken_back, 'was taken back', 'were taken back')}, "
        f"and {_count(practice, 'record is practice', 'records are practice')} and never counted.{apart}{checked} "
        "The CSV holds every record, practice and taken-back ones included, each flagged as such; "
        "the GeoJSON holds the marks, check-ins and yardage checks that have a position."
    )


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def ground_words(value_m: float, unit: str) -> str:
    """Return a length on the ground in the site's unit for the ground."""
    feet = value_m / METRES_PER["foot"]
    if unit == "foot":
        return f"{feet:.2f} ft" if feet >= 1.0 else f"{feet * 12:.1f} in"
    return f"{value_m:.2f} m"


def minute(moment: datetime) -> str:
    """Return a moment to the minute, UTC."""
    return moment.astimezone(UTC).strftime("%Y-%m-%d %H:%M")
