"""Whether a phone's clock can be right: sentences about one that cannot. The record keeps its own time all the same."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldapp.formats.moments import moment_words
from fieldapp.model import FieldRecord
from fieldapp.workflow.fitness import RevisionBook

MOST_APART = timedelta(minutes=10)
BEFORE_THE_SITE = timedelta(days=1)


@dataclass(frozen=True)
class Arrival:
    """How records came: when by the server's clock, when by the phone's (None where it did not say), by whose link."""

    received_at: datetime
    sent_at: datetime | None = None
    came_by: str = ""


def clock_remarks(record: FieldRecord, book: RevisionBook, arrival: Arrival) -> Iterator[str]:
    """Yield a sentence where the phone's clock was wrong.

    A record may come days after it was made, so a clock that is behind shows only by what it said when it sent, or by
    a time before this server knew the site at all.
    """
    if arrival.sent_at is not None and abs(arrival.sent_at - arrival.received_at) > MOST_APART:
        yield _apart(arrival.sent_at, arrival.received_at)
    elif record.made_at - arrival.received_at > MOST_APART:
        yield _apart(record.made_at, arrival.received_at)
    elif (
        record.made_at < book.standing.loaded_at - BEFORE_THE_SITE
        and book.standing.loaded_at <= arrival.received_at
    ):
        first = book.first_loaded_at
        if record.made_at < first - BEFORE_THE_SITE:
            yield (
                f"The phone's clock said {moment_words(record.made_at)}, before this server knew the site "
                f"({moment_words(first)})."
            )


def _apart(phone: datetime, server: datetime) -> str:
    way = "ahead of" if phone > server else "behind"
    return (
        f"The phone's clock said {moment_words(phone)}, {span_words(abs(phone - server))} {way} the server's."
    )


def span_words(span: timedelta) -> str:
    """Return a length of time in its largest fitting unit, rounded: '2 days', '3 hours', '25 minutes'."""
    minutes = max(1, round(span.total_seconds() / 60))
    size, unit = next(
        (size, unit) for size, unit in ((1440, "day"), (60, "hour"), (1, "minute")) if minutes >= size
    )
    count = round(minutes / size)
    return f"{count:,} {unit}{'' if count == 1 else 's'}"
