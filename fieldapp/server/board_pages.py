"""The drawing board of a hole: its page, and what lies on it as JSON."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from functools import partial
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.errors import NotFoundError
from fieldapp.model import PART_NAMES
from fieldapp.server.addresses import link
from fieldapp.server.asked_lengths import shown
from fieldapp.server.board_contexts import BoardPage
from fieldapp.server.board_document import board_document
from fieldapp.server.hole_asking import hole_of
from fieldapp.server.hole_contexts import Choice
from fieldapp.server.offline import script_url
from fieldapp.server.pages import page_answer
from fieldapp.server.yardage_words import SIGNS
from fieldapp.workflow.board import Board, board_of
from fieldapp.workflow.sites import standing_site

router = APIRouter()

MAY_EDIT = "plan"
NEW_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,47}")
"""Short names of bunkers that are begun on the board: one may be kept in a browser and not have come here yet."""
LOOKING_ONLY = (
    "Your link is to look: the board shows what stands and what is drawn, and nothing on it can be changed."
)


@router.get("/sites/{site_id}/holes/{hole}/board", include_in_schema=False)
def board_page(request: Request, site_id: str, hole: str) -> Response:
    """Show the drawing board of a hole, with one bunker on it where the address names one."""
    store = request.app.state.store
    number = hole_of(standing_site(store, site_id).site, hole).number
    return page_answer(request, "board.html", _page(request, board_of(store, site_id, number)))


@router.get("/api/sites/{site_id}/holes/{hole}/board")
def board(request: Request, site_id: str, hole: int) -> dict[str, Any]:
    """Answer with what lies on the board of a hole."""
    found = board_of(request.app.state.store, site_id, hole)
    return board_document(found, request.state.visitor.may(MAY_EDIT), partial(link, request))


def _page(request: Request, found: Board) -> BoardPage:
    site, hole = found.standing.site, found.hole
    wanted = request.query_params.get("bunker", "")
    bunker = next((one for one in found.bunkers if one.id == wanted), None)
    begun = [Choice(wanted, wanted, True)] if wanted and bunker is None else []
    may_edit = request.state.visitor.may(MAY_EDIT)
    if wanted and bunker is None and not (may_edit and NEW_ID.fullmatch(wanted)):
        known = ", ".join(one.id for one in found.bunkers) or "none"
        raise NotFoundError(
            f"There is no bunker of hole {hole.number} called '{shown(wanted)}', standing or drawn; there are: {known}."
        )
    base = f"/sites/{site.id}"
    return BoardPage(
        site_id=site.id,
        site_name=site.name,
        site_url=base,
        hole=hole.number,
        hole_title=f"Hole {hole.number}, {hole.name}" if hole.name else f"Hole {hole.number}",
        hole_url=f"{base}/holes/{hole.number}",
        board_url=f"{base}/holes/{hole.number}/board",
        keep_clear_url=f"{base}/holes/{hole.number}/keep-clear",
        import_url=f"{base}/import?hole={hole.number}",
        api_url=f"/api{base}",
        script_url=script_url(request.app.state.assets, "board"),
        bunker_id=wanted,
        bunker_name=bunker.name if bunker else wanted,
        revision=bunker.revision if bunker else "",
        bunkers=(*(Choice(one.id, one.name, one is bunker) for one in found.bunkers), *begun),
        tees=tuple(Choice(tee.id, tee.name, False) for tee in site.tees_of(hole.number)),
        parts=PART_NAMES,
        yardage_sign=SIGNS[site.units.yardage],
        ground_sign=SIGNS[site.units.ground],
        dated=datetime.now(UTC).date().isoformat(),
        may_edit=may_edit,
        asks_name=may_edit and request.state.visitor.is_crew,
        notice="" if may_edit else LOOKING_ONLY,
    )
