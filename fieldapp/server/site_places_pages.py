"""The phone page on which the places of a site are read, also of one that is still being made, and its code."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.server.offline import shell
from fieldapp.server.pages import code_of_page
from fieldapp.workflow.site_drafts import draft_of

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/places")
def places(request: Request, site_id: str) -> Response:
    """Show the phone page."""
    draft_of(request.app.state.store, site_id)
    return shell(request, "places")


@router.get("/sites/{site_id}/places/qr.svg")
def places_qr(request: Request, site_id: str) -> Response:
    """Draw its QR code at the address this page was asked at."""
    draft_of(request.app.state.store, site_id)
    return code_of_page(request)
