"""The interface for programs, described (OpenAPI), and who asks.

The framework knows the addresses and their parameters; what they take, answer and refuse is added here. An address
without an entry here is described as the framework knows it.
"""

from __future__ import annotations

import re
from typing import Any

from fastapi import APIRouter, FastAPI, Request
from fastapi.openapi.utils import get_openapi

import fieldapp
from fieldapp.formats.backdrop_image import MEDIA_TYPE as MEDIA_TYPE_OF_BACKDROPS
from fieldapp.formats.photo import KINDS as KINDS_OF_PHOTOS
from fieldapp.formats.photo import MEDIA_TYPE as MEDIA_TYPE_OF_PHOTOS
from fieldapp.model.visitor import Visitor
from fieldapp.server.access import EVERYBODY, needed_for
from fieldapp.server.addresses import link
from fieldapp.server.api_schemas import SCHEMAS
from fieldapp.server.enter_form import DEVICE_COOKIE
from fieldapp.server.problems import MEDIA_TYPE
from fieldapp.server.record_schemas import ref

JSON, ANY_FILE = "application/json", "application/octet-stream"
ABOUT = (
    "Field records and sites of fieldapp. A device is let in by an invitation link, once; what it then sends carries "
    f"the cookie {DEVICE_COOKIE}. Lengths are metres. Every refusal is a problem document (RFC 9457)."
)
FILE: dict[str, Any] = {"type": "string", "format": "binary"}
ANSWERS = {
    "/api/me": (JSON, ref("Me")),
    "/api/clock": (JSON, ref("Clock")),
    "/api/sites": (JSON, ref("Sites")),
    "/api/sites/{site_id}/field": (JSON, ref("FieldIndex")),
    "/api/sites/{site_id}/presence": (JSON, ref("Company")),
    "/api/sites/{site_id}/holes/{hole}/bundle": (JSON, ref("Bundle")),
    "/api/sites/{site_id}/holes/{hole}/board": (JSON, ref("Board")),
    "get /api/sites/{site_id}/records": (JSON, ref("RecordsSince")),
    "post /api/sites/{site_id}/records": (JSON, ref("Receipt")),
    "put /api/sites/{site_id}/photos/{photo_id}": (JSON, ref("StoredPhoto")),
    "get /api/sites/{site_id}/photos/{photo_id}": (MEDIA_TYPE_OF_PHOTOS, FILE),
    "/api/sites/{site_id}/keep-clear": (JSON, ref("KeepClear")),
    "/api/sites/{site_id}/bunkers/{bunker_id}/draft": (JSON, ref("StandingDraft")),
    "/api/sites/{site_id}/bunkers/{bunker_id}/draft/give-up": (JSON, ref("DraftSave")),
    "/api/sites/{site_id}/bunkers/{bunker_id}/draft/check": (JSON, ref("CheckedDraft")),
    "/api/sites/{site_id}/bunkers/{bunker_id}/drafts": (JSON, ref("DraftSaves")),
    "/api/sites/{site_id}/bunkers/{bunker_id}/drafts/{number}": (JSON, ref("KeptDraft")),
    "/api/sites/{site_id}/outline/offset": (JSON, ref("OffsetOutline")),
    "/api/sites/{site_id}/imports": (JSON, ref("Import")),
    "/api/sites/{site_id}/imports/{import_id}": (JSON, ref("Import")),
    "/api/sites/{site_id}/imports/{import_id}/preview": (JSON, ref("ImportPreview")),
    "/api/sites/{site_id}/imports/{import_id}/take": (JSON, ref("TakenImport")),
    "get /api/sites/{site_id}/backdrops": (JSON, ref("Backdrops")),
    "post /api/sites/{site_id}/backdrops": (JSON, ref("SentPicture")),
    "/api/sites/{site_id}/backdrops/{picture_id}/fit": (JSON, ref("SentPicture")),
    "/api/sites/{site_id}/backdrops/{backdrop_id}/picture": (MEDIA_TYPE_OF_BACKDROPS, FILE),
    "/api/sites/{site_id}/backdrops/{picture_id}/waiting": (MEDIA_TYPE_OF_BACKDROPS, FILE),
    "/api/sites/{site_id}/backdrops/{backdrop_id}/off": (JSON, ref("TakenOff")),
    "/api/description.json": (JSON, {"type": "object", "required": ["openapi", "paths"]}),
    "/sites/{site_id}/records.csv": ("text/csv", {"type": "string"}),
    "/sites/{site_id}/records.geojson": (
        "application/geo+json",
        {"type": "object", "required": ["type", "features"]},
    ),
}
TAKES = {
    "post /api/sites/{site_id}/presence": {JSON: ref("Place")},
    "post /api/sites/{site_id}/records": {JSON: ref("Batch")},
    "put /api/sites/{site_id}/keep-clear": {JSON: ref("SentKeepClear")},
    "put /api/sites/{site_id}/bunkers/{bunker_id}/draft": {JSON: ref("SentDraft")},
    "post /api/sites/{site_id}/bunkers/{bunker_id}/draft/give-up": {JSON: ref("Signed")},
    "post /api/sites/{site_id}/bunkers/{bunker_id}/draft/check": {JSON: ref("Draft")},
    "post /api/sites/{site_id}/outline/offset": {JSON: ref("Offset")},
    "put /api/sites/{site_id}/photos/{photo_id}": dict.fromkeys(KINDS_OF_PHOTOS, FILE),
    "post /api/sites/{site_id}/imports": {ANY_FILE: FILE},
    "post /api/sites/{site_id}/imports/{import_id}/preview": {JSON: ref("AskedOfImport")},
    "post /api/sites/{site_id}/imports/{import_id}/take": {JSON: ref("AskedOfImport")},
    "post /api/sites/{site_id}/backdrops": {ANY_FILE: FILE},
    "post /api/sites/{site_id}/backdrops/{picture_id}/fit": {JSON: ref("PicturePlaces")},
}
MAY_BE_UNCHANGED = (
    "get /api/sites/{site_id}/holes/{hole}/bundle",
    "get /api/sites/{site_id}/keep-clear",
    "get /api/sites/{site_id}/bunkers/{bunker_id}/draft",
)
SAYS_WHAT_FROM = (
    "put /api/sites/{site_id}/keep-clear",
    "put /api/sites/{site_id}/bunkers/{bunker_id}/draft",
    "post /api/sites/{site_id}/bunkers/{bunker_id}/draft/give-up",
    "post /api/sites/{site_id}/imports/{import_id}/take",
)
IF_MATCH = {
    "name": "If-Match",
    "in": "header",
    "required": True,
    "schema": {"type": "string", "pattern": r'^(\*|"[0-9]{1,9}")$'},
    "description": "the ETag of what this was made from",
}
IF_NONE_MATCH = {
    "name": "If-None-Match",
    "in": "header",
    "required": False,
    "schema": {"type": "string", "pattern": r"^[\x21-\x7e]*$"},
    "description": "the ETag of what is had already",
}
REFUSALS = {
    "400": "A header cannot be read.",
    "401": "No standing link has let this device in.",
    "403": "The link is for a lower role, or a page of another site asks.",
    "404": "There is no such site, hole, bunker or photo.",
    "409": "Something else is held under that id.",
    "412": "Somebody changed it meanwhile; the answer says what, and what stands.",
    "413": "The body is too large.",
    "415": "The body is of another kind.",
    "421": "The server does not answer to this host name.",
    "422": "What was given cannot be read.",
    "428": "The header If-Match is missing.",
    "429": "Others are being taken in already; send it again in a moment.",
    "503": "The data cannot be reached now.",
}

