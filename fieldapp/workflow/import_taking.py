"""An import is taken: its outlines become a save of a bunker's draft, its things to keep clear of a site version."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from fieldapp.errors import ConflictError, InputError
from fieldapp.formats.draft import draft_document, read_draft
from fieldapp.model import Bunker, Hole, Outline, Site
from fieldapp.model.draft import Draft
from fieldapp.outline.as_drawn import as_drawn
from fieldapp.store.drafts import KeptDraft, add_draft, newest_draft
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.sites import add_version
from fieldapp.workflow.drawing_uses import Made
from fieldapp.workflow.issuing import checked_text
from fieldapp.workflow.sites import StandingSite, standing_in

BUNKER_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,47}")
NOTHING = "Nothing is chosen to be kept: say of one layer at least what it becomes."
NO_BUNKER = "Say which bunker the outlines are of, or give a new one an id and a name."


@dataclass(frozen=True)
class TakenFor:
    """The bunker that the outlines of an import are of; `name` is for a new one.

    `draft_number` is the save of its draft that was looked at, 0 for none.
    """

    bunker_id: str
    name: str
    draft_number: int


@dataclass(frozen=True)
class Taken:
    """What was kept: the bunker and the number of the save of its draft (None: no outline), and how many things."""

    bunker_id: str
    draft_number: int | None
    things: int


def draft_now(store: Store, standing: StandingSite, bunker_id: str) -> tuple[int, Bunker | None]:
    """Return the number of a bunker's newest save (0: none) and the bunker as it is drawn now; raises StoreError."""
    with store.reading() as transaction:
        kept = newest_draft(transaction, standing.site.id, bunker_id)
    return (kept.number if kept else 0), _bunker_now(standing, bunker_id, kept)


def take(
    store: Store, site_id: str, hole: Hole, made: Made, wanted: TakenFor, person: str, at: datetime
) -> Taken:
    """Keep what an import comes to, all of it or nothing; on disk once this returns.

    The outlines stand in the place of those of the same parts, other parts stay. Raises InputError, ConflictError where
    somebody saved the draft meanwhile, and where the site cannot have the things to keep clear of; StoreError.
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
    kept = newest_draft(transaction, standing.site.id, wanted.bunker_id)
    number = kept.number if kept else 0
    if kept is not None and number != wanted.draft_number:
        raise ConflictError(
            f"{kept.person or 'Somebody'} saved the draft of bunker '{wanted.bunker_id}' meanwhile (save {number}); "
            "look at it, then keep the import once more."
        )
    bunker = _bunker_now(standing, wanted.bunker_id, kept) or _new_bunker(hole, wanted)
    if bunker.hole != hole.number:
        raise InputError(
            f"Bunker '{bunker.id}' is on hole {bunker.hole}, not on hole {hole.number}; choose another."
        )
    drawn = replace(bunker, revision="", place=None, outlines=in_place_of(bunker.outlines, outlines))
    stands = next((one for one in standing.site.bunkers if one.id == bunker.id), None)
    draft = Draft(drawn, stands.revision if stands else None, standing.sequence if stands else None)
    document = draft_document(draft)
    read_draft(document)
    text = json.dumps(document, ensure_ascii=False)
    add_draft(transaction, KeptDraft(standing.site.id, bunker.id, number + 1, "open", text, person, at))
    return number + 1


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


def _bunker_now(standing: StandingSite, bunker_id: str, kept: KeptDraft | None) -> Bunker | None:
    """Return a bunker as its draft has it, else as it stands, drawn in course metres; None where it is neither."""
    if kept is not None and kept.state == "open":
        return read_draft(json.loads(kept.document)).bunker
    stands = next((one for one in standing.site.bunkers if one.id == bunker_id), None)
    if stands is None:
        return None
    return as_drawn(standing.site, stands, standing.ground_scale(stands.hole)).bunker


def _new_bunker(hole: Hole, wanted: TakenFor) -> Bunker:
    if not wanted.bunker_id:
        raise InputError(NO_BUNKER)
    if not BUNKER_ID.fullmatch(wanted.bunker_id):
        raise InputError(
            f"'{wanted.bunker_id[:60]}' cannot be the id of a bunker: use up to 48 letters, figures and hyphens, such "
            f"as {hole.number}-left."
        )
    return Bunker(wanted.bunker_id, hole.number, wanted.name or wanted.bunker_id, "", ())


def _keep_clear(
    transaction: Transaction, standing: StandingSite, made: Made, person: str, at: datetime
) -> None:
    site: Site = replace(standing.site, keep_clear=(*standing.site.keep_clear, *made.things))
    text = checked_text(
        site, "These things to keep clear of cannot be kept", "correct the drawing and send it again"
    )
    told = f"things to keep clear of, brought in by {person}"
    add_version(transaction, site.id, hashlib.sha256(text.encode()).hexdigest(), text, at, told)
