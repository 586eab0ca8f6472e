"""Field records: phones send them in, phones ask for what stands, people take them away."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Annotated, Any

import orjson
from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from fieldapp.errors import FormatError, NotFoundError
from fieldapp.formats.record_export import records_csv, records_geojson
from fieldapp.server.json_body import json_body
from fieldapp.server.told_since import Question, Told
from fieldapp.workflow.records import Receipt, held_records_of, read_batch
from fieldapp.workflow.revisions import marks_now
from fieldapp.workflow.site_places import keep_for_new_site
from fieldapp.workflow.sites import standing_site

router = APIRouter()


@router.post("/api/sites/{site_id}/records")
async def take_in(request: Request, site_id: str, body: Annotated[object, Depends(json_body)]) -> Response:
    """Store a batch of records; what the answer calls stored is on disk."""
    visitor = request.state.visitor
    try:
        batch = read_batch(site_id, body, datetime.now(UTC), visitor.came_by, visitor.may("plan"))
    except FormatError:
        await run_in_threadpool(standing_site, request.app.state.store, site_id)
        raise
    try:
        receipt = batch.receipt(await request.app.state.taking_in.do(batch.delivery))
    except NotFoundError:
        waiting = await run_in_threadpool(keep_for_new_site, request.app.state.store, batch.delivery)
        refused = [*batch.refused, *waiting.refused]
        receipt = Receipt.of(waiting.delivery.sent, refused, waiting.taken)
    told = {"refused": list(map(vars, receipt.refused)), "remarks": list(map(vars, receipt.remarks))}
    return _answer({"stored": receipt.stored, **told, "revisions": receipt.revisions})


@router.get("/api/sites/{site_id}/records")
async def since(
    request: Request, site_id: str, hole: int, since: Annotated[int, Query(ge=0, lt=2**63)] = 0
) -> Response:
    """Answer with what changed among a hole's marks after a sequence number."""
    told: Told = await request.app.state.asking.do(Question(site_id, hole, since))
    return told.response(request)


@router.get("/sites/{site_id}/records.csv")
def as_csv(request: Request, site_id: str) -> Response:
    """Answer with every record of a site as CSV."""
    held = held_records_of(request.app.state.store, site_id)
    lines = records_csv(held, marks_now(request.app.state.store, held))
    return _download(lines, "text/csv; charset=utf-8", f"{site_id}-records.csv")


@router.get("/sites/{site_id}/records.geojson")
def as_geojson(request: Request, site_id: str) -> Response:
    """Answer with the marks of a site that have a position as GeoJSON."""
    held = held_records_of(request.app.state.store, site_id)
    pieces = records_geojson(held, marks_now(request.app.state.store, held))
    return _download(pieces, "application/geo+json", f"{site_id}-records.geojson")


def _answer(content: dict[str, Any]) -> Response:
    """Return an answer in JSON, which may be long: orjson writes it some ten times quicker than the usual way."""
    return Response(orjson.dumps(content), media_type="application/json")


def _download(pieces: Iterator[str], media_type: str, name: str) -> Response:
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response("".join(pieces), media_type=media_type, headers=headers)