router = APIRouter()


@router.get("/api/me")
def me(request: Request) -> dict[str, Any]:
    """Say who asks, and what the link that let this device in is for."""
    visitor: Visitor = request.state.visitor
    return {"name": visitor.name, "role": visitor.role, "crew": visitor.is_crew}


@router.get("/api/description.json")
def description(request: Request) -> dict[str, Any]:
    """Answer with this description."""
    app: FastAPI = request.app
    return {**described(app), "servers": [{"url": link(request, "") or "/"}]}


def described(app: FastAPI) -> dict[str, Any]:
    """Return the OpenAPI description of everything under /api/, and of the downloads."""
    known = get_openapi(title="fieldapp", version=fieldapp.__version__, description=ABOUT, routes=app.routes)
    paths = {path: operations for path, operations in known["paths"].items() if _is_described(path)}
    for path, operations in paths.items():
        for method, operation in operations.items():
            _complete(operation, method, path)
    return {
        **{name: part for name, part in known.items() if name not in ("paths", "components")},
        "paths": paths,
        "components": {
            "schemas": SCHEMAS,
            "securitySchemes": {"device": {"type": "apiKey", "in": "cookie", "name": DEVICE_COOKIE}},
        },
    }


def _is_described(path: str) -> bool:
    return path.startswith("/api/") or path in ANSWERS


def _complete(operation: dict[str, Any], method: str, path: str) -> None:
    named = f"{method} {path}"
    if named in TAKES:
        content = {kind: {"schema": schema} for kind, schema in TAKES[named].items()}
        operation["requestBody"] = {"required": True, "content": content}
    answers = operation["responses"]
    answers.pop("422", None)
    kind, schema = ANSWERS.get(named) or ANSWERS.get(path) or (JSON, {})
    answers["200"] = {"description": "As asked for.", "content": {kind: {"schema": schema}}}
    if named in SAYS_WHAT_FROM:
        operation.setdefault("parameters", []).append(IF_MATCH)
    if named in MAY_BE_UNCHANGED:
        operation.setdefault("parameters", []).append(IF_NONE_MATCH)
        answers["304"] = {"description": "What is had already stands."}
    for code in _refusals(operation, method, path):
        answers[code] = {"description": REFUSALS[code], "content": {MEDIA_TYPE: {"schema": ref("Problem")}}}
    if needed_for(method.upper(), _example(path)) != EVERYBODY:
        operation["security"] = [{"device": []}]


def _refusals(operation: dict[str, Any], method: str, path: str) -> list[str]:
    """Return the status codes of what an operation may refuse."""
    codes = ["421", "503"]
    needed = needed_for(method.upper(), _example(path))
    codes += [] if needed == EVERYBODY else ["401"]
    codes += ["403"] if method != "get" or needed not in (EVERYBODY, "look") else []
    codes += ["404"] if "{" in path else []
    codes += ["422"] if operation.get("parameters") or method != "get" else []
    conditional = f"{method} {path}" in SAYS_WHAT_FROM
    codes += ["409"] if method == "put" or conditional else []
    codes += ["400", "412", "428"] if conditional else []
    codes += ["429"] if ANY_FILE in TAKES.get(f"{method} {path}", ()) else []
    return sorted(codes + (["413", "415"] if method != "get" else []))


def _example(path: str) -> str:
    return re.sub(r"\{[^}]*\}", "x", path)
