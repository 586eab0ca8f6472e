"""The sight page: what of a bunker's sand is seen from a tee, and what the shaper must do for more."""

from __future__ import annotations

from datetime import UTC, datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.server.hole_asking import hole_of
from fieldapp.server.pages import page_answer
from fieldapp.server.sight_asking import read_sight_asked
from fieldapp.server.sight_contexts import sight_page
from fieldapp.workflow.sites import standing_site

UNFIT = 422

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/holes/{hole}/sight")
def sight_of_hole(request: Request, site_id: str, hole: str) -> Response:
    """Show what is seen of a bunker of a hole."""
    standing = standing_site(request.app.state.store, site_id)
    found = hole_of(standing.site, hole)
    asked = read_sight_asked(standing.site, found, request.query_params)
    page = sight_page(standing, found, asked, datetime.now(UTC).date())
    answer = page_answer(request, "sight.html", page)
    answer.status_code = UNFIT if asked.faults else 200
    return answer
