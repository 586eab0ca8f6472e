"""The cookie in which a browser keeps the list of players that was typed last."""

from __future__ import annotations

import base64
import binascii

from fastapi import Request, Response

from fieldapp.model.units import YardageUnit
from fieldapp.server.addresses import came_by_https, link
from fieldapp.server.player_carries import lines_of

COOKIE = "fieldapp_carries_{unit}"
"""One for each unit, so that a list in yards is never read as one in metres."""
COOKIE_AGE_S = 365 * 24 * 3600


def list_kept(request: Request, unit: YardageUnit) -> str:
    """Return the list that was typed last on this browser, or ""."""
    held = request.cookies.get(COOKIE.format(unit=unit), "")
    try:
        return base64.urlsafe_b64decode(held.encode("ascii")).decode("utf-8")
    except (ValueError, binascii.Error):
        return ""


def keep_list(request: Request, answer: Response, text: str, unit: YardageUnit) -> None:
    """Have the browser keep a list for a year; an empty one is forgotten."""
    name, path = COOKIE.format(unit=unit), link(request, "") or "/"
    said = "\n".join(lines_of(text))
    if not said:
        answer.delete_cookie(name, path=path)
        return
    answer.set_cookie(
        name,
        base64.urlsafe_b64encode(said.encode("utf-8")).decode("ascii"),
        max_age=COOKIE_AGE_S,
        path=path,
        httponly=True,
        samesite="lax",
        secure=came_by_https(request),
    )
