"""Drafts of bunkers: the one to work on, saving it where nobody else did meanwhile, giving it up, its saves."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from fieldapp.errors import ConflictError, InputError, NotFoundError, StaleError
from fieldapp.formats.draft import draft_document, read_draft
from fieldapp.formats.moments import time_words
from fieldapp.formats.records import moment_text
from fieldapp.formats.site_table import ID_REMEDY, is_id
from fieldapp.model.draft import Draft
from fieldapp.store.drafts import DraftState, KeptDraft, add_draft, drafts_of, newest_draft
from fieldapp.store.engine import Store, Transaction
from fieldapp.workflow.draft_origin import bunker_in, changed_since, loaded_words, origin_of
from fieldapp.workflow.draft_story import Step, steps_after
from fieldapp.workflow.sites import StandingSite, standing_in

Json = dict[str, Any]
CHOOSE = "Yours was made before that and is not saved: look at both and choose."


@dataclass(frozen=True)
class Basis:
    """What something was made from: what had one of these numbers, or whatever stands, or that nothing stood."""

    numbers: frozenset[str] = frozenset()
    anything: bool = False
    nothing: bool = False

    def holds(self, number: int, stands: bool) -> bool:
        """Whether that is what stands now under `number`; where nothing stands, 0 says so too."""
        if not stands:
            return self.nothing or "0" in self.numbers
        return self.anything or str(number) in self.numbers


@dataclass(frozen=True)
class StandingDraft:
    """A bunker's draft to work on, and the number of its newest save, 0 where there never was one.

    `state`, `person` and `made_at` are of that save. Where it is not open, `document` is made from the revision that
    stands; where none does, it is the last one. `remarks` say what a person should know of it.
    """

    document: Json
    number: int
    state: DraftState | None
    person: str
    made_at: datetime | None
    standing_revision: str | None
    remarks: tuple[str, ...] = ()


def standing_draft(store: Store, site_id: str, bunker_id: str) -> StandingDraft:
    """Return a bunker's draft to work on; raises NotFoundError where neither a draft nor a revision stands."""
    with store.reading() as transaction:
        site, newest = standing_in(transaction, site_id), newest_draft(transaction, site_id, bunker_id)
        if _stands(site, newest, bunker_id):
            return _told(transaction, site, newest, bunker_id)
    raise NotFoundError(
        f"There is no bunker '{bunker_id}' on site '{site_id}' and no open draft of one; begin one under that id, "
        f"or take one of: {', '.join(bunker.id for bunker in site.site.bunkers) or 'none'}."
    )


def save_draft(
    store: Store, site_id: str, bunker_id: str, document: object, person: str, basis: Basis, at: datetime
) -> StandingDraft:
    """Keep a draft as the next save of its bunker; the same content again adds nothing.

    Raises FormatError and InputError for what cannot be kept, NotFoundError, and StaleError in words where `basis` is
    not what stands.
    """
    draft = read_draft(document)
    text = json.dumps(draft_document(draft), ensure_ascii=False, separators=(",", ":"))
    with store.writing() as transaction:
        site, newest = standing_in(transaction, site_id), newest_draft(transaction, site_id, bunker_id)
        _check(site, bunker_id, draft)
        check_hole(site, newest, draft.bunker.hole, bunker_id)
        if newest is not None and newest.state == "open" and newest.document == text:
            return _told(transaction, site, newest, bunker_id)
        number = 0 if newest is None else newest.number
        fits = basis.holds(number, _stands(site, newest, bunker_id))
        kept = KeptDraft(site_id, bunker_id, number + 1, "open", text, person, at)
        if fits:
            add_draft(transaction, kept)
            return _told(transaction, site, kept, bunker_id)
    raise _stale(store, site, bunker_id, basis, at)


def give_up_draft(
    store: Store, site_id: str, bunker_id: str, person: str, basis: Basis, at: datetime
) -> KeptDraft:
    """Give an open draft up; its saves are kept. Raises NotFoundError, ConflictError where none is open, StaleError."""
    with store.writing() as transaction:
        site, newest = standing_in(transaction, site_id), newest_draft(transaction, site_id, bunker_id)
        if newest is None or newest.state != "open":
            raise ConflictError(f"Bunker '{bunker_id}' has no open draft that could be given up.")
        fits = basis.holds(newest.number, stands=True)
        kept = replace(newest, number=newest.number + 1, state="given up", person=person, made_at=at)
        if fits:
            add_draft(transaction, kept)
    if not fits:
        raise _stale(store, site, bunker_id, basis, at)
    return kept


def draft_saves(
    store: Store, site_id: str, bunker_id: str, before: int | None, most: int
) -> list[tuple[KeptDraft, Step | None]]:
    """Return the newest `most` saves of a bunker's draft, of those numbered under `before`, and what each did."""
    with store.reading() as transaction:
        site = standing_in(transaction, site_id)
        every = drafts_of(transaction, site_id, bunker_id)
        chosen = [index for index, kept in enumerate(every) if before is None or kept.number < before][:most]
        steps = [
            steps_after(
                transaction, site, every[index + 1] if index + 1 < len(every) else None, [every[index]]
            )
            for index in chosen
        ]
    return [(every[index], step[0] if step else None) for index, step in zip(chosen, steps, strict=True)]


