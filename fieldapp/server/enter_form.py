"""The form by which a device is let in: its cookies, and that it is this server's own."""

from __future__ import annotations

import hmac
import re
import secrets
from datetime import datetime
from urllib.parse import quote

from fastapi import HTTPException, Request, Response

from fieldapp.model.visitor import InvitationLink
from fieldapp.server.addresses import came_by_https, link, own_path

DEVICE_COOKIE = "fieldapp_device"
FORM_COOKIE = "fieldapp_form"
LONGEST_AGE_S = 400 * 24 * 3600
"""Browsers forget a cookie after 400 days, whatever it says."""
FORM_AGE_S = 3600
ENTER = "/enter/"
FORM_SECRET = re.compile(r"[\w-]{22}", re.ASCII)
OWN_PATH = re.compile(r"/(?![/\\])[^\\\x00-\x20\x7f]*")
NOT_OUR_FORM = (
    "This form is not this server's own, or it is too old; open the link again and press the button there."
)


def is_enter_form(request: Request) -> bool:
    """Whether a request is the form to enter, which `check_own_form` looks at more closely."""
    return request.method == "POST" and own_path(request).startswith(ENTER)


def form_secret(request: Request) -> str:
    """Return the secret that the browser has for this server's form to enter, or a new one."""
    held = request.cookies.get(FORM_COOKIE, "")
    return held if FORM_SECRET.fullmatch(held) else secrets.token_urlsafe(16)


def set_form_cookie(request: Request, answer: Response, secret: str) -> None:
    """Give the browser a secret that only this server's own form repeats."""
    answer.set_cookie(
        FORM_COOKIE,
        secret,
        max_age=FORM_AGE_S,
        path=link(request, "/enter"),
        httponly=True,
        samesite="strict",
        secure=came_by_https(request),
    )


def check_own_form(request: Request, said: str) -> None:
    """Refuse a form that a browser says is of no known origin, unless it repeats the secret of this server's page."""
    if request.headers.get("origin") != "null" or request.headers.get("sec-fetch-site") == "same-origin":
        return
    held = request.cookies.get(FORM_COOKIE, "")
    if not held or not hmac.compare_digest(held.encode(), said.encode("utf-8", "surrogatepass")):
        raise HTTPException(403, NOT_OUR_FORM)


def set_device_cookie(
    request: Request, answer: Response, secret: str, by: InvitationLink, now: datetime
) -> None:
    """Give the browser the secret by which this device is known from now on."""
    left = LONGEST_AGE_S if by.ends_at is None else int((by.ends_at - now).total_seconds()) + 1
    answer.set_cookie(
        DEVICE_COOKIE,
        secret,
        max_age=min(left, LONGEST_AGE_S),
        path=link(request, "") or "/",
        httponly=True,
        samesite="lax",
        secure=came_by_https(request),
    )


def way_on(wanted: str) -> str:
    """Return an own path to go on to: the one that is wanted, or the start where that leads elsewhere."""
    return quote(wanted, safe="/?#&=%:@,;+~!$'()*-._") if OWN_PATH.fullmatch(wanted) else "/"
