"""Who may come in: this machine as the manager, the crew by its link, nobody through another site's page."""

from __future__ import annotations

import hashlib
import hmac
import ipaddress
import re
import secrets
import socket
from datetime import datetime

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from fieldapp.errors import AccessError, InputError, StoreError
from fieldapp.server.addresses import came_by_https, link, own_path
from fieldapp.server.machine_names import read_names
from fieldapp.settings import CREW_LINKS_FILE, Settings, is_this_machine

COOKIE = "fieldapp_crew"
COOKIE_AGE_S = 180 * 24 * 3600
SHORTEST_KEY = 16
SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
OPEN_PATHS = ("/enter/", "/s/", "/problems/", "/trust")
PROXY_HEADERS = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-forwarded-proto", "x-real-ip", "via")
HOST = re.compile(r"(\[(?P<address>[0-9a-f:.]+)\]|(?P<name>[^\s:\[\]]+))(:\d+)?")
SHUT = "This server is for the crew: open the link that was printed where it was started, once on each phone."

router = APIRouter()


@router.get("/enter/{key}")
def enter(request: Request, key: str) -> RedirectResponse:
    """Let a phone in that opened the crew's link: it keeps the key as a cookie."""
    if not _opens(request.app.state.settings, key):
        raise AccessError("This link is not valid, or not any more; ask for the one the server prints now.")
    answer = RedirectResponse(link(request, "/"), status_code=303)
    answer.set_cookie(
        COOKIE,
        key,
        max_age=COOKIE_AGE_S,
        path=link(request, "/"),
        httponly=True,
        samesite="lax",
        secure=came_by_https(request),
    )
    return answer


class Door:
    """Refuses, before anything else looks at it, a request that must not come in.

    The Host header must name this server, or a page elsewhere could reach it through a name of its own that
    it points here (DNS rebinding); an IP address cannot be such a name. A request that changes something must
    not come from another site's page.
    """

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self._app = app
        self._settings = settings
        self._hosts = known_hosts(settings)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request, or raise the refusal."""
        if scope["type"] == "http":
            request = Request(scope)
            _check_host(request, self._hosts)
            if request.method not in SAFE_METHODS:
                _check_same_site(request)
            if not own_path(request).startswith(OPEN_PATHS):
                request.state.role = role_of(request, self._settings)
        await self._app(scope, receive, send)


def role_of(request: Request, settings: Settings) -> str:
    """Return "manager" or "crew"; raises AccessError for anybody else."""
    if settings.trust_this_machine and _from_this_machine(request):
        return "manager"
    if _opens(settings, request.cookies.get(COOKIE, "")):
        return "crew"
    raise AccessError(SHUT)


def known_hosts(settings: Settings) -> frozenset[str]:
    """Return the names this server answers to, besides IP addresses."""
    name = socket.gethostname().lower()
    given = read_names(settings.way.names).dns
    return frozenset({"localhost", name, f"{name}.local", settings.host.lower(), *settings.hosts, *given})


def crew_key(settings: Settings, at: datetime) -> tuple[str, Settings]:
    """Return the key of the crew's link and settings that let it in.

    The key is FIELDAPP_CREW_KEY or a new one. Only the SHA-256 of a new key is kept, in the data folder;
    links printed at earlier starts stay valid until that file is deleted. Raises InputError, StoreError.
    """
    if settings.crew_key and len(settings.crew_key) < SHORTEST_KEY:
        raise InputError(
            f"FIELDAPP_CREW_KEY is too short to be safe; give at least {SHORTEST_KEY} characters."
        )
    key = settings.crew_key or secrets.token_urlsafe(24)
    file = settings.data_dir / CREW_LINKS_FILE
    try:
        settings.data_dir.mkdir(parents=True, exist_ok=True)
        if not settings.crew_key:
            file.touch(mode=0o600)
            with file.open("a", encoding="ascii") as lines:
                lines.write(f"{_hash(key)} {at.isoformat(timespec='seconds')}\n")
        kept = file.read_text(encoding="ascii").splitlines() if file.exists() else []
    except OSError as fault:
        raise StoreError(f"The crew's link cannot be kept in '{file}': {fault.strerror}.") from fault
    hashes = {line.split()[0] for line in kept if line.strip()}
    return key, settings.with_crew_key_hashes(frozenset({_hash(key), *hashes}))


def _opens(settings: Settings, key: str) -> bool:
    given = _hash(key)
    return bool(key) and any(hmac.compare_digest(given, held) for held in settings.crew_key_hashes)


def _hash(key: str) -> str:
    return hashlib.sha256(key.encode("utf-8", "surrogateescape")).hexdigest()


def _from_this_machine(request: Request) -> bool:
    passed_on = any(name in request.headers for name in PROXY_HEADERS)
    return request.client is not None and is_this_machine(request.client.host) and not passed_on


def _check_host(request: Request, hosts: frozenset[str]) -> None:
    host = _without_port(request.headers.get("host", ""))
    if host in hosts or _is_address(host):
        return
    raise HTTPException(
        421,
        f"This server does not answer to that name ({host or 'none given'}); "
        "list it in FIELDAPP_HOSTS if it should.",
    )


def _without_port(host: str) -> str:
    found = HOST.fullmatch(host.lower())
    return (found["address"] or found["name"].rstrip(".")) if found else ""


def _is_address(host: str) -> bool:
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


def _check_same_site(request: Request) -> None:
    origin = request.headers.get("origin")
    host = request.headers.get("host", "").lower()
    foreign = origin is not None and origin.lower().partition("://")[2] != host
    if foreign or request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        raise HTTPException(403, "A page of another site may not change anything here.")
