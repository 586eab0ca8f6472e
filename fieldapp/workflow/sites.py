"""Sites: load one into the store, and have the one that stands with its course grid."""

from __future__ import annotations

import hashlib
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property, partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import ConflictError, InputError, NotFoundError
from fieldapp.formats.bundle import describe_hole
from fieldapp.formats.site_folder import check_site, read_site_text, site_text
from fieldapp.geodesy.distance import geodesic
from fieldapp.geodesy.grid import CourseGrid, build_grid
from fieldapp.model import Bunker, Site
from fieldapp.outline.laid_out import LaidOutBunker, hole_scale, lay_out_bunker
from fieldapp.store.engine import Store, Transaction
from fieldapp.store.issues import issues_of
from fieldapp.store.records import marked_revisions
from fieldapp.store.sites import SiteVersion, add_version, site_ids, standing_version, version_at, versions
from fieldapp.workflow.issued import check_keeps_issued
from fieldapp.workflow.kept import worked_out_once
from fieldapp.workflow.kept_things import check_keeps_things

SAME_POINT_M = 0.001
NOT_AN_ID = ("new", "from-zip")
"""Ids that no site can have: other pages have these addresses."""
OutlinePoints = dict[str, NDArray[np.float64]]
"""Paint points `(N, 2)` in course metres by outline id; index 0 is number 1."""


@dataclass(frozen=True)
class StandingSite:
    """A version of a site with its course grid: `sequence` in the store, `document` its text."""

    site: Site
    grid: CourseGrid
    content_id: str
    sequence: int
    loaded_at: datetime
    document: str

    @property
    def bunkers(self) -> tuple[LaidOutBunker, ...]:
        """Every bunker of this version laid out on the course grid, in the order of the site."""
        return _bunkers(self.document)

    def outline_points(self, bunker_id: str, revision: str) -> OutlinePoints | None:
        """Return the paint points of a bunker in this version; None where it has no such revision."""
        return _outline_points(self.document, bunker_id, revision)

    def ground_scale(self, hole_number: int) -> float:
        """Return ground metres per course metre on a hole, as in its bundle; unknown ones get the first's."""
        return _ground_scale(self.document, hole_number)

    @cached_property
    def middle_xy(self) -> tuple[float, float]:
        """A place in the midst of the site, course metres."""
        return _middle_xy(self.document)

    def away_m(self, lat_deg: float, lon_deg: float) -> float:
        """Return how far a position lies from the midst of the site, metres along the ellipsoid."""
        middle = self.grid.to_gnss(np.array(self.middle_xy))
        return float(geodesic(middle, np.array([lon_deg, lat_deg])).distance_m)


@dataclass(frozen=True)
class LoadedSite:
    """What loading came to: `new` is False when the same content stood already."""

    site: Site
    new: bool


def load_site(store: Store, folder: Path, at: datetime, taken_out: Collection[str] = ()) -> LoadedSite:
    """Load a site folder; it stands from then on. `taken_out` names bunkers that were issued here and are to go.

    Raises SiteFolderError, InputError for a new site whose id is one of NOT_AN_ID, and ConflictError where paint points
    would move under real marks of a revision, or where a bunker would go back before a revision that was issued here,
    or be lost with it.
    """
    text = site_text(check_site(folder))
    with store.writing() as transaction:
        return load_text_in(transaction, text, at, str(folder), taken_out)


def load_text_in(
    transaction: Transaction, text: str, at: datetime, loaded_from: str, taken_out: Collection[str] = ()
) -> LoadedSite:
    """Do as `load_site` with the text of a site that was checked, as `site_text` writes it, within a transaction.

    Places that phones read for the site before it stood go over into its field record.
    """
    from fieldapp.workflow.waiting_places import take_waiting_in

    loaded = _load(transaction, text, at, loaded_from, taken_out)
    take_waiting_in(transaction, loaded.site.id)
    return loaded


def _load(
    transaction: Transaction, text: str, at: datetime, loaded_from: str, taken_out: Collection[str]
) -> LoadedSite:
    site, _ = _opened(text)
    content_id = content_id_of(text)
    held = versions(transaction, site.id)
    if held and held[0].content_id == content_id:
        return LoadedSite(site, new=False)
    if not held:
        check_can_be_an_id(site.id)
    issues = issues_of(transaction, site.id)
    check_keeps_things(site, held, lambda kept: _opened(kept)[0])
    same_points = partial(_same_points, text)
    check_keeps_issued(site, held, issues, lambda kept: _opened(kept)[0], same_points, taken_out)
    _check_marked_revisions(site, text, held, marked_revisions(transaction, site.id))
    add_version(transaction, site.id, content_id, text, at, loaded_from)
    return LoadedSite(site, new=True)


def check_can_be_an_id(site_id: str) -> None:
    """Refuse an id that is the address of another page; raises InputError."""
    if site_id in NOT_AN_ID:
        raise InputError(
            f"A site cannot have the id '{site_id}', which is the address of another page; give it another id in "
            "site.toml and load it again."
        )


def content_id_of(text: str) -> str:
    """Return what a site's text is known by: SHA-256, hex."""
    return hashlib.sha256(text.encode()).hexdigest()


