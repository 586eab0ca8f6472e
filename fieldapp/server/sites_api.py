"""Sites as JSON: the list, and the bundle of a hole."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from fieldapp.workflow.set_out import bundle_of_hole
from fieldapp.workflow.sites import StandingSite, standing_sites

router = APIRouter(prefix="/api/sites")


@router.get("")
def list_sites(request: Request) -> dict[str, Any]:
    """List the sites with their holes and bunkers."""
    return {"sites": [_site(standing) for standing in standing_sites(request.app.state.store)]}


@router.get("/{site_id}/holes/{hole}/bundle")
def bundle(request: Request, site_id: str, hole: int) -> Response:
    """Answer with everything a phone needs for a hole; 304 when it has that already."""
    content = bundle_of_hole(request.app.state.store, site_id, hole, datetime.now(UTC))
    tag = f'W/"{content["content_id"]}"'
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers={"etag": tag})
    return JSONResponse(content, headers={"etag": tag})


def _site(standing: StandingSite) -> dict[str, Any]:
    site = standing.site
    return {
        "id": site.id,
        "name": site.name,
        "note": site.note,
        "content_id": standing.content_id,
        "sequence": standing.sequence,
        "loaded_at": standing.loaded_at.isoformat(),
        "holes": [{"number": hole.number, "name": hole.name} for hole in site.holes],
        "bunkers": [
            {"id": bunker.id, "hole": bunker.hole, "name": bunker.name, "revision": bunker.revision}
            for bunker in site.bunkers
        ],
    }
