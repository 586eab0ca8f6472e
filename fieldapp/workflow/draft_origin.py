"""The draft that a revision makes to begin with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldapp.formats.sentences import listed
from fieldapp.model import Bunker, Site
from fieldapp.model.draft import Draft
from fieldapp.outline.as_drawn import AsDrawn, as_drawn
from fieldapp.store.engine import Transaction
from fieldapp.workflow.draft_changes import GroundWords, changes_between
from fieldapp.workflow.kept import worked_out_once
from fieldapp.workflow.sites import StandingSite, version_in


@dataclass(frozen=True)
class Origin:
    """A draft made from a revision, and sentences about what was made anew for it."""

    draft: Draft
    remarks: tuple[str, ...]


def bunker_in(site: StandingSite, bunker_id: str) -> Bunker | None:
    """Return a bunker of a version of a site; None where it has none of that id."""
    return next((bunker for bunker in site.site.bunkers if bunker.id == bunker_id), None)


def origin_of(site: StandingSite, bunker_id: str) -> Origin | None:
    """Return the draft that a bunker's revision in a version of its site makes; None where it is not in it."""
    bunker = bunker_in(site, bunker_id)
    if bunker is None:
        return None
    drawn = _drawn(site.site, bunker, site.ground_scale(bunker.hole))
    draft = Draft(replace(drawn.bunker, revision=""), bunker.revision, site.sequence)
    return Origin(draft, drawn.remarks)


@worked_out_once(64)
def _drawn(site: Site, bunker: Bunker, ground_scale: float) -> AsDrawn:
    return as_drawn(site, bunker, ground_scale)


def grown_from(transaction: Transaction, draft: Draft, site_id: str) -> Bunker | None:
    """Return the bunker that a draft grew from, as a draft of it is; None where it never stood, or is not known."""
    origin = _grown_from(transaction, draft, site_id)
    return origin.bunker if origin else None


def changed_since(transaction: Transaction, draft: Draft, site: StandingSite) -> tuple[str, ...]:
    """Return what is other now in the revision that a draft grew from, each as what somebody did: "moved …".

    Empty where the same stands, another revision stands, or what it grew from is not known.
    """
    now = origin_of(site, draft.bunker.id)
    if now is None or draft.from_version == site.sequence or draft.from_revision != now.draft.from_revision:
        return ()
    before = _grown_from(transaction, draft, site.site.id)
    if before is None or before.from_revision != draft.from_revision:
        return ()
    return changes_between(before.bunker, now.draft.bunker, ground_words(site, before.bunker))


def _grown_from(transaction: Transaction, draft: Draft, site_id: str) -> Draft | None:
    if draft.from_version is None:
        return None
    version = version_in(transaction, site_id, draft.from_version)
    origin = version and origin_of(version, draft.bunker.id)
    return origin.draft if origin else None


def loaded_words(changed: Sequence[str]) -> str:
    """Say what a load of the site changed in a revision without calling it another."""
    return f"whoever loaded the site since {listed(changed)}"


def ground_words(site: StandingSite, bunker: Bunker) -> GroundWords:
    """Return how lengths of a bunker are written for people of the site."""
    return GroundWords(site.ground_scale(bunker.hole), site.site.units.ground)
