"""Who works at which point right now: told by the phones, kept in memory for seconds, never in the record."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request

from fieldapp.errors import FormatError, RecordError
from fieldapp.formats.json_fields import Json, read_id, read_name, read_text, read_whole
from fieldapp.server.json_body import json_body
from fieldapp.workflow.sites import standing_site

FORGOTTEN_AFTER_S = 20.0
MOST_PHONES = 500
LONGEST_NAME = 100

router = APIRouter()


@dataclass(frozen=True)
class Place:
    """Where somebody is working: a paint point of an outline, `number` None where no point is aimed at."""

    device: str
    person: str
    hole: int
    bunker: str
    outline: str
    number: int | None


class Presence:
    """Where every phone said it is, for FORGOTTEN_AFTER_S; of more than MOST_PHONES a site the longest unheard go."""

    def __init__(self, now: Callable[[], float] = time.monotonic) -> None:
        self._now = now
        self._lock = Lock()
        self._heard: dict[str, OrderedDict[str, tuple[float, Place]]] = {}

    def tell(self, site_id: str, place: Place) -> list[tuple[Place, float]]:
        """Note where a phone is; return the others on its hole, each with the seconds since it was heard."""
        now = self._now()
        with self._lock:
            heard = self._heard.setdefault(site_id, OrderedDict())
            heard[place.device] = (now, place)
            heard.move_to_end(place.device)
            _forget(heard, now)
            others = [(other, now - at) for at, other in heard.values()]
        return [(other, age) for other, age in others if _is_company(other, place)]


def _forget(heard: OrderedDict[str, tuple[float, Place]], now: float) -> None:
    """Drop from the front, where the longest unheard are."""
    while heard:
        at, _ = next(iter(heard.values()))
        if now - at <= FORGOTTEN_AFTER_S and len(heard) <= MOST_PHONES:
            return
        heard.popitem(last=False)


def _is_company(other: Place, place: Place) -> bool:
    return other.device != place.device and other.hole == place.hole


@router.post("/api/sites/{site_id}/presence")
def tell(request: Request, site_id: str, body: Annotated[object, Depends(json_body)]) -> dict[str, Any]:
    """Note where a phone works and answer with who else works on its hole."""
    site = standing_site(request.app.state.store, site_id).site
    place = _place(body)
    site.hole(place.hole)
    found = request.app.state.presence.tell(site_id, place)
    return {"others": [_other(other, age_s) for other, age_s in found]}


def _other(other: Place, age_s: float) -> Json:
    return {
        "device": other.device,
        "person": other.person,
        "bunker": other.bunker,
        "outline": other.outline,
        "number": other.number,
        "seconds": round(age_s, 1),
    }


def _place(body: object) -> Place:
    if not isinstance(body, dict):
        raise FormatError("The body must be a JSON object.")
    try:
        return Place(
            device=read_id(body, "device"),
            person=read_text(body, "person")[:LONGEST_NAME],
            hole=read_whole(body, "hole"),
            bunker=read_name(body, "bunker")[:LONGEST_NAME],
            outline=read_name(body, "outline")[:LONGEST_NAME],
            number=None if body.get("number") is None else read_whole(body, "number"),
        )
    except RecordError as fault:
        raise RecordError(f"Where the phone is cannot be read: {fault}") from fault
