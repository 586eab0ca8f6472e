"""A site taken away as a backup with all that is kept of it, and brought back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from fieldapp.errors import ConflictError, FormatError
from fieldapp.formats.records import SentRecord, moment_text
from fieldapp.formats.site_backup import BackedDraft, BackedIssue, BackedRecord, BackedVersion, SiteBackup
from fieldapp.settings import FileLimits
from fieldapp.store.drafts import PLACES, WHOLE_SITE, KeptDraft, all_drafts
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.issues import Issue, issues_of
from fieldapp.store.records import held_texts
from fieldapp.store.sites import SiteVersion, versions
from fieldapp.workflow.backed_drafts import grown_elsewhere
from fieldapp.workflow.backed_history import bring_history, go_on_with
from fieldapp.workflow.backup_pictures import PicturesTaken, backed_pictures, check_pictures, take_pictures
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.sites import content_id_of, load_text_in, standing_in
from fieldapp.workflow.taking_in import Delivery, take_all_in
from fieldapp.workflow.waiting_places import take_waiting_in


@dataclass(frozen=True)
class BroughtBack:
    """What bringing a backup back came to: `words` for a person."""

    site_id: str
    words: str


def backup_of(store: Store, site_id: str) -> SiteBackup:
    """Return all that is kept of a site; raises NotFoundError. Pictures are read when they are asked for."""
    with store.reading() as transaction:
        standing = standing_in(transaction, site_id)
        held = list(reversed(versions(transaction, site_id)))
        place = {version.sequence: index for index, version in enumerate(held)}
        return SiteBackup(
            standing.site,
            tuple(
                BackedVersion(moment_text(version.loaded_at), version.loaded_from, version.document)
                for version in held
            ),
            tuple(_backed_issue(issue, place) for issue in issues_of(transaction, site_id)),
            tuple(_backed_draft(kept, place) for kept in all_drafts(transaction, site_id)),
            tuple(
                BackedRecord(SentRecord(record, text), received_at, came_by, remarks)
                for record, text, received_at, came_by, remarks in held_texts(transaction, site_id)
            ),
            backed_pictures(store, transaction, site_id),
        )


def bring_back(
    store: Store, backup: SiteBackup, at: datetime, name: str, longest_side: int = FileLimits.backdrop_side
) -> BroughtBack:
    """Bring a backup back, all of it or nothing; `name` is that of its file.

    Where the site is not here, all of its history comes back. Where it is, what the backup has beyond the version that
    stands follows on it, by the rules of `load_site`, with its revisions and drafts; where the backup is the older one,
    what stands stays. Records and pictures that are not held come in. `longest_side`, in pixels, is that of pictures to
    draw over. Raises ConflictError, also where both went on from a version that they have in common, FormatError, and
    InputError for an id that no site can have.
    """
    site_id = backup.site.id
    strangers = [record for record in backup.records if record.sent.record.site != site_id]
    if strangers:
        raise FormatError(
            f"The zip holds records of site '{strangers[0].sent.record.site[:60]}'; take records.json out."
        )
    check_pictures(backup.pictures, longest_side)
    with store.writing() as transaction:
        held = versions(transaction, site_id)
        if held:
            what, left = _load_newer(transaction, backup, held, at, name)
        else:
            bring_history(transaction, backup, at, name)
            what, left = "is back", []
        records = _take_records(transaction, backup)
        take_waiting_in(transaction, site_id)
        pictures = take_pictures(transaction, site_id, backup.pictures)
    words = [f"{backup.site.name} {what}.", *_came_in(records, pictures), *_left_out(left)]
    return BroughtBack(site_id, " ".join(words))


def _came_in(records: int, pictures: PicturesTaken) -> list[str]:
    counts = (
        (records, "record", "records"),
        (pictures.photos, "photo", "photos"),
        (pictures.backdrops, "picture to draw over", "pictures to draw over"),
    )
    told = [f"{count:,} {one if count == 1 else many}" for count, one, many in counts if count]
    words = [f"{', '.join(told)} came in with it."] if told else []
    still = pictures.still_standing
    if still:
        words.append(
            f"{still} {'picture' if still == 1 else 'pictures'} to draw over that the backup took off still "
            f"{'stands' if still == 1 else 'stand'} here."
        )
    return words


def _left_out(bunkers: Sequence[str]) -> list[str]:
    if not bunkers:
        return []
    named = {WHOLE_SITE: "the site", PLACES: "places read"}
    told = [named.get(bunker, bunker) for bunker in bunkers]
    return [f"Drafts of {', '.join(told)} in it stayed out, since others were saved here."]


def _load_newer(
    transaction: Transaction, backup: SiteBackup, held: Sequence[SiteVersion], at: datetime, name: str
) -> tuple[str, list[str]]:
    """Go on from a site that stands to a backup of it, if that is no older.

    Return what became of it in words, and the bunkers whose drafts stayed out.
    """
    known = [content_id_of(version.text) for version in backup.versions]
    if _is_older(content_id_of(backup.text), known, [version.content_id for version in reversed(held)]):
        earlier = "the zip has an earlier version of it, and what was changed since is not undone"
        return f"stays as it stands here: {earlier}", []
    if known and held[0].content_id not in known:
        raise ConflictError(
            f"The site '{backup.site.id}' was changed here since this backup was taken, and in the backup too, so "
            f"bringing it back would undo what was done here ({held[0].loaded_from}). Nothing was changed."
        )
    left = go_on_with(transaction, backup, held)
    loaded = load_text_in(transaction, backup.text, at, f"the backup {name}")
    more = len(versions(transaction, backup.site.id)) - len(held)
    if more > 1:
        return f"went on here by {more} versions", left
    return "is loaded as the next version" if loaded.new or more else "stood like this already", left


def _is_older(text_id: str, known: list[str], stood: list[str]) -> bool:
    """Tell whether a backup ends with an earlier version of those that stood here, the oldest first.

    A site that went back to an earlier version, in the backup, after what stands here, is no older.
    """
    if text_id == stood[-1] or text_id not in stood:
        return False
    return stood[-1] not in known[:-1] or known == stood[: len(known)]


def _take_records(transaction: Transaction, backup: SiteBackup) -> int:
    """Take the records in as they came then; return how many were not held."""
    grouped = groupby(backup.records, key=lambda record: (record.received_at, record.came_by))
    told = {record.sent.record.id: record.remarks for record in backup.records}
    deliveries = [
        Delivery(
            backup.site.id,
            [record.sent for record in records],
            Arrival(received_at, came_by=came_by),
            told,
        )
        for (received_at, came_by), records in grouped
    ]
    taken = take_all_in(transaction, deliveries) if deliveries else []
    outcomes = [outcome for delivery in taken for outcome, _ in delivery.outcomes]
    if "contradicts" in outcomes:
        raise ConflictError(
            "The zip holds a record that is held here with other content, and what is held is never overwritten; take "
            "records.json out of the zip to load the site alone."
        )
    return outcomes.count("new")


def _backed_issue(issue: Issue, place: dict[int, int]) -> BackedIssue:
    return BackedIssue(
        issue.bunker_id,
        issue.revision,
        place[issue.site_version],
        issue.came_from,
        issue.person,
        issue.why,
        moment_text(issue.issued_at),
        list(issue.acknowledged),
    )


def _backed_draft(kept: KeptDraft, place: dict[int, int]) -> BackedDraft:
    document = grown_elsewhere(kept.bunker_id, kept.document, place)
    return BackedDraft(
        kept.bunker_id, kept.number, kept.state, document, kept.person, moment_text(kept.made_at)
    )
