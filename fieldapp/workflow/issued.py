"""Revisions that were issued here are not lost by a load: a folder may not go back before one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from fieldapp.errors import ConflictError
from fieldapp.model import Bunker, Site
from fieldapp.store.issues import Issue
from fieldapp.store.sites import SiteVersion


def check_keeps_issued(
    site: Site,
    held: Sequence[SiteVersion],
    issues: Sequence[Issue],
    opened: Callable[[str], Site],
    same_points: Callable[[str, tuple[str, str]], bool],
) -> None:
    """Refuse a site that would put a bunker back before the revision that was issued here; raises ConflictError.

    `held` are its versions, newest first, `issues` what was issued, oldest first, `opened` reads a version's text, and
    `same_points` says whether a revision has the same paint points in that text as in the new one.
    """
    newest = {issue.bunker_id: issue for issue in issues}
    had = {bunker.id for bunker in site.bunkers}
    for last in newest.values():
        stood = any(bunker.id == last.bunker_id for bunker in opened(held[0].document).bunkers)
        older = (opened(version.document) for version in held if version.sequence < last.site_version)
        if last.bunker_id not in had and stood and any(site == one for one in older):
            raise ConflictError(
                f"The folder of site '{site.id}' is as it was before {last.person} issued bunker '{last.bunker_id}' "
                f"here; write the standing site out with 'fieldapp site write {site.id} DIR --data …' and go on from "
                "that folder."
            )
    for bunker in site.bunkers:
        issue = newest.get(bunker.id)
        if issue is not None:
            before = [version for version in held if version.sequence < issue.site_version]
            document = next(version.document for version in held if version.sequence == issue.site_version)
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
    issued = f"'{issue.revision}', which {issue.person} issued here from {_source(issue)}"
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


def _source(issue: Issue) -> str:
    return "what was captured on the ground" if issue.came_from.startswith("capture ") else issue.came_from
