"""The page of a bunker's revisions: which there were, two of them compared, and the marks of older ones."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.errors import InputError
from fieldapp.formats.revision_table import revisions_csv
from fieldapp.outline.compared import compared
from fieldapp.server.hole_pages import BYTE_ORDER_MARK
from fieldapp.server.pages import page_answer
from fieldapp.server.revisions_page import compared_pair, revisions_page
from fieldapp.store.drafts import newest_draft
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.revisions import revisions_of
from fieldapp.workflow.sites import standing_site

UNFIT = 422

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/bunkers/{bunker_id}/revisions")
def revisions(request: Request, site_id: str, bunker_id: str, old: str = "", new: str = "") -> Response:
    """List the revisions of a bunker and compare two of them."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    found = revisions_of(store, site_id, bunker_id)
    asked, faults = compared_pair(found, old.strip(), new.strip())
    with store.reading() as transaction:
        kept = newest_draft(transaction, site_id, bunker_id)
    draft = kept if kept and kept.state == "open" and request.state.visitor.may("plan") else None
    held = held_records_of(store, site_id, kinds=("mark", "undo"))
    page = revisions_page(standing, found, held, draft, asked, faults)
    answer = page_answer(request, "revisions.html", page)
    answer.status_code = UNFIT if faults else 200
    return answer


@router.get("/sites/{site_id}/bunkers/{bunker_id}/revisions.csv")
def as_csv(request: Request, site_id: str, bunker_id: str, old: str = "", new: str = "") -> Response:
    """Answer with every paint point of two revisions as CSV: course metres, moved by ground metres."""
    store = request.app.state.store
    standing = standing_site(store, site_id)
    found = revisions_of(store, site_id, bunker_id)
    (earlier, later), faults = compared_pair(found, old.strip(), new.strip())
    both = {one.name: one.bunker for one in found}
    if faults or earlier not in both:
        raise InputError(
            faults[0] if faults else f"Revision {later} is the only one; there is none to compare."
        )
    scale = standing.ground_scale(both[later].bunker.hole)
    outlines = compared(both[earlier], both[later], scale, standing.site.rules.tolerance_m)
    text = BYTE_ORDER_MARK + "".join(revisions_csv(outlines, earlier, later))
    headers = {"content-disposition": f'attachment; filename="{site_id}-{bunker_id}-revisions.csv"'}
    return Response(text, media_type="text/csv; charset=utf-8", headers=headers)
