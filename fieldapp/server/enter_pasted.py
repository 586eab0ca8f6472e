"""A pasted invitation link: a page on a home screen has no place to type an address, so a refusal takes the link."""

from __future__ import annotations

import re
from urllib.parse import SplitResult, parse_qs, quote, urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse

from fieldapp.errors import AccessError
from fieldapp.server.addresses import link, own_path
from fieldapp.server.enter_form import ENTER, way_on

TOKEN = re.compile(r"[\w-]{1,200}", re.ASCII)
AROUND_A_LINK = "<>()[]\"'.,;!"
NO_LINK = (
    "What was pasted is no invitation link of this server. Copy the whole link from the message that it came in, "
    "and paste it again."
)
ANOTHER_SERVER = (
    "This link leads to another server, {there}; this page is of {here}. Paste the link for this one, or ask the "
    "manager for it."
)

router = APIRouter(include_in_schema=False)


@router.get(ENTER)
def follow(request: Request, pasted: str = "", next: str = "/") -> RedirectResponse:
    """Lead to the page of a pasted link, and tell it where to go on to; raises AccessError for what is none."""
    parts = _link_in(pasted)
    token = parts.path.removeprefix(link(request, ENTER))
    if token == parts.path or not TOKEN.fullmatch(token):
        raise AccessError(NO_LINK)
    here = request.headers.get("host", "").lower()
    if parts.netloc and parts.netloc.lower() != here:
        raise AccessError(ANOTHER_SERVER.format(there=parts.netloc[:100], here=here))
    onward = way_on(parse_qs(parts.query).get("next", [next])[0])
    return RedirectResponse(link(request, f"{ENTER}{token}?next={quote(onward, safe='/')}"), status_code=303)


def way_asked(request: Request) -> str:
    """Return the own path a visitor was on the way to when refused; never the address of a link, which is a secret."""
    path = own_path(request)
    if path.startswith(ENTER):
        return way_on(request.query_params.get("next", "/"))
    if request.method != "GET":
        return "/"
    return way_on(f"{path}?{request.url.query}" if request.url.query else path)


def _link_in(pasted: str) -> SplitResult:
    """Return the first word that looks like a link, or an empty one."""
    words = (word.strip(AROUND_A_LINK) for word in pasted.split())
    found = next((word for word in words if ENTER in word), "")
    try:
        parts = urlsplit(found if "://" in found or found.startswith("/") else f"//{found}")
    except ValueError:
        return urlsplit("")
    return parts if parts.scheme in ("", "http", "https") else urlsplit("")
