"""Files of field records that phones handed over: taken in record by record, nothing of what is good is lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from fieldapp.errors import FormatError, NotFoundError
from fieldapp.formats.handed_over import read_handed_over
from fieldapp.formats.records import Refusal, SentRecord
from fieldapp.store.engine import Store
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.records import OTHER_CONTENT, Remark
from fieldapp.workflow.taking_in import Delivery, take_in
from fieldapp.workflow.who_plans import without_plans


@dataclass(frozen=True)
class SiteShare:
    """What of a file was of one site: how many records are new here, and how many were held already."""

    site: str
    new: int
    held: int


@dataclass(frozen=True)
class FileTaken:
    """What became of a file. `fault` says why nothing of it could be read; empty otherwise."""

    name: str
    shares: tuple[SiteShare, ...] = ()
    refused: tuple[Refusal, ...] = ()
    remarks: tuple[Remark, ...] = ()
    fault: str = ""

    @property
    def new(self) -> int:
        """How many records are new here."""
        return sum(share.new for share in self.shares)

    @property
    def held(self) -> int:
        """How many records were held already."""
        return sum(share.held for share in self.shares)

    @property
    def words(self) -> str:
        """What became of it, in one sentence."""
        if self.fault:
            return f"{self.name}: nothing was taken. {self.fault}"
        counts = f"{self.new} new, {self.held} held already, {len(self.refused)} refused"
        sites = ", ".join(f"'{share.site}'" for share in self.shares)
        return f"{self.name}: {counts}{f'; of site {sites}' if sites else ''}."

    @property
    def details(self) -> list[str]:
        """What was refused and what was remarked, a sentence or two each."""
        return [item.detail for item in self.refused] + [item.detail for item in self.remarks]

    @property
    def whole(self) -> bool:
        """Whether everything in it is held now."""
        return not self.fault and not self.refused


def take_in_file(
    store: Store,
    name: str,
    content: bytes,
    arrival: Arrival,
    only_site: str | None = None,
    may_plan: bool = True,
) -> FileTaken:
    """Take in a file of records, of one site or of all it names; what is new in the answer is on disk.

    Records that plan pegs are refused unless whoever brings it may plan, as at the serving machine.

    Raises StoreError, and nothing else: what cannot be taken is told in the answer.
    """
    try:
        sent, refused = read_handed_over(content)
    except FormatError as fault:
        return FileTaken(name, fault=str(fault))
    if not may_plan:
        sent, plans = without_plans(sent)
        refused += plans
    shares: list[SiteShare] = []
    remarks: list[Remark] = []
    for site, records in _by_site(sent).items():
        if only_site is not None and site != only_site:
            refused += [_elsewhere(item, only_site) for item in records]
            continue
        share, told, contradicting = _take_in(store, site, records, arrival)
        shares += share
        remarks += told
        refused += contradicting
    return FileTaken(name, tuple(shares), tuple(refused), tuple(remarks))


def take_in_path(store: Store, file: Path, arrival: Arrival) -> FileTaken:
    """Take in a file from the disk, of all the sites it names; raises StoreError."""
    try:
        content = file.read_bytes()
    except OSError as fault:
        return FileTaken(str(file), fault=f"It cannot be read: {(fault.strerror or str(fault)).lower()}.")
    return take_in_file(store, str(file), content, arrival)


def _by_site(sent: Sequence[SentRecord]) -> dict[str, list[SentRecord]]:
    found: dict[str, list[SentRecord]] = {}
    for item in sent:
        found.setdefault(item.record.site, []).append(item)
    return found


def _take_in(
    store: Store, site: str, records: Sequence[SentRecord], arrival: Arrival
) -> tuple[list[SiteShare], list[Remark], list[Refusal]]:
    try:
        outcomes = take_in(store, Delivery(site, records, arrival)).outcomes
    except NotFoundError as fault:
        return [], [], [Refusal(item.record.id, _named(item, str(fault))) for item in records]
    told = [
        Remark(item.record.id, words)
        for item, (outcome, words) in zip(records, outcomes, strict=True)
        if outcome == "new" and words
    ]
    contradicting = [
        Refusal(item.record.id, OTHER_CONTENT.format(id=item.record.id))
        for item, (outcome, _) in zip(records, outcomes, strict=True)
        if outcome == "contradicts"
    ]
    kinds = [outcome for outcome, _ in outcomes]
    return [SiteShare(site, kinds.count("new"), kinds.count("held"))], told, contradicting


def _elsewhere(item: SentRecord, only_site: str) -> Refusal:
    site = item.record.site
    return Refusal(
        item.record.id, _named(item, f"it is of site '{site}', not '{only_site}'; hand it in at that site.")
    )


def _named(item: SentRecord, why: str) -> str:
    return f"Record '{item.record.id}' cannot be taken: {why}"
