"""What a dig must keep clear of, for programs and the drawing board."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import JSONResponse, Response

from fieldapp.formats.keep_clear import LOCATE_FIRST, read_things, thing_document
from fieldapp.server.json_body import json_body
from fieldapp.server.preconditions import basis_of, etag, has_already
from fieldapp.server.signing import object_body, person_of
from fieldapp.workflow.keep_clear import set_keep_clear
from fieldapp.workflow.sites import StandingSite, standing_site

router = APIRouter(prefix="/api/sites/{site_id}/keep-clear")


@router.get("")
def things(request: Request, site_id: str) -> Response:
    """Answer with what a dig must keep clear of; its ETag is the site version's sequence."""
    standing = standing_site(request.app.state.store, site_id)
    tag = etag(standing.sequence)
    if has_already(request, tag):
        return Response(status_code=304, headers={"etag": tag})
    return _answer(standing)


@router.put("")
def put(request: Request, site_id: str, body: Annotated[object, Depends(json_body)]) -> Response:
    """Put things in the place of those that stand, where nobody changed them since the version yours came from."""
    basis, given = basis_of(request), object_body(body)
    person = person_of(request, given)
    wanted = read_things(given.get("keep_clear"))
    store, now = request.app.state.store, datetime.now(UTC)
    return _answer(set_keep_clear(store, site_id, wanted, person, basis, now))


def _answer(standing: StandingSite) -> Response:
    content: dict[str, Any] = {
        "site": standing.site.id,
        "version": standing.sequence,
        "keep_clear": [thing_document(thing) for thing in standing.site.keep_clear],
        "caution": LOCATE_FIRST,
    }
    return JSONResponse(content, headers={"etag": etag(standing.sequence)})
