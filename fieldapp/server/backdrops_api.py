"""Pictures to draw over: sent, laid on the course, listed, shown, taken off."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any, cast

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from fieldapp.errors import FieldappError, RecordError
from fieldapp.formats.backdrop_image import MEDIA_TYPE
from fieldapp.formats.json_fields import Json, read_name, read_number
from fieldapp.formats.world_file import LONGEST
from fieldapp.server.import_asking import read_reading
from fieldapp.server.json_body import json_body
from fieldapp.server.photos_api import FOR_A_YEAR
from fieldapp.server.sent_file import write_body
from fieldapp.store.backdrops import Backdrop
from fieldapp.workflow.backdrops import (
    LaidPicture,
    PicturePlace,
    Pictures,
    WaitingPicture,
    backdrops_of,
    keep,
    laid_by_places,
    laid_by_world,
    picture_of,
    take_backdrop_off,
)
from fieldapp.workflow.sites import standing_site

TOO_LARGE = "The picture is larger than {largest:,} bytes; save it smaller, or cut it to the hole."
ASKS = "Nothing says where this picture lies: click two pegs or tee plates that are seen in it, better three."
BODY = "The body must be a JSON object with 'places', and 'keep' true to keep the picture there."

router = APIRouter(prefix="/api/sites/{site_id}/backdrops")
Asked = Annotated[object, Depends(json_body)]


@router.get("")
def backdrops(request: Request, site_id: str) -> dict[str, Any]:
    """List the pictures of a site, oldest first."""
    standing_site(request.app.state.store, site_id)
    return {"backdrops": [backdrop_document(one) for one in backdrops_of(request.app.state.store, site_id)]}


@router.post("")
async def send(
    request: Request,
    site_id: str,
    name: Annotated[str, Query(max_length=200)] = "",
    world: Annotated[str, Query(max_length=LONGEST)] = "",
    system: Annotated[str, Query(max_length=40)] = "",
    unit: Annotated[str, Query(max_length=40)] = "metre",
) -> dict[str, Any]:
    """Take a picture in, as the body; it is kept at once where it or its world file says where it lies."""
    standing = await run_in_threadpool(standing_site, request.app.state.store, site_id)
    reading = read_reading({"system": system, "unit": unit, "order": "xy"}) if system else None
    pictures: Pictures = request.app.state.pictures
    with pictures.receive() as (new, file):
        await write_body(request, file, request.app.state.settings.files.backdrop_bytes, TOO_LARGE)
        file.flush()
        picture = await run_in_threadpool(pictures.draw, site_id, new, name.strip() or "Picture")
    try:
        laid = await run_in_threadpool(laid_by_world, standing, picture, world, reading)
    except FieldappError:
        pictures.forget(new)
        raise
    if laid is None:
        return waiting_document(picture)
    return await run_in_threadpool(_kept, request, picture, laid)


@router.post("/{picture_id}/fit")
def fit(request: Request, site_id: str, picture_id: str, asked: Asked) -> dict[str, Any]:
    """Say how a waiting picture lies by pegs seen in it, and keep it there where that is asked."""
    standing = standing_site(request.app.state.store, site_id)
    picture = request.app.state.pictures.waiting(site_id, picture_id)
    if not isinstance(asked, dict) or not isinstance(asked.get("places"), list):
        raise RecordError(BODY)
    laid = laid_by_places(standing, picture, [_place(item) for item in asked["places"]])
    if asked.get("keep") is True:
        return _kept(request, picture, laid)
    return waiting_document(picture) | {"world": list(laid.world.six), "told": list(laid.told)}


@router.get("/{backdrop_id}/picture")
def picture(request: Request, site_id: str, backdrop_id: str) -> Response:
    """Answer with a picture; it never changes."""
    content = picture_of(request.app.state.store, site_id, backdrop_id)
    return Response(content, media_type=MEDIA_TYPE, headers=FOR_A_YEAR)


@router.get("/{picture_id}/waiting")
def waiting(request: Request, site_id: str, picture_id: str) -> Response:
    """Answer with a picture that waits to be laid."""
    return Response(request.app.state.pictures.content(site_id, picture_id), media_type=MEDIA_TYPE)


@router.post("/{backdrop_id}/off")
def off(request: Request, site_id: str, backdrop_id: str) -> dict[str, Any]:
    """Take a picture off."""
    store, person = request.app.state.store, request.state.visitor.name
    take_backdrop_off(store, site_id, backdrop_id, person, datetime.now(UTC))
    return {"off": backdrop_id}


def backdrop_document(one: Backdrop) -> dict[str, Any]:
    """Return a kept picture as pages and programs have it; `world` takes a pixel's centre to course metres."""
    return {
        "id": one.id,
        "name": one.name,
        "width": one.width,
        "height": one.height,
        "world": list(one.world),
        "url": f"/api/sites/{one.site_id}/backdrops/{one.id}/picture",
        "fitted_by": one.fitted_by,
    }


def waiting_document(picture: WaitingPicture) -> dict[str, Any]:
    """Return a picture that waits to be laid."""
    return {
        "id": picture.id,
        "state": "waiting",
        "name": picture.name,
        "width": picture.width,
        "height": picture.height,
        "url": f"/api/sites/{picture.site_id}/backdrops/{picture.id}/waiting",
        "asks": ASKS,
    }


def _kept(request: Request, picture: WaitingPicture, laid: LaidPicture) -> dict[str, Any]:
    pictures: Pictures = request.app.state.pictures
    content = pictures.content(picture.site_id, picture.id)
    person = request.state.visitor.name
    kept = keep(request.app.state.store, picture, content, laid, person, datetime.now(UTC))
    pictures.forget(picture.id)
    return backdrop_document(kept) | {"state": "kept", "told": list(laid.told)}


def _place(item: object) -> PicturePlace:
    if not isinstance(item, dict):
        raise RecordError("'places' must be objects with 'column', 'row' and 'mark'.")
    given = cast(Json, item)
    return PicturePlace(read_number(given, "column"), read_number(given, "row"), read_name(given, "mark"))
