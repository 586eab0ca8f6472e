"""Who may do what: one table of every address of this server and the role it needs. What is not in it is refused."""

from __future__ import annotations

import re
from typing import Final, Literal

from fieldapp.model.visitor import Role

Needed = Role | Literal["everybody"]
EVERYBODY: Final = "everybody"

TABLE: tuple[tuple[str, str, Needed], ...] = (
    # what a browser needs before anybody is let in
    ("GET", "/enter/", "everybody"),
    ("GET", "/enter/{token}", "everybody"),
    ("POST", "/enter/{token}", "everybody"),
    ("GET", "/s/{release}/{name:path}", "everybody"),
    ("GET", "/s/{release}/shell/{name}", "everybody"),
    ("GET", "/s/{release}/script/{name}.js", "everybody"),
    ("GET", "/problems/{slug}", "everybody"),
    ("GET", "/sw.js", "everybody"),
    ("GET", "/manifest.webmanifest", "everybody"),
    ("GET", "/api/clock", "everybody"),
    ("GET", "/trust", "everybody"),
    ("GET", "/trust/authority.crt", "everybody"),
    # pages; the first that fits counts, so what is no site's id comes before those that are
    ("GET", "/sites/new", "plan"),
    ("GET", "/", "look"),
    ("GET", "/sites/{site_id}", "look"),
    ("GET", "/sites/{site_id}/set-out/{bunker_id}", "look"),
    ("GET", "/sites/{site_id}/set-out/{bunker_id}/qr.svg", "look"),
    ("GET", "/sites/{site_id}/pegs", "look"),
    ("GET", "/sites/{site_id}/pegs/{bunker_id}", "look"),
    ("GET", "/sites/{site_id}/pegs/{bunker_id}/qr.svg", "look"),
    ("GET", "/sites/{site_id}/hand-in", "look"),
    ("GET", "/sites/{site_id}/captures/{record_id}", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}/yardage.csv", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}/compare", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}/sight", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}/sheet", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}/board", "look"),
    ("GET", "/sites/{site_id}/holes/{hole}/keep-clear", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/set-out-sheet", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/ties", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/ties.csv", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/baseline", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/baseline.csv", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/drawing.{kind}", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/revisions", "look"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/revisions.csv", "look"),
    ("GET", "/field/{site_id}", "look"),
    ("GET", "/field/{site_id}/qr.svg", "look"),
    # what pages and programs ask for
    ("GET", "/api/me", "look"),
    ("GET", "/api/description.json", "look"),
    ("GET", "/api/sites", "look"),
    ("GET", "/api/sites/{site_id}/field", "look"),
    ("GET", "/api/sites/{site_id}/holes/{hole}/bundle", "look"),
    ("GET", "/api/sites/{site_id}/holes/{hole}/board", "look"),
    ("GET", "/api/sites/{site_id}/records", "look"),
    ("GET", "/api/sites/{site_id}/photos/{photo_id}", "look"),
    ("GET", "/api/sites/{site_id}/keep-clear", "look"),
    ("GET", "/api/sites/{site_id}/bunkers/{bunker_id}/draft", "look"),
    ("GET", "/api/sites/{site_id}/bunkers/{bunker_id}/drafts", "look"),
    ("GET", "/api/sites/{site_id}/bunkers/{bunker_id}/drafts/{number}", "look"),
    ("GET", "/sites/{site_id}/records.csv", "look"),
    ("GET", "/sites/{site_id}/records.geojson", "look"),
    ("GET", "/api/sites/{site_id}/backdrops", "look"),
    ("GET", "/api/sites/{site_id}/backdrops/{backdrop_id}/picture", "look"),
    # the work in the field
    ("POST", "/api/sites/{site_id}/records", "mark"),
    ("PUT", "/api/sites/{site_id}/photos/{photo_id}", "mark"),
    ("POST", "/api/sites/{site_id}/presence", "mark"),
    ("POST", "/sites/{site_id}/hand-in", "mark"),
    ("GET", "/sites/{site_id}/places", "mark"),
    ("GET", "/sites/{site_id}/places/qr.svg", "mark"),
    # plans
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan", "plan"),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan/withdraw", "plan"),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan/{record_id}/withdraw", "plan"),
    ("POST", "/sites/{site_id}/captures/{record_id}/confirm", "plan"),
    # drawings and pictures brought in
    ("GET", "/sites/{site_id}/import", "plan"),
    ("POST", "/sites/{site_id}/import", "plan"),
    ("POST", "/sites/{site_id}/import/file", "plan"),
    ("POST", "/api/sites/{site_id}/imports", "plan"),
    ("GET", "/api/sites/{site_id}/imports/{import_id}", "plan"),
    ("POST", "/api/sites/{site_id}/imports/{import_id}/preview", "plan"),
    ("POST", "/api/sites/{site_id}/imports/{import_id}/take", "plan"),
    ("GET", "/sites/{site_id}/backdrops", "plan"),
    ("POST", "/api/sites/{site_id}/backdrops", "plan"),
    ("POST", "/api/sites/{site_id}/backdrops/{picture_id}/fit", "plan"),
    ("GET", "/api/sites/{site_id}/backdrops/{picture_id}/waiting", "plan"),
    ("POST", "/api/sites/{site_id}/backdrops/{backdrop_id}/off", "plan"),
    ("POST", "/sites/{site_id}/holes/{hole}/keep-clear", "plan"),
    ("POST", "/sites/{site_id}/holes/{hole}/keep-clear/away", "plan"),
    ("PUT", "/api/sites/{site_id}/keep-clear", "plan"),
    ("PUT", "/api/sites/{site_id}/bunkers/{bunker_id}/draft", "plan"),
    ("POST", "/api/sites/{site_id}/bunkers/{bunker_id}/draft/give-up", "plan"),
    ("POST", "/api/sites/{site_id}/bunkers/{bunker_id}/draft/check", "plan"),
    ("POST", "/api/sites/{site_id}/outline/offset", "plan"),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/issue", "plan"),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/issue", "plan"),
    ("POST", "/sites/new", "plan"),
    ("GET", "/sites/{site_id}/edit", "plan"),
    ("POST", "/sites/{site_id}/edit/load", "plan"),
    ("POST", "/sites/{site_id}/edit/drop", "plan"),
    ("GET", "/sites/{site_id}/edit/holes/{hole}", "plan"),
    ("POST", "/sites/{site_id}/edit/holes/{hole}", "plan"),
    ("GET", "/sites/{site_id}/edit/{part}", "plan"),
    ("POST", "/sites/{site_id}/edit/{part}", "plan"),
    # backups, which hold the whole record and everybody's drafts
    ("GET", "/sites/{site_id}/site.zip", "manage"),
    ("POST", "/sites/from-zip", "manage"),
    # people
    ("GET", "/people", "manage"),
    ("POST", "/people", "manage"),
    ("POST", "/people/{link_id}/end", "manage"),
)


def needed_for(method: str, path: str) -> Needed | None:
    """Return the role that an address needs, or "everybody"; None where it is not listed."""
    return next(
        (needed for verb, pattern, needed in _COMPILED if verb == method and pattern.fullmatch(path)), None
    )


def methods_of(path: str) -> list[str]:
    """Return the methods an address is listed with."""
    return [verb for verb, pattern, _ in _COMPILED if pattern.fullmatch(path)]


def same_names(route_path: str) -> str:
    """Return the address of a route with its parts named alike, for comparing."""
    return re.sub(r"\{\w+(:\w+)?\}", lambda part: f"{{part{part[1] or ''}}}", route_path)


def _pattern(route_path: str) -> re.Pattern[str]:
    pieces = re.split(r"(\{\w+(?::path)?\})", route_path)
    return re.compile("".join(_piece(piece) for piece in pieces), re.DOTALL)


def _piece(piece: str) -> str:
    if not piece.startswith("{"):
        return re.escape(piece)
    return ".*" if piece.endswith(":path}") else "[^/]+"


_COMPILED = tuple((method, _pattern(path), needed) for method, path, needed in TABLE)
