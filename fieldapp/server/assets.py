"""Static files: all of `web/` under one release id, so that a page and its scripts always belong together.

The release id is a hash over every file of `web/`; any change to any of them makes new addresses, and an
address of another release is not answered. What is served never changes under its address, so it may be kept
for a year.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.errors import NotFoundError

MEDIA_TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/x-icon",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
}
NOT_SERVED = "templates/"
FOR_A_YEAR = "public, max-age=31536000, immutable"

router = APIRouter()


@dataclass(frozen=True)
class Asset:
    """One static file."""

    content: bytes
    media_type: str


class Assets:
    """The static files of one release, read once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        files = {path.relative_to(folder).as_posix(): path.read_bytes() for path in _files(folder)}
        self.release = _release_id(files)
        self._assets = {
            name: Asset(content, MEDIA_TYPES.get(Path(name).suffix, "application/octet-stream"))
            for name, content in files.items()
            if not name.startswith(NOT_SERVED)
        }

    def names(self) -> tuple[str, ...]:
        """Return the names of all files served, relative to `web/`."""
        return tuple(self._assets)

    def asset(self, name: str) -> Asset:
        """Return one file; raises NotFoundError."""
        try:
            return self._assets[name]
        except KeyError:
            raise NotFoundError(f"There is no static file '{name}'.") from None

    def static_url(self, name: str) -> str:
        """Return the address of a file, for instance of `styles/phone.css`; raises NotFoundError."""
        self.asset(name)
        return f"/s/{self.release}/{name}"


@router.get("/s/{release}/{name:path}")
def static_file(request: Request, release: str, name: str) -> Response:
    """Answer with one static file of this release."""
    assets: Assets = request.app.state.assets
    if release != assets.release:
        raise NotFoundError(f"Release '{release}' is not served any more; load the page again.")
    found = assets.asset(name)
    return Response(found.content, media_type=found.media_type, headers={"cache-control": FOR_A_YEAR})


def _files(folder: Path) -> list[Path]:
    return sorted(
        path
        for path in folder.rglob("*")
        if path.is_file() and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    )


def _release_id(files: dict[str, bytes]) -> str:
    whole = hashlib.sha256()
    for name, content in sorted(files.items()):
        whole.update(f"{name}\0{len(content)}\0".encode())
        whole.update(content)
    return whole.hexdigest()[:16]
