"""The history in a backup of a site: versions, revisions and drafts, brought back whole or from the one that stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import groupby
from typing import cast

from fieldapp.errors import ConflictError, FormatError
from fieldapp.formats.site_backup import BackedDraft, BackedIssue, SiteBackup
from fieldapp.formats.site_folder import read_site_text
from fieldapp.store.drafts import WHOLE_SITE, DraftState, KeptDraft, add_draft, all_drafts
from fieldapp.store.engine import Transaction
from fieldapp.store.issues import Issue, add_issue, issues_of
from fieldapp.store.sites import SiteVersion, add_version, versions
from fieldapp.workflow.backed_drafts import check_backed, grown_elsewhere
from fieldapp.workflow.sites import check_can_be_an_id, content_id_of, load_text_in


def bring_history(transaction: Transaction, backup: SiteBackup, at: datetime, name: str) -> None:
    """Bring back all of the history of a site that is not here; raises ConflictError, FormatError, InputError."""
    site_id = backup.site.id
    check_can_be_an_id(site_id)
    here = all_drafts(transaction, site_id)
    newest = {draft.bunker_id: draft for draft in here}
    if WHOLE_SITE in newest and newest[WHOLE_SITE].state == "open":
        raise ConflictError(
            f"A site '{site_id}' is being made here already; give that draft up or load it before the backup comes "
            "back."
        )
    if not backup.versions:
        load_text_in(transaction, backup.text, at, f"the backup {name}")
        return
    _check_versions(backup)
    sequences = {}
    for index, version in enumerate(backup.versions):
        moment = datetime.fromisoformat(version.loaded_at)
        content_id = content_id_of(version.text)
        sequences[index] = add_version(
            transaction, site_id, content_id, version.text, moment, version.loaded_from
        )
    for issue in backup.issues:
        add_issue(transaction, _issue(site_id, issue, sequences))
    for (bunker_id, number), draft in _unique(backup.drafts):
        before = newest[bunker_id].number if bunker_id in newest else 0
        add_draft(transaction, _draft(site_id, (bunker_id, before + number), draft, sequences))


def go_on_with(transaction: Transaction, backup: SiteBackup, held: Sequence[SiteVersion]) -> list[str]:
    """Bring in what a backup has beyond the version that stands, the first of those held, which the backup has too.

    Drafts come in where those that are kept here are the first of the backup's; return the bunkers where they are not.
    Raises ConflictError, FormatError.
    """
    _check_versions(backup)
    site_id, known = backup.site.id, [content_id_of(version.text) for version in backup.versions]
    if not known:
        return []
    stood = {version.content_id: version.sequence for version in reversed(held)}
    stands = len(known) - 1 - known[::-1].index(held[0].content_id)
    sequences = {index: stood[known[index]] for index in range(stands + 1) if known[index] in stood}
    issued = {(issue.bunker_id, issue.revision) for issue in issues_of(transaction, site_id)}
    for index, version in enumerate(backup.versions):
        if index > stands:
            before = versions(transaction, site_id, 1)[0]
            bunkers = [bunker.id for bunker in read_site_text(before.document).bunkers]
            moment = datetime.fromisoformat(version.loaded_at)
            load_text_in(transaction, version.text, moment, version.loaded_from, bunkers)
            sequences[index] = versions(transaction, site_id, 1)[0].sequence
        for issue in backup.issues:
            is_new = (issue.bunker_id, issue.revision) not in issued
            if issue.version == index and index in sequences and is_new:
                add_issue(transaction, _issue(site_id, issue, sequences))
    return _bring_drafts(transaction, backup, sequences)


def _check_versions(backup: SiteBackup) -> None:
    for version in backup.versions:
        if read_site_text(version.text).id != backup.site.id:
            raise FormatError(
                f"An earlier version in the zip is of another site than '{backup.site.id}'; take history.json out."
            )


def _bring_drafts(transaction: Transaction, backup: SiteBackup, sequences: Mapping[int, int]) -> list[str]:
    site_id, left = backup.site.id, list[str]()
    here = [
        (one.bunker_id, one.number, one.state, one.person, one.made_at)
        for one in all_drafts(transaction, site_id)
    ]
    brought = sorted(_unique(backup.drafts), key=lambda each: each[0])
    for bunker_id, each in groupby(brought, key=lambda each: each[0][0]):
        drafts = [_draft(site_id, place, draft, sequences) for place, draft in each]
        told = [(one.bunker_id, one.number, one.state, one.person, one.made_at) for one in drafts]
        kept = sorted(one for one in here if one[0] == bunker_id)
        if kept == told[: len(kept)]:
            for draft in drafts[len(kept) :]:
                add_draft(transaction, draft)
        elif told != kept[: len(told)]:
            left.append(bunker_id)
    return left


def _unique(drafts: tuple[BackedDraft, ...]) -> Iterator[tuple[tuple[str, int], BackedDraft]]:
    seen = set()
    for draft in drafts:
        place = draft.bunker_id, draft.number
        if place in seen or draft.number < 1 or draft.state not in ("open", "issued", "given up"):
            raise FormatError(
                "history.json in the zip holds a draft twice or in no known state; take the zip anew."
            )
        seen.add(place)
        yield place, draft


def _issue(site_id: str, issue: BackedIssue, sequences: Mapping[int, int]) -> Issue:
    return Issue(
        site_id,
        issue.bunker_id,
        issue.revision,
        sequences[issue.version],
        issue.came_from,
        issue.person,
        issue.why,
        datetime.fromisoformat(issue.issued_at),
        tuple(issue.acknowledged),
    )


def _draft(
    site_id: str, place: tuple[str, int], draft: BackedDraft, sequences: Mapping[int, int]
) -> KeptDraft:
    state, made_at = cast(DraftState, draft.state), datetime.fromisoformat(draft.made_at)
    check_backed(draft.bunker_id, draft.document)
    document = grown_elsewhere(draft.bunker_id, draft.document, sequences)
    return KeptDraft(site_id, *place, state, document, draft.person, made_at)
