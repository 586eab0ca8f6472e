"""Drawings are brought in: sent, read apart, looked at, taken. Nothing of one belongs to a site before that."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from starlette.concurrency import run_in_threadpool

from fieldapp.errors import InputError
from fieldapp.formats.drawing import Drawing
from fieldapp.model import Hole
from fieldapp.server.import_asking import ImportAsked, read_import_asked
from fieldapp.server.import_document import found_document, preview_document, state_document
from fieldapp.server.json_body import json_body
from fieldapp.server.preconditions import basis_of
from fieldapp.server.sent_file import write_body
from fieldapp.server.signing import signed_by
from fieldapp.workflow.drafting import Basis
from fieldapp.workflow.drawing_uses import Uses
from fieldapp.workflow.import_taking import Taken, TakenFor, take
from fieldapp.workflow.importing import ImportPreview, preview
from fieldapp.workflow.imports import Imports
from fieldapp.workflow.sites import StandingSite, standing_site

TOO_LARGE = "The file is larger than {largest:,} bytes; keep only the layers and the hole that are needed."
NO_NAME = "Type your name: what is kept says who kept it."

router = APIRouter(prefix="/api/sites/{site_id}/imports")
Asked = Annotated[object, Depends(json_body)]


@router.post("")
async def send(
    request: Request, site_id: str, name: Annotated[str, Query(max_length=200)] = ""
) -> dict[str, Any]:
    """Take a file in, as the body, and begin to read it."""
    await run_in_threadpool(standing_site, request.app.state.store, site_id)
    imports: Imports = request.app.state.imports
    with imports.receive(site_id, name) as (new, file):
        await write_body(request, file, request.app.state.settings.files.import_bytes, TOO_LARGE)
    return state_document(imports.state(site_id, new))


@router.get("/{import_id}")
def state(request: Request, site_id: str, import_id: str, hole: int | None = None) -> dict[str, Any]:
    """Say how far an import has come; once it is read, what was found, and for a hole how it is best read."""
    standing = standing_site(request.app.state.store, site_id)
    imports: Imports = request.app.state.imports
    document = state_document(imports.state(site_id, import_id))
    if document["state"] == "ready" and hole is not None:
        drawing = imports.drawing(site_id, import_id)
        looked = preview(standing, standing.site.hole(hole), drawing, None, Uses({}, {}))
        document["found"] = found_document(drawing, looked)
    return document


@router.post("/{import_id}/preview")
def look(request: Request, site_id: str, import_id: str, asked: Asked) -> dict[str, Any]:
    """Say what an import comes to when it is read and used so; nothing is kept."""
    return preview_document(_looked(request, site_id, import_id, asked)[1])


@router.post("/{import_id}/take")
def keep(request: Request, site_id: str, import_id: str, asked: Asked) -> dict[str, Any]:
    """Keep what an import comes to, as a save of a bunker's draft and as things to keep clear of."""
    hole, looked, what = _looked(request, site_id, import_id, asked)
    has_outlines = looked.made is not None and looked.made.outlines
    wanted = TakenFor(what.bunker_id, what.bunker_name, basis_of(request) if has_outlines else Basis())
    return vars(taken(request, site_id, hole, looked, wanted, what.person))


def taken(
    request: Request, site_id: str, hole: Hole, looked: ImportPreview, wanted: TakenFor, typed: str
) -> Taken:
    """Keep what was looked at; `typed` is the name of a crew's member. Raises InputError, ConflictError, StoreError."""
    if looked.made is None:
        raise InputError(looked.faults[0])
    person = signed_by(request.state.visitor, typed)
    if not person:
        raise InputError(NO_NAME)
    return take(request.app.state.store, site_id, hole, looked.made, wanted, person, datetime.now(UTC))


def look_at(standing: StandingSite, hole: Hole, drawing: Drawing, asked: ImportAsked) -> ImportPreview:
    """Return what a drawing comes to, with ids that the site's own things do not have."""
    return preview(standing, hole, drawing, asked.reading, asked.uses)


def _looked(
    request: Request, site_id: str, import_id: str, asked: object
) -> tuple[Hole, ImportPreview, ImportAsked]:
    standing = standing_site(request.app.state.store, site_id)
    drawing = request.app.state.imports.drawing(site_id, import_id)
    number, what = read_import_asked(asked)
    hole = standing.site.hole(number)
    return hole, look_at(standing, hole, drawing, what), what
