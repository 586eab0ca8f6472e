"""The page of a captured outline, and its confirmation as a new revision."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.server.addresses import link
from fieldapp.server.capture_page import capture_page, capture_url
from fieldapp.server.form_body import form_body
from fieldapp.server.pages import page_answer
from fieldapp.server.signing import signed_by
from fieldapp.workflow.capture_issue import issue_capture, revision_after
from fieldapp.workflow.captures import worked_capture

UNFIT = 422
NO_NAME = "Type your name: the plan keeps who confirmed it."

router = APIRouter(include_in_schema=False)
Form = Annotated[dict[str, str], Depends(form_body)]


@router.get("/sites/{site_id}/captures/{record_id}")
def capture(request: Request, site_id: str, record_id: str) -> Response:
    """Show a capture over the outline it was captured over."""
    return _page(request, site_id, record_id)


@router.post("/sites/{site_id}/captures/{record_id}/confirm")
def confirm(request: Request, site_id: str, record_id: str, form: Form) -> Response:
    """Make a capture the next revision of its bunker."""
    told = signed_by(request.state.visitor, form.get("name", ""))
    if not told:
        answer = _page(request, site_id, record_id, fault=NO_NAME)
        answer.status_code = UNFIT
        return answer
    issue_capture(request.app.state.store, site_id, record_id, told, datetime.now(UTC))
    return RedirectResponse(link(request, capture_url(site_id, record_id)), status_code=303)


def _page(request: Request, site_id: str, record_id: str, fault: str = "") -> Response:
    store = request.app.state.store
    worked = worked_capture(store, site_id, record_id)
    today = datetime.now(UTC).date()
    page = capture_page(worked, revision_after(store, worked), request.state.visitor, today, fault=fault)
    return page_answer(request, "capture.html", page)
