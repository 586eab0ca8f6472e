"""What a phone keeps of a site: its holes with something to set out, and which bundle of each is the newest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldapp.store.engine import Store
from fieldapp.workflow.set_out import bundle_of_hole
from fieldapp.workflow.sites import standing_site


@dataclass(frozen=True)
class FieldBunker:
    """A bunker as a phone lists it; `points` counts its paint points."""

    id: str
    name: str
    revision: str
    points: int


@dataclass(frozen=True)
class FieldHole:
    """A hole with bunkers; `content_id` is that of its bundle as it stands."""

    number: int
    name: str
    content_id: str
    bunkers: tuple[FieldBunker, ...]


@dataclass(frozen=True)
class FieldIndex:
    """A site as the phone's own page of it needs it; holes without a bunker are left out."""

    site: str
    name: str
    holes: tuple[FieldHole, ...]
    pegs: int


def field_index(store: Store, site_id: str, now: datetime) -> FieldIndex:
    """Return what there is to keep of a site; raises NotFoundError."""
    site = standing_site(store, site_id).site
    numbers = {bunker.hole for bunker in site.bunkers}
    holes = tuple(
        _hole(store, site_id, hole.number, hole.name, now) for hole in site.holes if hole.number in numbers
    )
    return FieldIndex(site.id, site.name, holes, len(site.pegs))


def _hole(store: Store, site_id: str, number: int, name: str, now: datetime) -> FieldHole:
    bundle = bundle_of_hole(store, site_id, number, now)
    bunkers = tuple(
        FieldBunker(
            bunker["id"],
            bunker["name"],
            bunker["revision"],
            sum(len(outline["points"]) for outline in bunker["outlines"]),
        )
        for bunker in bundle["bunkers"]
    )
    return FieldHole(number, name, bundle["content_id"], bunkers)
