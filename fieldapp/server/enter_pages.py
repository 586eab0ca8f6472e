"""Letting a phone in by an invitation link.

Opening the link only shows a page, since messengers open links to preview them; pressing its button lets in.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import AccessError
from fieldapp.formats.moments import moment_words
from fieldapp.model.visitor import MAY, InvitationLink, Visitor
from fieldapp.server.addresses import comes_from, link
from fieldapp.server.door import is_trusted, visitor_of
from fieldapp.server.enter_form import (
    DEVICE_COOKIE,
    check_own_form,
    form_secret,
    set_device_cookie,
    set_form_cookie,
    way_on,
)
from fieldapp.server.form_body import form_body
from fieldapp.workflow.links import UNKNOWN, check_lets_in, is_in_by, let_in, link_by_token

TOO_OFTEN = "Too many wrong links came from where you are; wait {wait}, then open yours again."

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True)
class EnterPage:
    """What the page to enter says; `instead_of` is who this phone is let in as now, empty for nobody."""

    name: str
    is_crew: bool
    may: str
    runs_out: str
    is_in: bool
    instead_of: str
    at_this_machine: bool
    enter_url: str
    way_on: str
    form: str


@router.get("/enter/{token}")
def show(request: Request, token: str, next: str = "/") -> Response:
    """Show whom the link lets in; nothing is changed by it."""
    now = datetime.now(UTC)
    by = _link_of(request, token)
    page = _enter_page(request, by, token, way_on(next))
    if not page.is_in:
        check_lets_in(by, now)
    secret = form_secret(request)
    drawn: Response = request.app.state.draw_page(request, "enter.html", replace(page, form=secret))
    set_form_cookie(request, drawn, secret)
    return drawn


@router.post("/enter/{token}")
def enter(
    request: Request, token: str, form: Annotated[dict[str, str], Depends(form_body)]
) -> RedirectResponse:
    """Let the device in, and send it on its way."""
    check_own_form(request, form.get("form", ""))
    now = datetime.now(UTC)
    _link_of(request, token)
    cookie, agent = request.cookies.get(DEVICE_COOKIE, ""), request.headers.get("user-agent", "")
    done = let_in(request.app.state.store, token, cookie, agent, now)
    answer = RedirectResponse(link(request, way_on(form.get("next", "/"))), status_code=303)
    if done.cookie is not None:
        set_device_cookie(request, answer, done.cookie, done.link, now)
    return answer


def _link_of(request: Request, token: str) -> InvitationLink:
    """Return the link of a token; where there is none, count that against where the request comes from."""
    limit, address, now_s = request.app.state.sign_in_limit, comes_from(request), time.monotonic()
    wait_s = limit.wait_s(address, now_s)
    if wait_s:
        words = f"{wait_s} seconds" if wait_s < 100 else f"{-(-wait_s // 60)} minutes"
        raise HTTPException(429, TOO_OFTEN.format(wait=words), {"retry-after": str(wait_s)})
    found = link_by_token(request.app.state.store, token)
    if found is None:
        limit.wrong(address, token, now_s)
        raise AccessError(UNKNOWN)
    return found


def _enter_page(request: Request, by: InvitationLink, token: str, onward: str) -> EnterPage:
    store, settings = request.app.state.store, request.app.state.settings
    here = _visitor_now(request)
    is_in = here is not None and is_in_by(store, by, request.cookies.get(DEVICE_COOKIE, ""))
    return EnterPage(
        name=by.name,
        is_crew=by.is_crew,
        may=MAY[by.role],
        runs_out="" if by.ends_at is None else moment_words(by.ends_at),
        is_in=is_in,
        instead_of="" if here is None or is_in or here.link_id is None else here.name,
        at_this_machine=is_trusted(request, settings),
        enter_url=f"/enter/{token}",
        way_on=onward,
        form="",
    )


def _visitor_now(request: Request) -> Visitor | None:
    try:
        return visitor_of(request, request.app.state.settings, request.app.state.store)
    except AccessError:
        return None
