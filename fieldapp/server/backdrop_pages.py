"""The page of pictures to draw over: send one, lay it by pegs that are seen in it, take one off."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.formats.world_file import WORLD_ENDINGS
from fieldapp.model.drawing_reading import BY_PEGS, COURSE, UNKNOWN_UNIT
from fieldapp.server.backdrop_contexts import BackdropsPage, BoardWay, PictureRow, WaitingRow
from fieldapp.server.backdrops_api import backdrop_document
from fieldapp.server.hole_contexts import Choice
from fieldapp.server.hole_pages import choices, title_of
from fieldapp.server.import_building import SYSTEMS, UNITS
from fieldapp.server.pages import page_answer
from fieldapp.store.backdrops import Backdrop
from fieldapp.workflow.backdrops import Pictures, WaitingPicture, backdrops_of
from fieldapp.workflow.drawing_placing import marks_of
from fieldapp.workflow.sites import StandingSite, standing_site

ROWS = 4
AS_IT_SAYS = ("", "what the picture says itself")

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/backdrops")
def backdrops(request: Request, site_id: str) -> Response:
    """Show the pictures of a site, and one that waits to be laid where the address names it."""
    standing = standing_site(request.app.state.store, site_id)
    waiting = request.query_params.get("of", "")
    pictures: Pictures = request.app.state.pictures
    site = standing.site
    kept = backdrops_of(request.app.state.store, site_id)
    page = BackdropsPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        url=f"/sites/{site.id}/backdrops",
        api_url=f"/api/sites/{site.id}/backdrops",
        most_mb=request.app.state.settings.files.backdrop_bytes // 1_000_000,
        endings=",".join((".jpg", ".jpeg", ".png", ".tif", ".tiff", *WORLD_ENDINGS)),
        systems=choices([AS_IT_SAYS, *(one for one in SYSTEMS if one[0] != BY_PEGS)], COURSE),
        units=choices([one for one in UNITS if one[0] != UNKNOWN_UNIT], _unit_of(standing)),
        pictures=tuple(_row(one) for one in kept),
        waiting=_waiting(standing, pictures.waiting(site_id, waiting)) if waiting else None,
        boards=tuple(
            BoardWay(f"/sites/{site.id}/holes/{hole.number}/board", f"Drawing board of {title_of(hole)}")
            for hole in site.holes
        ),
    )
    return page_answer(request, "backdrops.html", page)


def _unit_of(standing: StandingSite) -> str:
    unit = standing.site.units.coordinates
    return unit if unit in dict(UNITS) else "metre"


def _row(one: Backdrop) -> PictureRow:
    url = backdrop_document(one)["url"]
    by = f"{one.made_at:%Y-%m-%d}, {one.person}" if one.person else f"{one.made_at:%Y-%m-%d}"
    return PictureRow(one.name, url, url.removesuffix("picture") + "off", f"Laid by {one.fitted_by} {by}.")


def _waiting(standing: StandingSite, picture: WaitingPicture) -> WaitingRow:
    api = f"/api/sites/{standing.site.id}/backdrops/{picture.id}"
    marks = [(one, one) for one in marks_of(standing)]
    return WaitingRow(
        id=picture.id,
        name=picture.name,
        url=f"{api}/waiting",
        width=picture.width,
        height=picture.height,
        fit_url=f"{api}/fit",
        marks=(Choice("", "choose", True), *choices(marks, "")),
        rows=tuple(range(1, ROWS + 1)),
    )
