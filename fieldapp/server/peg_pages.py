"""The board of pegs on the desk: how every peg of a site stands since the evening."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from fieldapp.server.pages import page_answer
from fieldapp.server.peg_contexts import DEFAULT_HOURS, peg_board
from fieldapp.workflow.photos import photos_held
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.sites import standing_site

KINDS = ("peg", "taped", "morning", "undo")
MOST_HOURS = 24 * 366

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/pegs")
def board(
    request: Request, site_id: str, hours: Annotated[int, Query(ge=1, le=MOST_HOURS)] = DEFAULT_HOURS
) -> Response:
    """Show the pegs of a site with what was found of them."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    held = held_records_of(store, site_id, kinds=KINDS)
    page = peg_board(standing, held, photos_held(store, site_id), datetime.now(UTC), hours)
    return page_answer(request, "peg_board.html", page)
