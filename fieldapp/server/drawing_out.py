"""A bunker taken out as a drawing: one address for each kind of file."""

from __future__ import annotations

import re
from datetime import UTC, datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.errors import InputError, NotFoundError
from fieldapp.formats.drawing_dxf_out import dxf_of
from fieldapp.formats.drawing_out import Coordinates
from fieldapp.server.drawing_kinds import KINDS, FileKind
from fieldapp.workflow.taking_out import chosen, drawing_out

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/bunkers/{bunker_id}/drawing.{kind}")
def drawing_file(
    request: Request,
    site_id: str,
    bunker_id: str,
    kind: str,
    coordinates: str = "",
    revision: str = "",
    draft: str = "",
    version: str = "",
) -> Response:
    """Answer with a bunker as a drawing to be kept."""
    if kind not in KINDS:
        raise NotFoundError(f"There is no drawing of the kind '{kind}'; there are: {', '.join(KINDS)}.")
    file = KINDS[kind]
    if draft == "1" and revision:
        raise InputError("A draft and a revision are asked for; ask for one of them.")
    if version and (kind != "dxf" or version != "R12"):
        raise InputError("The only version that can be asked for is version=R12, of a DXF.")
    which = chosen(request.app.state.store, site_id, bunker_id, revision, draft == "1")
    drawing = drawing_out(which, _coordinates(file, coordinates), datetime.now(UTC).date())
    name = re.sub(r"[^0-9A-Za-z._-]", "_", f"{site_id}-{bunker_id}-{which.short}")
    written = dxf_of(drawing, "R12") if version == "R12" else file.write(drawing, name)
    headers = {"content-disposition": f'attachment; filename="{name}.{kind}"'}
    return Response(written, media_type=file.media_type, headers=headers)


def _coordinates(file: FileKind, asked: str) -> Coordinates:
    if not asked:
        return file.coordinates[0]
    found = next((known for known in file.coordinates if known == asked), None)
    if found is None:
        names = " or ".join(file.coordinates)
        raise InputError(f"A {file.name} file has its coordinates as {names}; '{asked[:20]}' was asked for.")
    return found
