"""Photos taken at pegs: phones send them in, pages and phones show them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Query, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from fieldapp.formats.photo import KINDS, MEDIA_TYPE
from fieldapp.server.json_body import bounded_body
from fieldapp.workflow.photos import LARGEST, photo_of, take_in_photo

router = APIRouter()

FOR_A_YEAR = {"cache-control": "private, max-age=31536000, immutable"}
TOO_LARGE = "The photo is larger than {largest:,} bytes; send it smaller, 1,600 pixels a side or so."


@router.put("/api/sites/{site_id}/photos/{photo_id}")
async def take_in(
    request: Request, site_id: str, photo_id: str, device: Annotated[str, Query(max_length=200)] = ""
) -> dict[str, Any]:
    """Store a photo; what is answered with is on disk, and only its picture."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind not in KINDS:
        raise HTTPException(415, f"A photo must be sent as one of {', '.join(KINDS)}.")
    content = await bounded_body(request, LARGEST, TOO_LARGE)
    came_by = request.state.visitor.came_by
    args = (request.app.state.store, site_id, photo_id, content, datetime.now(UTC))
    await run_in_threadpool(take_in_photo, *args, device=device, came_by=came_by)
    return {"stored": photo_id}


@router.get("/api/sites/{site_id}/photos/{photo_id}")
def photo(request: Request, site_id: str, photo_id: str, small: bool = False) -> Response:
    """Answer with a photo; `small` is one to look over many."""
    content = photo_of(request.app.state.store, site_id, photo_id, small)
    return Response(content, media_type=MEDIA_TYPE, headers=FOR_A_YEAR)
