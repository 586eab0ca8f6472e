"""The page on which the draft of a bunker is looked at against the revision that stands, and issued."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import ConflictError, InputError, NotFoundError
from fieldapp.server.addresses import link
from fieldapp.server.form_body import large_form
from fieldapp.server.issue_page import IssueAsked, issue_gone_page, issue_page, read_issue_asked
from fieldapp.server.pages import page_answer
from fieldapp.server.signing import signed_by
from fieldapp.workflow.draft_issue import Signing, draft_to_issue, issue_draft
from fieldapp.workflow.sites import standing_site

FOUND, NOT_THERE, UNFIT, CONFLICT = 200, 404, 422, 409
NO_NAME = "Type your name: the record keeps who issued it."

router = APIRouter(include_in_schema=False)
Form = Annotated[dict[str, str], Depends(large_form)]


@router.get("/sites/{site_id}/bunkers/{bunker_id}/issue")
def look(request: Request, site_id: str, bunker_id: str) -> Response:
    """Show the open draft against the revision that stands; where none is open, the ways on from there."""
    store = request.app.state.store
    try:
        asked = draft_to_issue(store, site_id, bunker_id)
    except NotFoundError as fault:
        gone = issue_gone_page(standing_site(store, site_id), bunker_id, None, str(fault))
        answer = page_answer(request, "issue_gone.html", gone)
        answer.status_code = FOUND if gone.revisions_url else NOT_THERE
        return answer
    return page_answer(request, "issue.html", issue_page(asked, request.state.visitor))


@router.post("/sites/{site_id}/bunkers/{bunker_id}/issue")
def issue(request: Request, site_id: str, bunker_id: str, form: Form) -> Response:
    """Issue the draft that was looked at; where that is refused, the page comes again with what was typed."""
    store, asked = request.app.state.store, read_issue_asked(form)
    person = signed_by(request.state.visitor, asked.person)
    if not person:
        return _again(request, site_id, bunker_id, asked, NO_NAME, UNFIT)
    signing = Signing(asked.draft, asked.revision, person, asked.why, asked.near, asked.over)
    before = _standing(request, site_id, bunker_id)
    try:
        revision = issue_draft(store, site_id, bunker_id, signing, datetime.now(UTC))
    except InputError as fault:
        return _again(request, site_id, bunker_id, asked, str(fault), UNFIT)
    except ConflictError as fault:
        return _again(request, site_id, bunker_id, asked, str(fault), CONFLICT)
    query = urlencode({"old": before, "new": revision}) if before else ""
    path = f"/sites/{site_id}/bunkers/{bunker_id}/revisions"
    return RedirectResponse(link(request, f"{path}?{query}" if query else path), status_code=303)


def _again(
    request: Request, site_id: str, bunker_id: str, form: IssueAsked, fault: str, status: int
) -> Response:
    store = request.app.state.store
    try:
        asked = draft_to_issue(store, site_id, bunker_id)
    except NotFoundError:
        gone = issue_gone_page(standing_site(store, site_id), bunker_id, form, fault)
        answer = page_answer(request, "issue_gone.html", gone)
    else:
        answer = page_answer(request, "issue.html", issue_page(asked, request.state.visitor, form, fault))
    answer.status_code = status
    return answer


def _standing(request: Request, site_id: str, bunker_id: str) -> str:
    site = standing_site(request.app.state.store, site_id).site
    return next((bunker.revision for bunker in site.bunkers if bunker.id == bunker_id), "")