def standing_site(store: Store, site_id: str) -> StandingSite:
    """Return the version of a site that stands; raises NotFoundError naming the sites there are."""
    with store.reading() as transaction:
        return standing_in(transaction, site_id)


def standing_in(transaction: Transaction, site_id: str) -> StandingSite:
    """Return the version of a site that stands, within a transaction; raises NotFoundError."""
    version = standing_version(transaction, site_id)
    if version is None:
        known = ", ".join(site_ids(transaction)) or "none"
        raise NotFoundError(f"There is no site called '{site_id}'; there are: {known}.")
    return _standing(version)


def standing_sites(store: Store) -> list[StandingSite]:
    """Return every site as it stands, in the order they were first loaded."""
    with store.reading() as transaction:
        found = [standing_version(transaction, site_id) for site_id in site_ids(transaction)]
    return [_standing(version) for version in found if version is not None]


def every_version(store: Store, site_id: str) -> list[StandingSite]:
    """Return every version of a site, newest first."""
    with store.reading() as transaction:
        return versions_in(transaction, site_id)


def versions_in(transaction: Transaction, site_id: str) -> list[StandingSite]:
    """Return every version of a site, newest first, within a transaction."""
    return [_standing(version) for version in versions(transaction, site_id)]


def version_in(transaction: Transaction, site_id: str, sequence: int) -> StandingSite | None:
    """Return one version of a site, within a transaction; None where it has none of that sequence."""
    version = version_at(transaction, site_id, sequence)
    return None if version is None else _standing(version)


def opened_version(version: SiteVersion) -> Site:
    """Return the site of a version."""
    return _standing(version).site


def laid_out(site: Site, grid: CourseGrid, bunker: Bunker) -> LaidOutBunker:
    """Lay a bunker out with the ground scale of its hole, as in the hole's bundle."""
    return lay_out_bunker(site, bunker, hole_scale(grid, site.hole(bunker.hole)))


def hole_description(standing: StandingSite, hole: int, on_day: date) -> dict[str, Any]:
    """Return the part of a hole's bundle that only the site and the day decide; raises NotFoundError."""
    return _hole_description(standing.document, hole, on_day)


def _standing(version: SiteVersion) -> StandingSite:
    text = _kept_text(version.document)
    site, grid = _opened(text)
    return StandingSite(site, grid, version.content_id, version.sequence, version.loaded_at, text)


@worked_out_once(32)
def _kept_text(text: str) -> str:
    """Return the text that was first seen of those that are alike: what is kept by it is then found at a glance."""
    return text


@worked_out_once(32)
def _opened(text: str) -> tuple[Site, CourseGrid]:
    site = read_site_text(text)
    return site, build_grid(site.grid, site.pegs)


@worked_out_once(256)
def _ground_scale(text: str, hole_number: int) -> float:
    site, grid = _opened(text)
    return hole_scale(grid, next((hole for hole in site.holes if hole.number == hole_number), site.holes[0]))


@worked_out_once(32)
def _middle_xy(text: str) -> tuple[float, float]:
    site, _ = _opened(text)
    greens = np.array([(hole.green_x, hole.green_y) for hole in site.holes])
    x, y = np.median(greens, axis=0)
    return float(x), float(y)


@worked_out_once(32)
def _bunkers(text: str) -> tuple[LaidOutBunker, ...]:
    site, grid = _opened(text)
    return tuple(laid_out(site, grid, bunker) for bunker in site.bunkers)


@worked_out_once(64)
def _hole_description(text: str, hole: int, on_day: date) -> dict[str, Any]:
    site, grid = _opened(text)
    return describe_hole(site, grid, hole, on_day)


def _outline_points(text: str, bunker_id: str, revision: str) -> OutlinePoints | None:
    for drawn in _bunkers(text):
        if (drawn.bunker.id, drawn.bunker.revision) == (bunker_id, revision):
            return {outline.id: outline.points.xy for outline in drawn.outlines}
    return None


def _check_marked_revisions(
    site: Site, text: str, held: list[SiteVersion], marked: set[tuple[str, str]]
) -> None:
    """Refuse a version that would move paint points, on the course grid or on the earth, under real marks."""
    for bunker in site.bunkers:
        key = bunker.id, bunker.revision
        if key not in marked:
            continue
        before = next((version.document for version in held if _outline_points(version.document, *key)), None)
        if before is not None and not _same_points(text, before, key):
            raise ConflictError(
                f"Bunker '{bunker.id}' of site '{site.id}' has real marks of revision '{bunker.revision}', and its "
                "paint points would lie elsewhere now (its outline, its placing or the course grid has changed); give "
                "the bunker a new revision letter and load it again."
            )


def _same_points(text: str, other: str, key: tuple[str, str]) -> bool:
    """Whether a revision has the same paint points in two versions, each on its own grid."""
    now, before = _outline_points(text, *key) or {}, _outline_points(other, *key) or {}
    if now.keys() != before.keys():
        return False
    grid, grid_before = _opened(text)[1], _opened(other)[1]
    return all(
        now[outline].shape == points.shape
        and _near(now[outline], points)
        and _near(grid_before.to_course(grid.to_gnss(now[outline])), points)
        for outline, points in before.items()
    )


def _near(one: NDArray[np.float64], other: NDArray[np.float64]) -> bool:
    return bool(np.all(np.abs(one - other) <= SAME_POINT_M))
