"""A draft of a bunker becomes its next revision, as a new version of the site."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass, replace
from datetime import datetime

from fieldapp.errors import ConflictError, FieldappError, InputError, NotFoundError
from fieldapp.formats.draft import read_draft
from fieldapp.formats.lengths import hundredths
from fieldapp.model.draft import Draft
from fieldapp.model.units import GroundUnit
from fieldapp.outline.clearance import Nearness, nearnesses
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.store.drafts import KeptDraft, add_draft, newest_draft
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.issues import Issue
from fieldapp.store.records import marked_revisions
from fieldapp.store.sites import standing_version
from fieldapp.workflow.draft_origin import changed_since, loaded_words, origin_of
from fieldapp.workflow.issuing import (
    add_revision,
    checked_text,
    next_revision,
    used_revisions,
    with_bunker,
)
from fieldapp.workflow.sites import StandingSite, laid_out, standing_in

MOST_TRIES = 5
REVISION = re.compile(r"[A-Z]{1,3}|[1-9][0-9]{0,3}")


@dataclass(frozen=True, eq=False)
class DraftToIssue:
    """The open draft of a bunker against the revision that stands.

    `old` is None for a bunker that never stood; `new` is None, and `fault` says why, where the draft makes no bunker.
    `near` is what it comes too near to, the nearest first; `used` are the revisions it had; `changed` is what is other
    now in the revision it grew from; `basis` names the version of the site and the save of the draft that all this was
    worked out from.
    """

    site: StandingSite
    kept: KeptDraft
    draft: Draft
    old: LaidOutBunker | None
    new: LaidOutBunker | None
    near: tuple[Nearness, ...]
    used: frozenset[str]
    changed: tuple[str, ...]
    fault: str
    basis: tuple[int, int]

    @property
    def standing(self) -> str:
        """The revision that stands; "" where none does."""
        return self.old.bunker.revision if self.old else ""

    @property
    def grew_from(self) -> str:
        """The revision that the draft grew from; "" for a bunker that never stood then."""
        return self.draft.from_revision or ""

    @property
    def is_left_behind(self) -> bool:
        """Whether something else stands than it grew from."""
        return self.standing != self.grew_from or bool(self.changed)

    @property
    def stands(self) -> str:
        """What stands, its revision and its outlines, as short letters to compare; "" where nothing stands."""
        origin = origin_of(self.site, self.kept.bunker_id)
        if origin is None:
            return ""
        seen = repr((self.standing, origin.draft.bunker))
        return hashlib.sha256(seen.encode()).hexdigest()[:16]

    @property
    def next(self) -> str:
        """The revision that it would become unless another is typed."""
        return next_revision(self.standing, set(self.used))

    @property
    def ground_scale(self) -> float:
        """Ground metres per course metre on its hole."""
        return self.site.ground_scale(self.draft.bunker.hole)


@dataclass(frozen=True)
class Signing:
    """What somebody who issues a draft looked at and said.

    `number` is the save of the draft they saw, `revision` what it is to be called, `acknowledged` what they were told
    it comes too near to, `over` what stood (`DraftToIssue.stands`) as they said that it may be issued over it although
    the draft grew from something else.
    """

    number: int
    revision: str
    person: str
    why: str
    acknowledged: frozenset[str]
    over: str | None = None


def draft_to_issue(store: Store, site_id: str, bunker_id: str) -> DraftToIssue:
    """Work out the open draft of a bunker; raises NotFoundError where there is none."""
    with store.reading() as transaction:
        standing = standing_in(transaction, site_id)
        kept = newest_draft(transaction, site_id, bunker_id)
        used = used_revisions(transaction, site_id, bunker_id)
        used |= {name for of, name in marked_revisions(transaction, site_id) if of == bunker_id}
        basis = _basis(transaction, site_id, bunker_id)
        if kept is None or kept.state != "open":
            raise NotFoundError(_no_draft(bunker_id, kept))
        draft = read_draft(json.loads(kept.document))
        changed = changed_since(transaction, draft, standing)
    old = next((one for one in standing.bunkers if one.bunker.id == bunker_id), None)
    new, fault = _laid_out(standing, draft)
    things = standing.site.keep_clear
    near = nearnesses(new, things, standing.ground_scale(draft.bunker.hole)) if new else ()
    too_near = tuple(one for one in near if one.is_too_near)
    return DraftToIssue(standing, kept, draft, old, new, too_near, frozenset(used), changed, fault, basis)


def read_revision(typed: str, used: frozenset[str], proposed: str) -> str:
    """Return a typed revision, capitals or a whole number; raises InputError for one that is neither or was used."""
    name = "".join(typed.split()).upper()
    if not name:
        raise InputError(f"Type the revision it becomes, such as {proposed}.")
    if not REVISION.fullmatch(name):
        raise InputError(
            f"'{typed.strip()[:20]}' is no revision: give one to three letters or a whole number up to 9999, such as "
            f"{proposed}."
        )
    if name in {one.upper() for one in used}:
        raise ConflictError(f"This bunker had a revision {name} already; the next one free is {proposed}.")
    return name


def near_words(near: Nearness, unit: GroundUnit) -> str:
    """Say what a bunker comes too near to, as it is kept with the revision that is issued all the same."""
    thing, away = near.thing, f"{hundredths(near.distance_m, unit)} away"
    over = ", the bunker lies over it" if near.distance_m == 0.0 else ""
    return (
        f"{thing.name or thing.id} ({thing.kind} {thing.id}): {away}{over}, "
        f"{hundredths(thing.clearance_m, unit)} to be kept clear"
    )


def issue_draft(store: Store, site_id: str, bunker_id: str, signing: Signing, at: datetime) -> str:
    """Make the open draft of a bunker its next revision, which stands from then on; return what it is called.

    It is worked out before anything is written, and once more where the site or the draft changed meanwhile. Raises
    NotFoundError where there is no draft, InputError for what was typed, and ConflictError in words where the draft was
    saved or issued meanwhile, another revision stands than it grew from, the revision was used, something that it comes
    too near to was not acknowledged, or the site cannot have it.
    """
    for _ in range(MOST_TRIES):
        asked = _still_open(store, site_id, bunker_id, signing.number)
        issue, text = _made_ready(asked, signing, at)
        with store.writing() as transaction:
            if _basis(transaction, site_id, bunker_id) == asked.basis:
                add_revision(transaction, text, issue)
                add_draft(transaction, _issued(asked.kept, issue))
                return issue.revision
    raise ConflictError("The site changed while this draft was looked at; issue it once more.")


def _still_open(store: Store, site_id: str, bunker_id: str, number: int) -> DraftToIssue:
    try:
        asked = draft_to_issue(store, site_id, bunker_id)
    except NotFoundError as fault:
        raise ConflictError(f"{fault} Nothing was issued.") from fault
    if asked.kept.number != number:
        raise ConflictError(
            f"{asked.kept.person} saved the draft since you opened this page: it is number {asked.kept.number} now, "
            f"you looked at {number}. Look at it as it is shown here, then issue it."
        )
    return asked


def _made_ready(asked: DraftToIssue, signing: Signing, at: datetime) -> tuple[Issue, str]:
    if asked.fault:
        raise ConflictError(f"This draft cannot be issued. {asked.fault}")
    revision = read_revision(signing.revision, asked.used, asked.next)
    if not signing.why:
        raise InputError("Say why: the record keeps it with the revision.")
    if asked.is_left_behind and signing.over != asked.stands:
        anew = "" if signing.over is None else "What stands was changed again since you looked at it. "
        raise ConflictError(anew + superseded_words(asked))
    kept = asked.kept
    told = tuple(near_words(one, asked.site.site.units.ground) for one in asked.near)
    missing = [words for words in told if words not in signing.acknowledged]
    if missing:
        raise ConflictError(
            f"Not every nearness is acknowledged; tick each that you have seen to: {missing[0]}."
        )
    site = with_bunker(asked.site.site, replace(asked.draft.bunker, id=kept.bunker_id, revision=revision))
    text = checked_text(
        site, f"The draft cannot become revision {revision}", "change the draft, then issue it"
    )
    issue = Issue(
        site_id=kept.site_id,
        bunker_id=kept.bunker_id,
        revision=revision,
        site_version=0,
        came_from=f"draft {kept.number}",
        person=signing.person,
        why=signing.why,
        issued_at=at,
        acknowledged=told,
    )
    return issue, text


def superseded_words(asked: DraftToIssue) -> str:
    """Say that something else stands than what a draft grew from."""
    grew = f"grew from revision {asked.grew_from}" if asked.grew_from else "was begun before the bunker stood"
    if asked.changed:
        return (
            f"This draft {grew}, which is another now: {loaded_words(asked.changed)}. Issued as it is, it undoes that. "
            "Compare the two, then say that it is to be issued all the same, or change the draft."
        )
    stands = f"revision {asked.standing} stands now" if asked.standing else "the bunker stands no more"
    return (
        f"This draft {grew}, and {stands}: issued as it is, it undoes what changed between them. Compare the two, then "
        "say that it is to be issued all the same, or change the draft."
    )


def _issued(kept: KeptDraft, issue: Issue) -> KeptDraft:
    return replace(kept, number=kept.number + 1, state="issued", person=issue.person, made_at=issue.issued_at)


def _no_draft(bunker_id: str, kept: KeptDraft | None) -> str:
    if kept is None:
        return f"Bunker '{bunker_id}' has no draft; draw one first, then issue it."
    done = "was issued" if kept.state == "issued" else "was given up"
    return (
        f"The draft of bunker '{bunker_id}' {done} by {kept.person} "
        f"({kept.made_at:%Y-%m-%d %H:%M} UTC); there is no open one."
    )


def _basis(transaction: Transaction, site_id: str, bunker_id: str) -> tuple[int, int]:
    """Return the newest version of the site and the newest save of the draft."""
    standing, kept = standing_version(transaction, site_id), newest_draft(transaction, site_id, bunker_id)
    return standing.sequence if standing else 0, kept.number if kept else 0


def _laid_out(standing: StandingSite, draft: Draft) -> tuple[LaidOutBunker | None, str]:
    bunker = draft.bunker
    if not bunker.outlines:
        return None, "It has no outline yet; draw its sand edge first."
    try:
        return laid_out(standing.site, standing.grid, bunker), ""
    except FieldappError as fault:
        return None, str(fault)
