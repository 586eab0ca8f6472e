"""Drafts of bunkers for the drawing board: had, saved where nobody else did meanwhile, given up, checked."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Annotated, Any, cast

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import JSONResponse, Response

from fieldapp.formats.draft import outline_document, read_draft, read_outline
from fieldapp.formats.json_fields import LARGEST_WHOLE, read_number, read_one_of, read_whole
from fieldapp.formats.records import moment_text
from fieldapp.model import PART_NAMES, DrawnShape, Outline, PartName
from fieldapp.outline.clearance import Nearness
from fieldapp.outline.offset_outline import offset_shape
from fieldapp.server.json_body import json_body
from fieldapp.server.preconditions import basis_of, etag, has_already
from fieldapp.server.signing import object_body, person_of
from fieldapp.store.drafts import KeptDraft
from fieldapp.workflow.draft_check import DraftFigures, check_draft
from fieldapp.workflow.drafting import (
    StandingDraft,
    check_is_of,
    draft_save,
    draft_saves,
    give_up_draft,
    save_draft,
    standing_draft,
    standing_members,
)
from fieldapp.workflow.sites import standing_site

MOST_SAVES = 200
Body = Annotated[object, Depends(json_body)]
Json = dict[str, Any]

router = APIRouter(prefix="/api/sites/{site_id}")
BUNKER = "/bunkers/{bunker_id}"


@router.get(f"{BUNKER}/draft")
def standing(request: Request, site_id: str, bunker_id: str) -> Response:
    """Answer with a bunker's draft to work on: its newest save, or what its standing revision makes.

    The tag names the save alone, so what hangs on the revision that stands is always sent whole.
    """
    found = standing_draft(request.app.state.store, site_id, bunker_id)
    tag = etag(found.number)
    if found.state == "open" and not found.remarks and has_already(request, tag):
        return Response(status_code=304, headers={"etag": tag})
    return _answer(found)


@router.put(f"{BUNKER}/draft")
def save(request: Request, site_id: str, bunker_id: str, body: Body) -> Response:
    """Keep a draft as the bunker's next save, where nobody saved since the one it was made from."""
    basis, given = basis_of(request), object_body(body)
    person, now = person_of(request, given), datetime.now(UTC)
    store = request.app.state.store
    return _answer(save_draft(store, site_id, bunker_id, given.get("draft"), person, basis, now))


@router.post(f"{BUNKER}/draft/give-up")
def give_up(request: Request, site_id: str, bunker_id: str, body: Body) -> Response:
    """Give an open draft up; its saves can still be had."""
    basis, person = basis_of(request), person_of(request, object_body(body))
    kept = give_up_draft(request.app.state.store, site_id, bunker_id, person, basis, datetime.now(UTC))
    return JSONResponse(_save(kept), headers={"etag": etag(kept.number)})


@router.post(f"{BUNKER}/draft/check")
def check(
    request: Request,
    site_id: str,
    bunker_id: str,
    body: Body,
    tee: Annotated[str, Query(max_length=200)] = "",
) -> Json:
    """Measure a draft and tell its faults; nothing is kept."""
    given = object_body(body)
    draft = read_draft(given.get("draft", given))
    check_is_of(draft, bunker_id)
    checked = check_draft(standing_site(request.app.state.store, site_id), draft, tee or None)
    figures = None if checked.figures is None else figures_members(checked.figures)
    return {"figures": figures, "faults": list(checked.faults), "remark": checked.remark}


@router.get(f"{BUNKER}/drafts")
def saves(
    request: Request,
    site_id: str,
    bunker_id: str,
    before: Annotated[int | None, Query(ge=1, le=LARGEST_WHOLE)] = None,
) -> Json:
    """List the saves of a bunker's draft, newest first, and what each changed."""
    found = draft_saves(request.app.state.store, site_id, bunker_id, before, MOST_SAVES)
    listed = [{**_save(kept), "changes": list(step.did) if step else []} for kept, step in found]
    return {"drafts": listed}


@router.get(f"{BUNKER}/drafts/{{number}}")
def one_save(request: Request, site_id: str, bunker_id: str, number: int) -> Json:
    """Answer with one save of a bunker's draft."""
    kept = draft_save(request.app.state.store, site_id, bunker_id, number)
    return {**_save(kept), "draft": json.loads(kept.document)}


@router.post("/outline/offset")
def offset(request: Request, site_id: str, body: Body) -> Json:
    """Answer with the outline at a distance outside (or, less than 0, inside) another; nothing is kept."""
    given = object_body(body)
    outline = read_outline(given.get("outline"))
    by_m, part = read_number(given, "by_m"), cast(PartName, read_one_of(given, "part", PART_NAMES))
    found = standing_site(request.app.state.store, site_id)
    hole = found.site.hole(read_whole(given, "hole"))
    scale = found.ground_scale(hole.number)
    assert isinstance(outline.shape, DrawnShape)
    made = offset_shape(outline.shape, by_m / scale)
    return {"outline": outline_document(Outline(outline.id, part, made.shape)), "off_m": made.off_m * scale}


def figures_members(found: DraftFigures) -> Json:
    """Return what a draft measures as answers tell it."""
    peg = found.nearest_peg
    return {
        "tee": found.tee.id,
        "middle": list(found.middle),
        **vars(found.drawn),
        "long_axis_m": found.long_axis_m,
        "short_axis_m": found.short_axis_m,
        "slant_deg": found.slant_deg,
        "area_m2": found.area_m2,
        "perimeter_m": found.perimeter_m,
        "nearest_peg": None if peg is None else {"id": peg[0].id, "distance_m": peg[1]},
        "clearances": [clearance_members(one) for one in found.clearances],
    }


def clearance_members(one: Nearness) -> Json:
    """Return how near a bunker comes to a thing as answers tell it."""
    thing = one.thing
    return {
        "id": thing.id,
        "name": thing.name,
        "kind": thing.kind,
        "is_service": thing.is_service,
        "distance_m": one.distance_m,
        "clearance_m": thing.clearance_m,
        "is_too_near": one.is_too_near,
        "bunker_at": list(one.bunker_at),
        "thing_at": list(one.thing_at),
    }


def _answer(found: StandingDraft) -> Response:
    return JSONResponse(standing_members(found), headers={"etag": etag(found.number)})


def _save(kept: KeptDraft) -> Json:
    return {
        "number": kept.number,
        "person": kept.person,
        "made_at": moment_text(kept.made_at),
        "state": kept.state,
    }
