"""An import is taken: its outlines become a save of a bunker's draft, its things to keep clear of a site version."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from fieldapp.errors import InputError, StaleError
from fieldapp.formats.draft import draft_document, read_draft
from fieldapp.formats.site_table import ID_REMEDY, is_id
from fieldapp.model import Bunker, Hole, Outline
from fieldapp.model.draft import Draft
from fieldapp.store.drafts import KeptDraft, add_draft, newest_draft
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.sites import add_version
from fieldapp.workflow.draft_origin import origin_of
from fieldapp.workflow.drafting import Basis, check_hole
from fieldapp.workflow.drawing_uses import Made
from fieldapp.workflow.issuing import checked_text
from fieldapp.workflow.kept_things import TOLD
from fieldapp.workflow.sites import StandingSite, standing_in

NOTHING = "Nothing is chosen to be kept: say of one layer at least what it becomes."
NO_BUNKER = "Give the new bunker a name."
NOT_NEW = (
    "This hole has a bunker '{}' already; choose it in the list, or give the new one another short name."
)


@dataclass(frozen=True)
class TakenFor:
    """The bunker that outlines are of; `name` is for a new one, `basis` the save of its draft that was looked at.

    Where `must_be_new`, the short name must be no other's yet.
    """

    bunker_id: str
    name: str
    basis: Basis
    must_be_new: bool = False


@dataclass(frozen=True)
class Taken:
    """What was kept: the bunker and the number of the save of its draft (None: no outline), and how many things."""

    bunker_id: str
    draft_number: int | None
    things: int


def newest_save(store: Store, site_id: str, bunker_id: str) -> KeptDraft | None:
    """Return a bunker's newest save, None where there is none; raises StoreError."""
    with store.reading() as transaction:
        return newest_draft(transaction, site_id, bunker_id)


def take(
    store: Store, site_id: str, hole: Hole, made: Made, wanted: TakenFor, person: str, at: datetime
) -> Taken:
    """Keep what an import comes to, all of it or nothing; on disk once this returns.

    The outlines stand in the place of those of the same parts, other parts stay. Raises InputError; StaleError where
    somebody saved the draft meanwhile; ConflictError where the site cannot have the things; StoreError.
    """
    if made.faults:
        raise InputError(made.faults[0])
    if not made.outlines and not made.things:
        raise InputError(NOTHING)
    with store.writing() as transaction:
        standing = standing_in(transaction, site_id)
        number = None
        if made.outlines:
            number = _save(transaction, standing, hole, made.outlines, wanted, person, at)
        if made.things:
            _keep_clear(transaction, standing, made, person, at)
    return Taken(wanted.bunker_id if made.outlines else "", number, len(made.things))


def _save(
    transaction: Transaction,
    standing: StandingSite,
    hole: Hole,
    outlines: Sequence[Outline],
    wanted: TakenFor,
    person: str,
    at: datetime,
) -> int:
    site_id, bunker_id = standing.site.id, wanted.bunker_id
    if not bunker_id:
        raise InputError(NO_BUNKER)
    kept = newest_draft(transaction, site_id, bunker_id)
    number = kept.number if kept else 0
    check_hole(standing, kept, hole.number, bunker_id)
    draft = _draft_now(standing, bunker_id, kept)
    if wanted.must_be_new and draft is not None:
        raise InputError(NOT_NEW.format(bunker_id))
    if not wanted.basis.holds(number, draft is not None):
        raise StaleError(_meanwhile(bunker_id, kept), {"number": number})
    if draft is None:
        draft = Draft(_new_bunker(hole, wanted))
    if draft.bunker.hole != hole.number:
        raise InputError(
            f"Bunker '{bunker_id}' is on hole {draft.bunker.hole}, not on hole {hole.number}; choose another."
        )
    drawn = replace(draft.bunker, outlines=in_place_of(draft.bunker.outlines, outlines))
    document = draft_document(replace(draft, bunker=drawn))
    read_draft(document)
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
    add_draft(transaction, KeptDraft(site_id, bunker_id, number + 1, "open", text, person, at))
    return number + 1


def _draft_now(standing: StandingSite, bunker_id: str, kept: KeptDraft | None) -> Draft | None:
    """Return a bunker's open draft, else the one that its standing revision makes; None where it has neither."""
    if kept is not None and kept.state == "open":
        return read_draft(json.loads(kept.document))
    origin = origin_of(standing, bunker_id)
    return None if origin is None else origin.draft


def _meanwhile(bunker_id: str, kept: KeptDraft | None) -> str:
    if kept is None:
        return f"Bunker '{bunker_id}' stands already; look at it, then keep the import once more."
    return (
        f"{kept.person or 'Somebody'} saved the draft of bunker '{bunker_id}' meanwhile (save {kept.number}); look at "
        "it, then keep the import once more."
    )


def in_place_of(held: Sequence[Outline], new: Sequence[Outline]) -> tuple[Outline, ...]:
    """Return the outlines with new ones in the place of all of their parts; those take over their ids and heights."""
    parts = {outline.part for outline in new}
    free = {part: [outline for outline in held if outline.part == part] for part in parts}
    stay = [outline for outline in held if outline.part not in parts]
    taken = {outline.id for outline in held}
    found = []
    for outline in new:
        if free[outline.part]:
            found.append(replace(free[outline.part].pop(0), shape=outline.shape))
            continue
        number, own = 1, outline.id
        while own in taken:
            number += 1
            own = f"{outline.id}-{number}"
        taken.add(own)
        found.append(replace(outline, id=own))
    return (*found, *stay)


def _new_bunker(hole: Hole, wanted: TakenFor) -> Bunker:
    if not is_id(wanted.bunker_id):
        raise InputError(f"A bunker cannot be called '{wanted.bunker_id[:60]}': {ID_REMEDY}.")
    return Bunker(wanted.bunker_id, hole.number, wanted.name or wanted.bunker_id, "", ())


def _keep_clear(
    transaction: Transaction, standing: StandingSite, made: Made, person: str, at: datetime
) -> None:
    site = replace(standing.site, keep_clear=(*standing.site.keep_clear, *made.things))
    text = checked_text(
        site, "These things to keep clear of cannot be kept", "correct the drawing and send it again"
    )
    content_id = hashlib.sha256(text.encode()).hexdigest()
    add_version(transaction, site.id, content_id, text, at, f"{TOLD}{person}")
