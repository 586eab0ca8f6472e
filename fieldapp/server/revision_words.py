"""Revisions and marks of older ones in words, as the site page and the page of revisions say them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from fieldapp.server.record_rows import ground_words, minute
from fieldapp.store.issues import Issue
from fieldapp.workflow.revisions import OldMark, Revision, grid_moved_m
from fieldapp.workflow.sites import StandingSite

CAPTURE = "capture "
SHOWN_M = 0.005
"""A grid that moved by less did not move, as far as a page can tell."""


@dataclass(frozen=True)
class IssuedAndDrawn:
    """The revisions that were issued of a site, and the number of the open draft of each bunker that has one.

    `versions` gives every version of the site, newest first, where they are needed.
    """

    issues: tuple[Issue, ...]
    drafts: Mapping[str, int]
    versions: Callable[[], Sequence[StandingSite]] = tuple

    def issue_of(self, bunker_id: str, revision: str) -> Issue | None:
        """Return how a revision came about; None for one that came with the site's folder."""
        key = bunker_id, revision
        return next((one for one in reversed(self.issues) if (one.bunker_id, one.revision) == key), None)


NOTHING_ISSUED = IssuedAndDrawn((), {})


def marks_words(marks: Sequence[OldMark], revision: str) -> str:
    """Say how many marks of older revisions are still good; "" where there is none."""
    if not marks:
        return ""
    good = sum(one.state == "still good" for one in marks)
    count = "1 mark was" if len(marks) == 1 else f"{len(marks)} marks were"
    return f"{count} made from older revisions: against {revision}, {good} still good, {len(marks) - good} to re-mark."


def state_words(one: OldMark, unit: str) -> str:
    """Say whether an old mark still is good, and how far its target lies from the line that stands."""
    if one.off_m is None:
        return "re-mark: no such line any more"
    return f"{one.state}: {ground_words(one.off_m, unit)} from the line"


def issued_words(revision: str, issue: Issue | None) -> tuple[str, str]:
    """Say when and by whom a revision was issued, and why."""
    if issue is None:
        return f"Revision {revision} came with the site's folder.", ""
    when = minute(issue.issued_at)
    return f"Revision {revision}, issued {when} UTC by {issue.person}, from {source_words(issue)}.", issue.why


def source_words(issue: Issue) -> str:
    """Say what a revision was made from."""
    return "what was captured on the ground" if issue.came_from.startswith(CAPTURE) else issue.came_from


def grid_words(old: Revision, new: Revision, unit: str) -> str:
    """Say how far the same coordinates lie elsewhere since the course grid was changed; "" where they do not."""
    moved_m = grid_moved_m(old, new)
    if moved_m < SHOWN_M:
        return ""
    return (
        "The course grid was changed between these two revisions: the same coordinates lie up to "
        f"{ground_words(moved_m, unit)} from where they lay here. The plan and the figures compare coordinates, so on "
        "the ground a point may have moved by as much more or less."
    )