def draft_save(store: Store, site_id: str, bunker_id: str, number: int) -> KeptDraft:
    """Return one save of a bunker's draft; raises NotFoundError."""
    with store.reading() as transaction:
        standing_in(transaction, site_id)
        every = drafts_of(transaction, site_id, bunker_id)
    for kept in every:
        if kept.number == number:
            return kept
    raise NotFoundError(
        f"The draft of bunker '{bunker_id}' has no save {number}; it was saved {len(every)} times."
    )


def standing_members(standing: StandingDraft) -> Json:
    """Return a draft to work on as answers tell it."""
    return {
        "draft": standing.document,
        "number": standing.number,
        "state": standing.state,
        "person": standing.person,
        "made_at": None if standing.made_at is None else moment_text(standing.made_at),
        "standing_revision": standing.standing_revision,
        "remarks": list(standing.remarks),
    }


def _stands(site: StandingSite, newest: KeptDraft | None, bunker_id: str) -> bool:
    return bunker_in(site, bunker_id) is not None or (newest is not None and newest.state == "open")


def _told(
    transaction: Transaction, site: StandingSite, newest: KeptDraft | None, bunker_id: str
) -> StandingDraft:
    standing = bunker_in(site, bunker_id)
    origin = None if newest is not None and newest.state == "open" else origin_of(site, bunker_id)
    if origin is not None:
        document, remarks = draft_document(origin.draft), origin.remarks
    else:
        assert newest is not None
        document = json.loads(newest.document)
        draft = read_draft(document)
        revision = standing.revision if standing else None
        remarks = _left_behind(draft, revision, changed_since(transaction, draft, site))
    return StandingDraft(
        document,
        number=0 if newest is None else newest.number,
        state=None if newest is None else newest.state,
        person="" if newest is None else newest.person,
        made_at=None if newest is None else newest.made_at,
        standing_revision=None if standing is None else standing.revision,
        remarks=remarks,
    )


def _left_behind(draft: Draft, standing: str | None, changed: Sequence[str]) -> tuple[str, ...]:
    grown = draft.from_revision
    if standing is None or (grown == standing and not changed):
        return ()
    if changed:
        return (
            f"Revision {standing}, which this draft was begun from, is another now: {loaded_words(changed)}.",
        )
    begun = "as a new bunker" if grown is None else f"from revision {grown}"
    return (f"This draft was begun {begun}; revision {standing} stands by now.",)


def check_is_of(draft: Draft, bunker_id: str) -> None:
    """Refuse a draft of another bunker; raises InputError."""
    if draft.bunker.id != bunker_id:
        raise InputError(f"The draft is of bunker '{draft.bunker.id}', and was sent as one of '{bunker_id}'.")


def check_hole(site: StandingSite, newest: KeptDraft | None, hole: int, bunker_id: str) -> None:
    """Refuse the short name of a bunker that stands, or is being drawn, on another hole; raises InputError."""
    standing = bunker_in(site, bunker_id)
    holes = [] if standing is None else [standing.hole]
    if newest is not None and newest.state == "open":
        holes.append(read_draft(json.loads(newest.document)).bunker.hole)
    if holes and hole not in holes:
        raise InputError(f"Bunker '{bunker_id}' is on hole {holes[0]}; give the new one another short name.")


def _check(site: StandingSite, bunker_id: str, draft: Draft) -> None:
    """Refuse a draft that no site could hold; that its outlines are not finished yet does not matter."""
    check_is_of(draft, bunker_id)
    if not is_id(bunker_id):
        raise InputError(f"A bunker cannot be called '{bunker_id[:60]}': {ID_REMEDY}.")
    for outline in draft.bunker.outlines:
        if not is_id(outline.id):
            raise InputError(f"An outline cannot have the id '{outline.id[:60]}': {ID_REMEDY}.")
    holes = [hole.number for hole in site.site.holes]
    if draft.bunker.hole not in holes:
        raise InputError(
            f"The draft is for hole {draft.bunker.hole}, which site '{site.site.id}' has not; "
            f"it has {', '.join(map(str, holes)) or 'none'}."
        )


def _stale(store: Store, site: StandingSite, bunker_id: str, basis: Basis, now: datetime) -> StaleError:
    """Return the refusal that says who did what since the save that `basis` names."""
    with store.reading() as transaction:
        saves = drafts_of(transaction, site.site.id, bunker_id)[::-1]
        base = _base_of(saves, basis)
        steps = (
            []
            if base is None
            else steps_after(transaction, site, saves[base - 1] if base else None, saves[base:])
        )
        changes = [step.sentence(now) for step in steps]
        told = {"changes": changes}
        if saves or bunker_in(site, bunker_id):
            newest = saves[-1] if saves else None
            told |= standing_members(_told(transaction, site, newest, bunker_id))
    return StaleError(f"{'; '.join(changes) or _otherwise(saves, now)}. {CHOOSE}", told)


def _base_of(saves: Sequence[KeptDraft], basis: Basis) -> int | None:
    """Return how many saves there were when the one was made that a basis names; None where it names none of them."""
    if basis.nothing:
        return 0
    known = [number for number in range(len(saves) + 1) if str(number) in basis.numbers]
    return max(known, default=None)


def _otherwise(saves: Sequence[KeptDraft], now: datetime) -> str:
    if not saves:
        return "The revision that stands is not what this draft was made from"
    newest = saves[-1]
    when = time_words(newest.made_at, now)
    return f"Save {newest.number}, by {newest.person} {when}, is not what yours was made from"
