"""A new site: begun by its name, or brought back from a backup; and the backup of a site to take away."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator, Mapping
from contextlib import ExitStack
from dataclasses import replace
from datetime import UTC, datetime
from tempfile import SpooledTemporaryFile
from typing import Annotated, BinaryIO, cast

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response, StreamingResponse
from starlette.datastructures import UploadFile

from fieldapp.errors import ConflictError, InputError, SiteFolderError
from fieldapp.formats.backup_zip import ZipLimits
from fieldapp.formats.site_backup import read_backup_zip, write_backup_zip
from fieldapp.formats.site_draft import id_from
from fieldapp.server.addresses import link
from fieldapp.server.form_body import form_body
from fieldapp.server.form_files import opened_files
from fieldapp.server.pages import page_answer
from fieldapp.server.site_edit_contexts import NewSitePage, WayOn
from fieldapp.workflow.site_backup import backup_of, bring_back
from fieldapp.workflow.site_drafts import begin_site, open_drafts

UNFIT, MET_ANOTHER = 422, 409
MOST_MISTAKES = 20
IN_MEMORY = 4_000_000
"""A backup that is larger is put together on disk."""
PIECE = 262_144
TOO_LARGE = (
    "The file is larger than {most:,} MB; choose the zip of one site. FIELDAPP_BACKUP_MOST_MB of the server sets how "
    "large it may be."
)
NO_FILE = "No file was chosen: choose the zip of a site."

router = APIRouter(include_in_schema=False)
Form = Annotated[dict[str, str], Depends(form_body)]


async def _files(request: Request) -> AsyncIterator[list[UploadFile]]:
    most = request.app.state.settings.files.backup_bytes
    words = TOO_LARGE.format(most=most // 1_000_000)
    async with opened_files(request, most, words, most_files=1) as files:
        yield files


@router.get("/sites/new")
def new_site(request: Request) -> Response:
    """Show the form to begin a site."""
    return _page(request, _context(request, {}))


@router.post("/sites/new")
def begin(request: Request, form: Form) -> Response:
    """Begin a site; its short name is made from its name unless one is given."""
    name = " ".join(form.get("name", "").split())
    site_id = form.get("id", "").strip() or id_from(name)
    try:
        draft = begin_site(
            request.app.state.store, site_id, name, str(request.state.visitor.name), datetime.now(UTC)
        )
    except (InputError, ConflictError) as fault:
        context = replace(_context(request, form), faults=(str(fault),))
        return _page(request, context, MET_ANOTHER if isinstance(fault, ConflictError) else UNFIT)
    return RedirectResponse(link(request, f"/sites/{draft.site_id}/edit"), status_code=303)


@router.post("/sites/from-zip")
def from_zip(request: Request, files: Annotated[list[UploadFile], Depends(_files)]) -> Response:
    """Bring a site back from its backup: all of it or nothing."""
    context = _context(request, {})
    if not files:
        return _page(request, replace(context, fault_of_backup=(NO_FILE,)), UNFIT)
    limits, name = request.app.state.settings.files, (files[0].filename or "")[:80]
    zip_limits = ZipLimits(limits.backup_files, limits.backup_unpacked, limits.backup_text)
    try:
        backup = read_backup_zip(files[0].file, zip_limits)
        back = bring_back(
            request.app.state.store, backup, datetime.now(UTC), name, longest_side=limits.backdrop_side
        )
    except SiteFolderError as fault:
        told = tuple(map(str, fault.mistakes[:MOST_MISTAKES]))
        return _page(request, replace(context, fault_of_backup=told), UNFIT)
    except (InputError, ConflictError) as fault:
        status = MET_ANOTHER if isinstance(fault, ConflictError) else UNFIT
        return _page(request, replace(context, fault_of_backup=(str(fault),)), status)
    return _page(request, replace(context, said=back.words, said_url=f"/sites/{back.site_id}"))


@router.get("/sites/{site_id}/site.zip")
def site_zip(request: Request, site_id: str) -> Response:
    """Answer with the backup of a site."""
    backup = backup_of(request.app.state.store, site_id)
    with ExitStack() as until_sent:
        file = until_sent.enter_context(SpooledTemporaryFile(IN_MEMORY))
        write_backup_zip(backup, cast(BinaryIO, file))
        length = file.tell()
        file.seek(0)
        until_sent.pop_all()
    headers = {"content-disposition": f'attachment; filename="{site_id}.zip"', "content-length": str(length)}
    return StreamingResponse(_pieces(file), media_type="application/zip", headers=headers)


def _pieces(file: SpooledTemporaryFile[bytes]) -> Iterator[bytes]:
    with file:
        while piece := file.read(PIECE):
            yield piece


def _context(request: Request, form: Mapping[str, str]) -> NewSitePage:
    return NewSitePage(
        name=form.get("name", ""),
        id=form.get("id", ""),
        may_bring_back=request.state.visitor.may("manage"),
        drafts=tuple(
            WayOn(f"/sites/{draft.site_id}/edit", draft.name)
            for draft in open_drafts(request.app.state.store)
        ),
    )


def _page(request: Request, context: NewSitePage, status: int = 200) -> Response:
    answer = page_answer(request, "site_new.html", context)
    answer.status_code = status
    return answer
