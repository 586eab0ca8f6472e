"""The board of pegs in words: how every peg stands since the evening, its photos, what the mornings found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldapp.model import HeldRecord, Morning, PegReport
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.model.tape_record import PegState
from fieldapp.server.record_rows import came_by_words, ground_words, minute
from fieldapp.server.taped_rows import TapedRow, taped_rows
from fieldapp.workflow.bunker_pegs import bunkers_of_peg
from fieldapp.workflow.sites import StandingSite
from fieldapp.workflow.standing_pegs import peg_reports, reported_at, standing_pegs

DEFAULT_HOURS = 18
"""Back from the morning's first hour into the evening before."""
SPANS = ((18, "18 hours"), (48, "2 days"), (168, "a week"))
NOT_REPORTED = "not reported"
STATE_WORDS = {
    "planned": "planned, not driven",
    "new": "new",
    "found": "found",
    "moved": "moved",
    "missing": "missing",
    "reset": "set again",
}
SEEN_WORDS = {
    "moved": "seen, but it has moved: set it again",
    "planned": "seen, but not reported as driven",
}
"""Of a peg that was found since: the eye does not tell that it stands where it did."""
VERDICT_WORDS = {"go on": "safe to go on", "re-set": "set these again", "cannot tell": "can't tell"}
GROUPS = (
    ("bad", "Moved or missing", "Measure from none of these before it is set again."),
    ("old", "Not looked at since", "Find these before anybody measures from them."),
    ("seen", "In place", ""),
    ("planned", "Planned, not driven", "Have services located before a peg is driven."),
)


@dataclass(frozen=True)
class PegPhoto:
    """A photo that is held, and a small one of it."""

    url: str
    small_url: str


@dataclass(frozen=True)
class PegRow:
    """A peg as it stands, in words; `state` names its sign, `before` what it was before the time asked for."""

    id: str
    what: str
    state: str
    state_words: str
    told: str
    note: str
    before: str
    place: str
    remarks: str
    photos: tuple[PegPhoto, ...]
    waiting: str


@dataclass(frozen=True)
class PegGroup:
    """Pegs that ask for the same to be done."""

    name: str
    title: str
    words: str
    rows: tuple[PegRow, ...]


@dataclass(frozen=True)
class MorningRow:
    """A morning's check of the pegs of a bunker, in words; `key` is its verdict."""

    id: str
    bunker: str
    key: str
    verdict: str
    words: str
    told: str
    remarks: str


@dataclass(frozen=True)
class Span:
    """A time to look back."""

    url: str
    words: str
    is_chosen: bool


@dataclass(frozen=True)
class BunkerLink:
    """The way to a bunker's page of pegs and tape."""

    url: str
    name: str


@dataclass(frozen=True)
class PegBoardPage:
    """The board of the pegs of a site."""

    site_name: str
    site_url: str
    since: str
    dated: str
    spans: tuple[Span, ...]
    summary: str
    groups: tuple[PegGroup, ...]
    mornings: tuple[MorningRow, ...]
    taped: tuple[TapedRow, ...]
    bunkers: tuple[BunkerLink, ...]


def peg_board(
    standing: StandingSite, held: Sequence[HeldRecord], photos: frozenset[str], now: datetime, hours: int
) -> PegBoardPage:
    """Build the board; `held` are the site's records, `photos` the ids of those that are here."""
    site, since = standing.site, now - timedelta(hours=hours)
    rows = list(_peg_rows(standing, held, photos, since))
    groups = tuple(
        PegGroup(name, title, words, tuple(row for key, row in rows if key == name))
        for name, title, words in GROUPS
    )
    base = f"/sites/{site.id}/pegs"
    return PegBoardPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        since=minute(since),
        dated=now.date().isoformat(),
        spans=tuple(Span(f"{base}?hours={span}", words, span == hours) for span, words in SPANS),
        summary=_summary(groups),
        groups=tuple(group for group in groups if group.rows),
        mornings=tuple(_morning_rows(standing, held, since)),
        taped=tuple(taped_rows(standing, [item for item in held if item.record.made_at >= since])),
        bunkers=tuple(BunkerLink(f"{base}/{bunker.id}", bunker.name) for bunker in site.bunkers),
    )


def _summary(groups: Sequence[PegGroup]) -> str:
    counts = [
        (len(group.rows), group.title.lower() + (" then" if group.name == "old" else ""))
        for group in groups
        if group.rows
    ]
    if not counts:
        return "This site has no pegs yet."
    total = sum(count for count, _ in counts)
    told = ", ".join(f"{count} {words}" for count, words in counts)
    return f"{total} {'peg' if total == 1 else 'pegs'}: {told}."


