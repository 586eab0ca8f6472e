"""The set-out sheet of a bunker, to print: a drawing at a true scale and the tables that go with it."""

from __future__ import annotations

from datetime import UTC, datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.server.addresses import link
from fieldapp.server.hole_pages import UNFIT
from fieldapp.server.pages import page_answer
from fieldapp.server.set_out_sheet_asking import read_paper_asked
from fieldapp.server.set_out_sheet_building import PhoneWay, set_out_sheet
from fieldapp.settings import is_this_machine
from fieldapp.workflow.sheet_source import draft_source, revision_source
from fieldapp.workflow.standing_pegs import pegs_of

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/bunkers/{bunker_id}/set-out-sheet")
def sheet(request: Request, site_id: str, bunker_id: str, revision: str = "", draft: str = "") -> Response:
    """Show the set-out sheet of a bunker as it is printed: as it stands, in an earlier revision, or of its draft."""
    store = request.app.state.store
    if draft == "1":
        source = draft_source(store, site_id, bunker_id)
    else:
        source = revision_source(store, site_id, bunker_id, revision.strip())
    asked = read_paper_asked(request.query_params)
    today = datetime.now(UTC).date()
    way = _phone_way(request, site_id, bunker_id)
    page = set_out_sheet(source, pegs_of(store, source.standing.site), asked, way, today)
    answer = page_answer(request, "set_out_sheet.html", page)
    answer.status_code = UNFIT if page.faults else 200
    return answer


def _phone_way(request: Request, site_id: str, bunker_id: str) -> PhoneWay:
    """Return the way to the phone's page at the address this page was asked at."""
    path = link(request, f"/sites/{site_id}/set-out/{bunker_id}")
    here = is_this_machine(request.url.hostname or "")
    return PhoneWay(
        f"{request.url.scheme}://{request.url.netloc}{path}",
        "opens on this machine only" if here else "scan with the phone",
    )
