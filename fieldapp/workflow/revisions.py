"""The revisions that a bunker ever had here, and which marks of older ones still lie on the line that stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np

from fieldapp.errors import NotFoundError
from fieldapp.model import HeldRecord, Mark
from fieldapp.outline.compared import off_the_line_m
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.store.engine import Store
from fieldapp.store.issues import Issue, issues_of
from fieldapp.workflow.records import real_marks
from fieldapp.workflow.sites import StandingSite, versions_in


@dataclass(frozen=True, eq=False)
class Revision:
    """A revision of a bunker as it was last drawn here: `since` is when it first stood, `issue` None for one that came
    with a site folder.
    """

    bunker: LaidOutBunker
    version: StandingSite
    since: datetime
    issue: Issue | None

    @property
    def name(self) -> str:
        """Its letters or number."""
        return self.bunker.bunker.revision


@dataclass(frozen=True)
class OldMark:
    """A mark of an older revision against the line that stands.

    `off_m` is how far its target lies from that line, ground metres, None where the revision that stands has no such
    line.
    """

    held: HeldRecord
    mark: Mark
    state: Literal["still good", "re-mark"]
    off_m: float | None


def revisions_of(store: Store, site_id: str, bunker_id: str) -> tuple[Revision, ...]:
    """Return the revisions of a bunker, the newest first; raises NotFoundError."""
    with store.reading() as transaction:
        versions = versions_in(transaction, site_id)
        issues = issues_of(transaction, site_id)
    issued = {issue.revision: issue for issue in issues if issue.bunker_id == bunker_id}
    found: dict[str, tuple[LaidOutBunker, StandingSite, datetime]] = {}
    for version in versions:
        drawn = next((one for one in version.bunkers if one.bunker.id == bunker_id), None)
        if drawn is not None:
            bunker, newest, _ = found.get(drawn.bunker.revision, (drawn, version, None))
            found[drawn.bunker.revision] = bunker, newest, version.loaded_at
    if not found:
        raise NotFoundError(f"There is no bunker called '{bunker_id}' at site '{site_id}'.")
    return tuple(
        Revision(bunker, version, since, issued.get(name)) for name, (bunker, version, since) in found.items()
    )


def grid_moved_m(old: Revision, new: Revision) -> float:
    """Return how far the paint points of the old revision would lie elsewhere on the earth, had they been drawn with
    the same coordinates on the grid of the new one; ground metres, the farthest of them.
    """
    points = np.concatenate([outline.points.xy for outline in old.bunker.outlines])
    again = new.version.grid.to_course(old.version.grid.to_gnss(points))
    return float(np.max(np.hypot(*(again - points).T))) * new.version.ground_scale(old.bunker.bunker.hole)


def old_marks(
    held: Iterable[HeldRecord],
    standing: StandingSite,
    bunker: LaidOutBunker,
    versions: Callable[[], Sequence[StandingSite]],
) -> tuple[OldMark, ...]:
    """Return the real marks of a bunker's older revisions, oldest first, each against the line of its part that stands.

    Still good is one whose target lies no farther from that line than the site's tolerance. Where the course grid is
    another now, the target is taken to it by its place on the earth; `versions` (newest first) are asked for that.
    """
    key, revision = bunker.bunker.id, bunker.bunker.revision
    ours = [
        (item, mark)
        for item, mark in real_marks(held)
        if mark.target.bunker == key and mark.target.revision != revision
    ]
    if not ours:
        return ()
    places = _places([mark for _, mark in ours], standing, versions())
    off = _offs([mark for _, mark in ours], places, bunker, standing.ground_scale(bunker.bunker.hole))
    tolerance_m = standing.site.rules.tolerance_m
    return tuple(_old_mark(item, mark, off[mark.id], tolerance_m) for item, mark in ours)


def _places(
    marks: Sequence[Mark], standing: StandingSite, versions: Sequence[StandingSite]
) -> dict[str, tuple[float, float]]:
    """Return where the targets of marks lie on the course grid that stands, by the marks' ids."""
    drawn: dict[str, StandingSite] = {}
    for version in versions:
        for bunker in version.site.bunkers:
            if bunker.id == marks[0].target.bunker:
                drawn.setdefault(bunker.revision, version)
    found = {}
    for mark in marks:
        version = drawn.get(mark.target.revision, standing)
        place = mark.target.x, mark.target.y
        if (version.site.grid, version.site.pegs) != (standing.site.grid, standing.site.pegs):
            x, y = standing.grid.to_course(version.grid.to_gnss(np.array(place))).tolist()
            place = x, y
        found[mark.id] = place
    return found


def _offs(
    marks: Sequence[Mark],
    places: Mapping[str, tuple[float, float]],
    bunker: LaidOutBunker,
    ground_scale: float,
) -> dict[str, float | None]:
    found: dict[str, float | None] = {}
    for part in {mark.target.part for mark in marks}:
        of_part = [mark for mark in marks if mark.target.part == part]
        off = off_the_line_m(bunker, part, [places[mark.id] for mark in of_part], ground_scale)
        for index, mark in enumerate(of_part):
            found[mark.id] = None if off is None else off[index]
    return found


def _old_mark(item: HeldRecord, mark: Mark, off_m: float | None, tolerance_m: float) -> OldMark:
    is_good = off_m is not None and off_m <= tolerance_m
    return OldMark(item, mark, "still good" if is_good else "re-mark", off_m)
