"""The manager's page of people: make a link, see who is in by which, end one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import InputError
from fieldapp.model.visitor import MAY
from fieldapp.server.addresses import came_by_https, link
from fieldapp.server.form_body import form_body
from fieldapp.server.people_contexts import (
    LinkMadePage,
    devices_words,
    people_page,
    until_words,
)
from fieldapp.server.qr_codes import inline_qr_code
from fieldapp.settings import is_this_machine
from fieldapp.workflow.links import MadeLink, end_link, end_of_days, links_held, make_link

UNFIT = 422

router = APIRouter(include_in_schema=False)
Form = Annotated[dict[str, str], Depends(form_body)]


@router.get("/people")
def people(request: Request) -> Response:
    """Show the links and the form to make one."""
    return _people(request, {}, "")


@router.post("/people")
def make(request: Request, form: Form) -> Response:
    """Make a link, and show it this once."""
    now = datetime.now(UTC)
    try:
        wanted = _wanted(form, now)
        made = make_link(
            request.app.state.store,
            form.get("name", ""),
            form.get("role", ""),
            now,
            is_crew=form.get("for") == "crew",
            most_devices=wanted.devices,
            ends_at=wanted.ends_at,
        )
    except InputError as fault:
        answer = _people(request, form, str(fault))
        answer.status_code = UNFIT
        return answer
    answer = _drawn(request, "link_made.html", _made_page(request, made, now))
    answer.headers["cache-control"] = "no-store"
    return answer


@router.post("/people/{link_id}/end")
def end(request: Request, link_id: str) -> RedirectResponse:
    """End a link with all its devices."""
    end_link(request.app.state.store, link_id, datetime.now(UTC))
    return RedirectResponse(link(request, "/people"), status_code=303)


def invitation_address(base: str, token: str) -> str:
    """Return the whole address of a link, on a server at `base`."""
    return f"{base.rstrip('/')}/enter/{token}"


@dataclass(frozen=True)
class _Wanted:
    devices: int | None
    ends_at: datetime | None


def _wanted(form: Mapping[str, str], now: datetime) -> _Wanted:
    """Read the numbers of the form; raises InputError."""
    days, last_day = form.get("days", "").strip(), form.get("last_day", "").strip()
    if days and last_day:
        raise InputError("Give either a number of days or a last day, not both.")
    ends_at = end_of_days(_whole(days, "days"), now) if days else _after(last_day) if last_day else None
    devices = form.get("devices", "").strip()
    return _Wanted(_whole(devices, "devices") if devices else None, ends_at)


def _whole(text: str, what: str) -> int:
    if not text.isdecimal() or len(text) > 9:
        raise InputError(f"'{text[:60]}' is no number of {what}; give a whole number, or leave it empty.")
    return int(text)


def _after(text: str) -> datetime:
    """Return the end of a day in UTC."""
    try:
        day = date.fromisoformat(text)
        return datetime.combine(day, time(), UTC) + timedelta(days=1)
    except (ValueError, OverflowError):
        raise InputError(f"'{text[:60]}' is no day; give it as 2026-09-30, or leave it empty.") from None


def _people(request: Request, filled: Mapping[str, str], fault: str) -> Response:
    links = links_held(request.app.state.store)
    page = people_page(links, datetime.now(UTC), request.state.visitor.link_id, filled, fault)
    return _drawn(request, "people.html", page)


def _made_page(request: Request, made: MadeLink, now: datetime) -> LinkMadePage:
    scheme = "https" if came_by_https(request) else "http"
    address = invitation_address(f"{scheme}://{request.url.netloc}{link(request, '/')}", made.token)
    return LinkMadePage(
        name=made.link.name,
        is_crew=made.link.is_crew,
        may=MAY[made.link.role],
        address=address,
        drawn=inline_qr_code(address, f"QR code of the link for {made.link.name}"),
        devices=devices_words(made.link.most_devices),
        until=until_words(made.link, now),
        only_here=is_this_machine(request.url.hostname or ""),
    )


def _drawn(request: Request, template: str, page: object) -> Response:
    drawn: Response = request.app.state.draw_page(request, template, page)
    return drawn
