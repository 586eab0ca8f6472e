"""The draft that a revision makes to begin with."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldapp.model import Bunker, Site
from fieldapp.model.draft import Draft
from fieldapp.outline.as_drawn import AsDrawn, as_drawn
from fieldapp.store.engine import Transaction
from fieldapp.workflow.draft_changes import GroundWords
from fieldapp.workflow.kept import worked_out_once
from fieldapp.workflow.sites import StandingSite, versions_in


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
    if draft.from_version is None:
        return None
    for version in versions_in(transaction, site_id):
        if version.sequence == draft.from_version:
            origin = origin_of(version, draft.bunker.id)
            return None if origin is None else origin.draft.bunker
    return None


def ground_words(site: StandingSite, bunker: Bunker) -> GroundWords:
    """Return how lengths of a bunker are written for people of the site."""
    return GroundWords(site.ground_scale(bunker.hole), site.site.units.ground)
