"""What makes the phone page work without signal: its shells, its service worker, its manifest, the index of a site.

The shells are the same bytes for every site and bunker, so the worker keeps one of each. They, the worker and
the manifest say nothing of any site and are open to all.
"""

from __future__ import annotations

import json
import re
from dataclasses import asdict
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from fieldapp.errors import InputError, NotFoundError
from fieldapp.server.addresses import link
from fieldapp.server.assets import FOR_A_YEAR, Assets
from fieldapp.server.joined import join_modules
from fieldapp.workflow.field_index import field_index
from fieldapp.workflow.sites import standing_site

SHELLS = {"set-out": "set_out.html", "pegs": "pegs.html", "field": "field.html", "places": "places.html"}
ENTRIES = {
    "set-out": "phone/main.js",
    "pegs": "phone/pegs.js",
    "field": "phone/field.js",
    "places": "phone/places.js",
}
DESK_ENTRIES = {"board": "desk/board.js"}
"""Pages of the desk whose modules come as one file too; phones do not keep them."""
WORKER = "phone/sw.js"
NOT_KEPT = "phone/icons/"
"""Icons of the home screen are asked for once, as it is put there."""
NO_CACHE = {"cache-control": "no-cache"}
NO_STORE = {"cache-control": "no-store"}
INK, PAPER, LAWN = "#0d1a12", "#ffffff", "#5f8f4e"
INDEX_FORMAT, INDEX_VERSION = "fieldapp-field-index", 1
SITE_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,47}")
ICONS = (
    ("phone/icons/icon-192.png", "192x192", "any"),
    ("phone/icons/icon-512.png", "512x512", "any"),
    ("phone/icons/maskable-512.png", "512x512", "maskable"),
)

router = APIRouter()


@router.get("/s/{release}/shell/{name}")
def kept_shell(request: Request, release: str, name: str) -> Response:
    """Answer with a shell under the address of its release, for the worker to keep."""
    assets: Assets = request.app.state.assets
    if release != assets.release or name not in SHELLS:
        raise NotFoundError(f"There is no page '{name}' of release '{release}'; load the page again.")
    return shell(request, name)


@router.get("/s/{release}/script/{name}.js")
def script(request: Request, release: str, name: str) -> Response:
    """Answer with all modules of a page as one."""
    assets: Assets = request.app.state.assets
    if release != assets.release or name not in {**ENTRIES, **DESK_ENTRIES}:
        raise NotFoundError(f"There is no script '{name}' of release '{release}'; load the page again.")
    return Response(
        joined_script(assets, name),
        media_type="text/javascript; charset=utf-8",
        headers={"cache-control": FOR_A_YEAR},
    )


@router.get("/field/{site_id}")
def field_page(request: Request, site_id: str) -> Response:
    """Show the phone's own page of a site."""
    standing_site(request.app.state.store, site_id)
    return shell(request, "field")


@router.get("/sw.js")
def worker(request: Request) -> Response:
    """Answer with the service worker, which knows its release and every file the phone needs."""
    assets: Assets = request.app.state.assets
    kept = {
        "release": assets.release,
        "files": [link(request, url) for url in phone_urls(request)],
        "shells": {name: link(request, f"/s/{assets.release}/shell/{name}") for name in SHELLS},
    }
    text = f"self.KEPT = {json.dumps(kept)};\n{assets.asset(WORKER).content.decode()}"
    return Response(text, media_type="text/javascript; charset=utf-8", headers=NO_CACHE)


@router.get("/manifest.webmanifest")
def manifest(request: Request, site: str = "") -> Response:
    """Answer with what a phone needs to put a site's field page on its home screen."""
    if site and not SITE_ID.fullmatch(site):
        raise InputError("That is no id of a site; open the manifest from the site's field page.")
    start = link(request, f"/field/{site}" if site else "/")
    assets: Assets = request.app.state.assets
    content = {
        "id": start,
        "name": f"Set out {site}".strip(),
        "short_name": "Set out",
        "description": "Set out golf bunkers on the ground, with or without signal.",
        "start_url": start,
        "scope": link(request, "/"),
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": INK,
        "icons": [
            {
                "src": link(request, assets.static_url(name)),
                "sizes": sizes,
                "type": "image/png",
                "purpose": use,
            }
            for name, sizes, use in ICONS
        ],
    }
    return Response(json.dumps(content), media_type="application/manifest+json", headers=NO_CACHE)


@router.get("/api/sites/{site_id}/field")
def index(request: Request, site_id: str) -> dict[str, Any]:
    """Answer with the holes of a site that a phone keeps, and the id of each one's newest bundle."""
    now = datetime.now(UTC)
    found = asdict(field_index(request.app.state.store, site_id, now))
    for hole in found["holes"]:
        hole["bundle_url"] = link(request, f"/api/sites/{site_id}/holes/{hole['number']}/bundle")
    return {"format": INDEX_FORMAT, "version": INDEX_VERSION, **found, "now": now.isoformat()}


@router.get("/api/clock")
def clock() -> Response:
    """Answer with the time here, for a phone to check its own by."""
    now = datetime.now(UTC).isoformat(timespec="milliseconds")
    return Response(json.dumps({"now": now}), media_type="application/json", headers=NO_STORE)


def shell(request: Request, name: str) -> HTMLResponse:
    """Return one of the phone's pages: the same bytes whatever site or bunker it is opened for."""
    return HTMLResponse(_drawn(request, name)[0], headers=NO_CACHE)


def phone_urls(request: Request) -> list[str]:
    """Return the addresses of all files the phone's pages need: their scripts, and what their templates name."""
    assets: Assets = request.app.state.assets
    named = dict.fromkeys(file for name in SHELLS for file in _drawn(request, name)[1])
    files = [file for file in named if not file.startswith(NOT_KEPT)]
    return [script_url(assets, name) for name in ENTRIES] + [assets.static_url(file) for file in files]


def _drawn(request: Request, name: str) -> tuple[str, list[str]]:
    """Return one of the phone's pages, and the static files that its template names."""
    assets: Assets = request.app.state.assets
    named: list[str] = []

    def static(file: str) -> str:
        named.append(file)
        return link(request, assets.static_url(file))

    script = link(request, script_url(assets, name))
    drawn = request.app.state.templates.get_template(SHELLS[name]).render(static=static, script=script)
    return drawn, named


def script_url(assets: Assets, name: str) -> str:
    """Return the address of a page's modules as one file."""
    return f"/s/{assets.release}/script/{name}.js"


@lru_cache(maxsize=8)
def joined_script(assets: Assets, name: str) -> str:
    """Return a page's modules as one; raises FormatError."""
    return join_modules(
        {**ENTRIES, **DESK_ENTRIES}[name], lambda module: assets.asset(module).content.decode()
    )
