"""The page that brings a drawing in: choose a file, answer what it does not say, look at it on the plan, keep it."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator, Mapping
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import UploadFile

from fieldapp.errors import ConflictError, InputError
from fieldapp.model import Hole
from fieldapp.server.addresses import link
from fieldapp.server.form_body import large_form
from fieldapp.server.form_files import opened_files
from fieldapp.server.hole_asking import hole_of
from fieldapp.server.hole_pages import title_of
from fieldapp.server.import_asking import ImportAsked, read_import_form
from fieldapp.server.import_building import NEW, likely_bunker, looked_at
from fieldapp.server.import_contexts import ImportPage, LookedAt
from fieldapp.server.imports_api import TOO_LARGE, look_at, taken
from fieldapp.server.pages import page_answer
from fieldapp.workflow.board import board_of
from fieldapp.workflow.drafting import Basis
from fieldapp.workflow.drawing_uses import Uses
from fieldapp.workflow.import_taking import TakenFor, newest_save
from fieldapp.workflow.importing import ImportPreview, layers_of
from fieldapp.workflow.imports import Imports, ImportState
from fieldapp.workflow.sites import StandingSite, standing_site

UNFIT = 422
HELD_UP = 409

NO_FILE = "No file is chosen: choose the drawing first."

router = APIRouter(include_in_schema=False)


async def _files(request: Request) -> AsyncIterator[list[UploadFile]]:
    most = request.app.state.settings.files.import_bytes
    async with opened_files(request, most, TOO_LARGE.format(largest=most), most_files=1) as files:
        yield files


Files = Annotated[list[UploadFile], Depends(_files)]
Form = Annotated[dict[str, str], Depends(large_form)]


@router.get("/sites/{site_id}/import")
def import_page(request: Request, site_id: str) -> Response:
    """Show how far an import has come, and what it comes to."""
    return _Desk(request, site_id, request.query_params).page()


@router.post("/sites/{site_id}/import")
def keep(request: Request, site_id: str, form: Form) -> Response:
    """Keep what was looked at, then lead to the drawing board, or to the page of the hole."""
    desk = _Desk(request, site_id, form)
    if desk.asked is None or desk.looked is None:
        return desk.page()
    if desk.asked.faults:
        return desk.page(UNFIT)
    basis = Basis(frozenset({form.get("draft", "0")}))
    is_new = form.get("bunker", NEW) == NEW
    wanted = TakenFor(desk.asked.bunker_id, desk.asked.bunker_name, basis, must_be_new=is_new)
    try:
        kept = taken(request, site_id, desk.hole, desk.looked, wanted, desk.asked.person)
    except (InputError, ConflictError) as fault:
        desk.fault = str(fault)
        return desk.page(HELD_UP if isinstance(fault, ConflictError) else UNFIT)
    if kept.bunker_id:
        return RedirectResponse(link(request, f"{desk.board_url}?bunker={kept.bunker_id}"), status_code=303)
    path = f"/sites/{site_id}/import?hole={desk.hole.number}&of={desk.import_id}&done={kept.things}"
    return RedirectResponse(link(request, path), status_code=303)


@router.post("/sites/{site_id}/import/file")
def send_file(request: Request, site_id: str, files: Files) -> Response:
    """Take a file in from a browser without scripts, then lead to how far it has come."""
    desk = _Desk(request, site_id, request.query_params)
    if not files:
        return desk.page(UNFIT, NO_FILE)
    imports: Imports = request.app.state.imports
    with imports.receive(site_id, files[0].filename or "") as (new, file):
        shutil.copyfileobj(files[0].file, file)
    path = f"/sites/{site_id}/import?hole={desk.hole.number}&of={new}"
    return RedirectResponse(link(request, path), status_code=303)


class _Desk:
    """An import as it is asked for by an address or a form."""

    def __init__(self, request: Request, site_id: str, query: Mapping[str, str]) -> None:
        self._request, self._query = request, query
        self.standing: StandingSite = standing_site(request.app.state.store, site_id)
        first = str(self.standing.site.holes[0].number) if self.standing.site.holes else ""
        self.hole: Hole = hole_of(self.standing.site, query.get("hole", first))
        self.board_url = f"/sites/{site_id}/holes/{self.hole.number}/board"
        self.import_id = query.get("of", "")
        self.fault = ""
        self.asked: ImportAsked | None = None
        self.looked: ImportPreview | None = None
        imports: Imports = request.app.state.imports
        self.state: ImportState | None = imports.state(site_id, self.import_id) if self.import_id else None
        if self.state is not None and self.state.state == "ready":
            self._drawing = imports.drawing(site_id, self.import_id)
            self.asked = self._read()
            self.looked = look_at(self.standing, self.hole, self._drawing, self.asked)

    def _read(self) -> ImportAsked:
        """Read what is asked; nothing is, at first, and then layers are taken by their names."""
        layers = layers_of(self._drawing)
        asked = read_import_form(self._query, [layer.name for layer in layers])
        if "system" in self._query:
            return asked
        uses = Uses({layer.name: layer.use for layer in layers}, {})
        return replace(
            asked, uses=uses, bunker_id="" if self._query.get("bunker", NEW) == NEW else asked.bunker_id
        )

    def page(self, status: int = 200, fault_of_file: str = "") -> Response:
        """Draw the page; `fault_of_file` is why a file was not taken in."""
        site, hole = self.standing.site, self.hole
        state = self.state
        page = ImportPage(
            site_name=site.name,
            site_url=f"/sites/{site.id}",
            hole=hole.number,
            hole_title=title_of(hole),
            hole_url=f"/sites/{site.id}/holes/{hole.number}",
            url=f"/sites/{site.id}/import",
            api_url=f"/api/sites/{site.id}/imports",
            import_id=self.import_id,
            file_name=state.name if state else "",
            state="refused" if fault_of_file else state.state if state else "",
            words=fault_of_file or (state.words if state else ""),
            progress=_progress(state) if state else "",
            most_mb=self._request.app.state.settings.files.import_bytes // 1_000_000,
            done=_done_words(self._query.get("done", "")),
            board_url=self.board_url,
            asks_name=self._request.state.visitor.is_crew,
            person=self._query.get("person", ""),
            looked=self._looked_at(),
        )
        answer = page_answer(self._request, "import.html", page)
        answer.status_code = status
        return answer

    def _looked_at(self) -> LookedAt | None:
        if self.asked is None or self.looked is None:
            return None
        bunker = self.asked.bunker_id
        if "system" not in self._query and not bunker:
            bunker = likely_bunker(self.standing, self.hole, self.looked.placed, self.looked)
        store, site = self._request.app.state.store, self.standing.site
        newest = newest_save(store, site.id, bunker) if bunker else None
        there = [(one.id, one.name) for one in board_of(store, site.id, self.hole.number).bunkers]
        shown = looked_at(
            self.standing, self.hole, self._drawing, self.asked, self.looked, bunker, newest, there
        )
        return replace(shown, faults=(self.fault, *shown.faults)) if self.fault else shown


def _progress(state: ImportState) -> str:
    size = f"{state.size / 1e6:,.1f} MB"
    return (
        f"Reading {size}, since {state.seconds:.0f} s."
        if state.state == "reading"
        else "The file is still coming."
    )


def _done_words(done: str) -> str:
    if not (done.isdecimal() and len(done) < 5 and int(done)):
        return ""
    things = "1 thing" if int(done) == 1 else f"{int(done)} things"
    return f"Kept: {things} to keep clear of, in a new version of the site."