def _peg_rows(
    standing: StandingSite, held: Sequence[HeldRecord], photos: frozenset[str], since: datetime
) -> Iterator[tuple[str, PegRow]]:
    """Yield each peg with the group it is in."""
    before = _before(held, since)
    for peg in standing_pegs(standing.site, held):
        yield _group_of(peg, since), _peg_row(standing, peg, photos, before.get(peg.peg.id))


def _group_of(peg: StandingPeg, since: datetime) -> str:
    if peg.state == "planned":
        return "planned"
    if not peg.is_in_place:
        return "bad"
    return "seen" if peg.last is not None and reported_at(peg.last) >= since else "old"


def _before(held: Sequence[HeldRecord], since: datetime) -> dict[str, PegReport]:
    """Return the newest report of each peg from before a time."""
    return {report.peg: report for item, report in peg_reports(held) if reported_at(item) < since}


def _peg_row(
    standing: StandingSite, peg: StandingPeg, photos: frozenset[str], before: PegReport | None
) -> PegRow:
    report = None if peg.last is None else peg.last.record
    assert report is None or isinstance(report, PegReport)
    here = [photo for photo in peg.photos if photo in photos]
    address = f"/api/sites/{standing.site.id}/photos"
    is_news = before is not None and report is not None and before.id != report.id
    return PegRow(
        id=peg.peg.id,
        what=_what(standing, peg),
        state=peg.state or "none",
        state_words=_state_words(peg.state, report),
        told="" if peg.last is None else _told(peg.last),
        note=(report.note if report and report.note else peg.peg.note),
        before=f"before: {STATE_WORDS[before.state]}, {minute(before.made_at)}" if before and is_news else "",
        place=_place(standing, peg),
        remarks=peg.last.remarks if peg.last else "",
        photos=tuple(PegPhoto(f"{address}/{photo}", f"{address}/{photo}?small=true") for photo in here),
        waiting=_waiting(len(peg.photos) - len(here)),
    )


def _state_words(state: PegState | None, report: PegReport | None) -> str:
    if state is None:
        return NOT_REPORTED
    is_seen = report is not None and report.state == "found"
    return SEEN_WORDS.get(state, STATE_WORDS[state]) if is_seen else STATE_WORDS[state]


def _waiting(count: int) -> str:
    """Say how many photos have not come; nobody knows whether they still will."""
    return f"{count} {'photo is' if count == 1 else 'photos are'} not here yet" if count else ""


def _what(standing: StandingSite, peg: StandingPeg) -> str:
    near = [bunker.bunker.name for bunker in bunkers_of_peg(standing, peg.peg)]
    return f"{peg.peg.kind} peg{', by ' + ' and '.join(near) if near else ''}"


def _place(standing: StandingSite, peg: StandingPeg) -> str:
    """Say how well a crew's own peg is known; one of the site is where the site says."""
    if peg.placed is None or peg.state == "planned":
        return ""
    if peg.within_m is None:
        return "Placed by a crew; how well is not known."
    return f"Placed by a crew, within {ground_words(peg.within_m, standing.site.units.ground)} (95 %)."


def _told(item: HeldRecord) -> str:
    """Say who reported and when, with the link it came by where that is another's."""
    came_by = came_by_words(item)
    by = f"{item.record.person} (link of {came_by})" if came_by else item.record.person
    return f"{by or 'no name given'}, {minute(item.record.made_at)}"


def _morning_rows(
    standing: StandingSite, held: Sequence[HeldRecord], since: datetime
) -> Iterator[MorningRow]:
    """Yield the real morning checks since a time that stand, the newest first."""
    names = {bunker.id: bunker.name for bunker in standing.site.bunkers}
    found = [
        (item, item.record)
        for item in held
        if isinstance(item.record, Morning) and item.record.real and item.undone_by is None
    ]
    for item, morning in sorted(found, key=lambda pair: pair[1].made_at, reverse=True):
        if morning.made_at < since:
            continue
        reset = f": {', '.join(morning.reset)}" if morning.reset else ""
        yield MorningRow(
            id=morning.id,
            bunker=f"{names.get(morning.bunker, morning.bunker)}, revision {morning.revision}",
            key=morning.verdict.replace(" ", "-"),
            verdict=VERDICT_WORDS[morning.verdict] + reset,
            words=morning.words,
            told=_told(item),
            remarks=item.remarks,
        )
