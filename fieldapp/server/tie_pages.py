"""The tie sheet of a bunker: as a page that prints, and as CSV."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.formats.tie_table import ties_csv
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.server.hole_pages import BYTE_ORDER_MARK
from fieldapp.server.pages import page_answer
from fieldapp.server.tie_building import ties_page
from fieldapp.tape.bunker_points import site_tape
from fieldapp.tape.tied_bunker import TiedBunker, tied_bunker
from fieldapp.workflow.kept_plans import kept_plan
from fieldapp.workflow.sites import StandingSite, standing_site
from fieldapp.workflow.standing_pegs import pegs_of
from fieldapp.workflow.tying import standing_points

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/bunkers/{bunker_id}/ties")
def ties(request: Request, site_id: str, bunker_id: str, planned: str = "") -> Response:
    """Show the tie sheet of a bunker, where it is asked for as if its planned pegs stood."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    pegs = pegs_of(store, standing.site)
    tied = _tied(standing, bunker_id, pegs, planned)
    has_planned = bool(kept_plan(pegs, bunker_id))
    today = datetime.now(UTC).date()
    page = ties_page(standing, tied, has_planned, has_planned and planned == "yes", today)
    return page_answer(request, "ties.html", page)


@router.get("/sites/{site_id}/bunkers/{bunker_id}/ties.csv")
def ties_file(request: Request, site_id: str, bunker_id: str, planned: str = "") -> Response:
    """Answer with the tie sheet as CSV."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    tied = _tied(standing, bunker_id, pegs_of(store, standing.site), planned)
    return csv_answer("".join(ties_csv(standing.site, tied)), f"{site_id}-{bunker_id}-ties.csv")


def csv_answer(text: str, name: str) -> Response:
    """Return a CSV file to save."""
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(BYTE_ORDER_MARK + text, media_type="text/csv; charset=utf-8", headers=headers)


def _tied(standing: StandingSite, bunker_id: str, pegs: Sequence[StandingPeg], planned: str) -> TiedBunker:
    points, tape = standing_points(standing, bunker_id), site_tape(standing.site)
    if planned == "yes":
        ids = {one.report.peg for one in kept_plan(pegs, bunker_id)}
        pegs = [replace(peg, state="new") if peg.peg.id in ids else peg for peg in pegs]
    return tied_bunker(points, pegs, tape)
