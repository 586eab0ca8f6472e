"""Revisions that were issued here, from a capture somebody confirmed: which, when, by whom; none is lost by a load."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from fieldapp.errors import ConflictError
from fieldapp.model import Bunker, Site
from fieldapp.store.sites import SiteVersion

ISSUED = re.compile(
    r"capture (?P<capture>\S+) as revision (?P<revision>[A-Z]+) of bunker (?P<bunker>.+?), confirmed by (?P<person>.*)",
    re.DOTALL,
)


@dataclass(frozen=True)
class Issue:
    """A capture that became a revision: `sequence` is that of the site version it made."""

    capture: str
    bunker: str
    revision: str
    person: str
    at: datetime
    sequence: int


def issue_text(capture: str, bunker: str, revision: str, person: str) -> str:
    """Return what a site version says of where it came from."""
    return f"capture {capture} as revision {revision} of bunker {bunker}, confirmed by {person}"


def issues_of(held: Sequence[SiteVersion]) -> tuple[Issue, ...]:
    """Return what was issued among versions of a site, in their order."""
    found = ((version, ISSUED.fullmatch(version.loaded_from)) for version in held)
    return tuple(
        Issue(
            match["capture"],
            match["bunker"],
            match["revision"],
            match["person"],
            version.loaded_at,
            version.sequence,
        )
        for version, match in found
        if match
    )


def check_keeps_issued(
    site: Site,
    held: Sequence[SiteVersion],
    opened: Callable[[str], Site],
    same_points: Callable[[str, tuple[str, str]], bool],
) -> None:
    """Refuse a site that would put a bunker back before the revision that was issued here; raises ConflictError.

    `held` are its versions, newest first, `opened` reads a version's text, and `same_points` says whether a revision
    has the same paint points in that text as in the new one.
    """
    newest = {issue.bunker: issue for issue in reversed(issues_of(held))}
    for bunker in site.bunkers:
        issue = newest.get(bunker.id)
        if issue is not None:
            before = [version for version in held if version.sequence < issue.sequence]
            document = next(version.document for version in held if version.sequence == issue.sequence)
            _check(site, bunker, issue, _revisions(before, bunker.id, opened), document, same_points)


def _check(
    site: Site,
    bunker: Bunker,
    issue: Issue,
    older: set[str],
    document: str,
    same_points: Callable[[str, tuple[str, str]], bool],
) -> None:
    way_on = f"write the standing site out with 'fieldapp site write {site.id} DIR --data …' and go on from that folder"
    issued = f"'{issue.revision}', which {issue.person} issued here from what was captured on the ground"
    if bunker.revision in older:
        raise ConflictError(
            f"The folder has bunker '{bunker.id}' of site '{site.id}' in revision '{bunker.revision}', older than "
            f"{issued}; {way_on}."
        )
    key = bunker.id, bunker.revision
    if bunker.revision == issue.revision and not same_points(document, key):
        raise ConflictError(
            f"The folder has another outline of bunker '{bunker.id}' of site '{site.id}' as revision {issued}; give it "
            f"a new revision letter, or {way_on}."
        )


def _revisions(held: Sequence[SiteVersion], bunker_id: str, opened: Callable[[str], Site]) -> set[str]:
    sites = (opened(version.document) for version in held)
    return {bunker.revision for site in sites for bunker in site.bunkers if bunker.id == bunker_id}
