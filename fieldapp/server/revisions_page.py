"""The context of the page of a bunker's revisions, built without a request."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from urllib.parse import urlencode

from fieldapp.model import Bunker, HeldRecord, Site
from fieldapp.server.capture_page import capture_url
from fieldapp.server.hole_pages import board_url, choices
from fieldapp.server.record_rows import ground_words, minute
from fieldapp.server.revision_contexts import OldMarkRow, RevisionRow, RevisionsPage
from fieldapp.server.revision_figures import compared_block
from fieldapp.server.revision_words import CAPTURE, grid_words, marks_words, source_words
from fieldapp.store.drafts import KeptDraft
from fieldapp.workflow.revisions import OldMark, Revision, marks_not_in_the_plan, old_marks
from fieldapp.workflow.sites import StandingSite


def revisions_page(
    standing: StandingSite,
    revisions: Sequence[Revision],
    held: Sequence[HeldRecord],
    draft: KeptDraft | None,
    asked: tuple[str, str],
    faults: Sequence[str],
) -> RevisionsPage:
    """Build the page; `revisions` come newest first, `asked` names the old and the new one to compare."""
    site, newest = standing.site, revisions[0].bunker
    bunker_id, base = newest.bunker.id, f"/sites/{site.id}/bunkers/{newest.bunker.id}"
    stands = any(bunker.id == bunker_id for bunker in site.bunkers)
    old, new = (next((one for one in revisions if one.name == name), None) for name in asked)
    versions = [one.version for one in revisions]
    marks = (
        old_marks(held, standing, newest, lambda: versions)
        if stands
        else [one for one in marks_not_in_the_plan(held, standing) if one.mark.target.bunker == bunker_id]
    )
    named = [(one.name, one.name) for one in revisions]
    both = old is not None and new is not None and old is not new
    return RevisionsPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        bunker_name=newest.bunker.name,
        bunker_url=f"/sites/{site.id}#bunker-{bunker_id}" if stands else f"/sites/{site.id}",
        url=f"{base}/revisions",
        csv_url=f"{base}/revisions.csv?{urlencode({'old': asked[0], 'new': asked[1]})}" if both else "",
        standing=newest.bunker.revision if stands else "",
        fault=" ".join(faults),
        remark=grid_words(old, new, site.units.ground) if old and new and _grids_differ(old, new) else "",
        rows=tuple(_row(site, one, stands and index == 0) for index, one in enumerate(revisions)),
        old=choices(named, asked[0]),
        new=choices(named, asked[1]),
        compared=compared_block(standing, old.bunker, new.bunker, f"revision {new.name}")
        if old and new and both
        else None,
        marks_words=marks_words(marks, newest.bunker.revision if stands else ""),
        marks=tuple(_mark_rows(marks, [one.bunker.bunker for one in revisions], site.units.ground)),
        issue_url=f"{base}/issue" if draft else "",
        issue_words=f"Issue draft {draft.number}" if draft else "",
        board_url=board_url(site.id, newest.bunker) if stands else "",
        sheet_url=f"{base}/set-out-sheet",
    )


def compared_pair(
    revisions: Sequence[Revision], old: str, new: str
) -> tuple[tuple[str, str], tuple[str, ...]]:
    """Return the revisions to compare, the newest and the one before it unless others are named, and what is wrong."""
    names = [one.name for one in revisions]
    faults = [
        f"This bunker never had a revision '{name[:20]}'; it had {', '.join(reversed(names))}."
        for name in (old, new)
        if name and name not in names
    ]
    later = new if new in names else names[0]
    before = names[names.index(later) + 1 :] or [name for name in names if name != later]
    earlier = old if old in names else (before or [""])[0]
    if earlier == later and old:
        faults.append(f"Both are revision {later}; choose two different ones.")
    return (earlier, later), tuple(faults)


def _row(site: Site, one: Revision, stands: bool) -> RevisionRow:
    issue = one.issue
    capture = issue.came_from.removeprefix(CAPTURE) if issue and issue.came_from.startswith(CAPTURE) else ""
    return RevisionRow(
        name=one.name,
        stands=stands,
        since=minute(issue.issued_at if issue else one.since),
        person=issue.person if issue else "–",
        why=(issue.why if issue else "") or "–",
        came_from=source_words(issue) if issue else "the site's folder",
        came_from_url=capture_url(site.id, capture) if capture else "",
        acknowledged=issue.acknowledged if issue else (),
    )


def _mark_rows(marks: Sequence[OldMark], bunkers: Sequence[Bunker], unit: str) -> Iterator[OldMarkRow]:
    of_revision = {bunker.revision: bunker for bunker in bunkers}
    for one in sorted(marks, key=lambda mark: mark.state != "re-mark"):
        target = one.mark.target
        yield OldMarkRow(
            id=one.mark.id,
            revision=target.revision,
            part=of_revision.get(target.revision, bunkers[0]).called_as(target.outline, target.part),
            number=target.number,
            state=one.state,
            off=_off_words(one, unit),
            person=one.mark.person,
            made_at=minute(one.mark.made_at),
        )


def _off_words(one: OldMark, unit: str) -> str:
    if one.state == "not in the plan":
        return "–"
    return "no such line" if one.off_m is None else ground_words(one.off_m, unit)


def _grids_differ(old: Revision, new: Revision) -> bool:
    one, other = old.version.site, new.version.site
    return one.grid != other.grid or one.pegs != other.pegs
