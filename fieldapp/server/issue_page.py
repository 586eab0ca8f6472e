"""The context of the page on which a draft is issued, built without a request."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.model.visitor import Visitor
from fieldapp.outline.laid_out import sands_words
from fieldapp.server.hole_pages import board_url, title_of
from fieldapp.server.record_rows import minute
from fieldapp.server.revision_contexts import IssueForm, IssueGonePage, IssuePage, NearTick
from fieldapp.server.revision_figures import compared_block
from fieldapp.workflow.draft_issue import DraftToIssue, near_words, superseded_words
from fieldapp.workflow.sites import StandingSite

LONGEST_WHY = 500
NEAR = "near-"


@dataclass(frozen=True)
class IssueAsked:
    """The form as it came; `draft` is the save of the draft that was looked at, 0 where none is named."""

    draft: int
    revision: str
    why: str
    person: str
    near: frozenset[str]
    over: str | None


def read_issue_asked(form: Mapping[str, str]) -> IssueAsked:
    """Read a form; nothing is refused here."""
    number = form.get("draft", "")
    return IssueAsked(
        draft=int(number) if number.isdecimal() and number.isascii() and len(number) < 10 else 0,
        revision=form.get("revision", "").strip(),
        why=" ".join(form.get("why", "").split())[:LONGEST_WHY],
        person=form.get("name", ""),
        near=frozenset(words for name, words in form.items() if name.startswith(NEAR)),
        over=form.get("over"),
    )


def issue_page(
    asked: DraftToIssue, visitor: Visitor, form: IssueAsked | None = None, fault: str = ""
) -> IssuePage:
    """Build the page; `form` is what was typed, None where it is opened afresh, `fault` why it was not issued."""
    site, bunker = asked.site.site, asked.draft.bunker
    base = f"/sites/{site.id}/bunkers/{asked.kept.bunker_id}"
    return IssuePage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        site_id=site.id,
        bunker_id=asked.kept.bunker_id,
        bunker_name=bunker.name,
        bunker_url=f"/sites/{site.id}#bunker-{asked.kept.bunker_id}" if asked.old else f"/sites/{site.id}",
        revisions_url=f"{base}/revisions" if asked.old else "",
        board_url=board_url(site.id, replace(bunker, id=asked.kept.bunker_id)),
        url=f"{base}/issue",
        heading=f"Issue {bunker.name}",
        lead=_lead(asked),
        fault=fault,
        cannot=f"This draft cannot be issued. {asked.fault}" if asked.fault else "",
        remark=sands_words(bunker.outlines) if asked.new else "",
        compared=compared_block(asked.site, asked.old, asked.new, f"draft {asked.kept.number}", asked.near)
        if asked.new
        else None,
        form=_form(asked, visitor, form),
    )


def issue_gone_page(
    standing: StandingSite, bunker_id: str, form: IssueAsked | None, fault: str
) -> IssueGonePage:
    """Build the page where no draft is open; `form` is what was typed, None where somebody only came to look."""
    site = standing.site
    stands = next((bunker for bunker in site.bunkers if bunker.id == bunker_id), None)
    return IssueGonePage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        site_id=site.id,
        bunker_id=bunker_id,
        heading="Not issued" if form else "Nothing to issue",
        board_url=board_url(site.id, stands) if stands else "",
        revisions_url=f"/sites/{site.id}/bunkers/{bunker_id}/revisions" if stands else "",
        fault=fault,
        revision=form.revision if form else "",
        why=form.why if form else "",
    )


def _lead(asked: DraftToIssue) -> str:
    kept, site = asked.kept, asked.site.site
    hole = next((hole for hole in site.holes if hole.number == asked.draft.bunker.hole), None)
    against = (
        f"against revision {asked.standing}, which stands" if asked.standing else "the first of its kind"
    )
    where = f"{title_of(hole)}: " if hole else ""
    return f"{where}draft {kept.number}, saved by {kept.person} at {minute(kept.made_at)} UTC, {against}."


def _form(asked: DraftToIssue, visitor: Visitor, form: IssueAsked | None) -> IssueForm:
    moved_on = asked.is_left_behind
    ticked = form.near if form else frozenset()
    unit = asked.site.site.units.ground
    ticks = []
    for one in asked.near:
        words = near_words(one, unit)
        caution = LOCATE_FIRST if one.thing.is_service else ""
        ticks.append(NearTick(f"{NEAR}{one.thing.id}", words, caution, one.thing.note, words in ticked))
    return IssueForm(
        draft=asked.kept.number,
        revision=form.revision if form else asked.next,
        why=form.why if form else "",
        person=form.person if form else "",
        asks_name=visitor.is_crew,
        near=tuple(ticks),
        over=asked.stands,
        over_revision=asked.standing,
        over_words=superseded_words(asked) if moved_on else "",
        over_ticked=moved_on and form is not None and form.over == asked.stands,
    )
