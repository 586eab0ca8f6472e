"""The door: what is refused before anything else looks at a request, and who the visitor is."""

from __future__ import annotations

import ipaddress
import re
import socket
import time
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime

from fastapi import HTTPException, Request
from starlette.types import ASGIApp, Receive, Scope, Send

from fieldapp.errors import AccessError, RoleError
from fieldapp.model.visitor import AT_THIS_MACHINE, MAY, Visitor
from fieldapp.server.access import EVERYBODY, methods_of, needed_for
from fieldapp.server.addresses import comes_from, own_path
from fieldapp.server.enter_form import DEVICE_COOKIE, is_enter_form
from fieldapp.server.machine_names import read_names
from fieldapp.settings import Settings, is_this_machine
from fieldapp.store.engine import Store
from fieldapp.workflow.links import NOT_IN, visitor_of_cookie

SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
PROXY_HEADERS = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-forwarded-proto", "x-real-ip", "via")
HOST = re.compile(r"(\[(?P<address>[0-9a-f:.]+)\]|(?P<name>[^\s:\[\]]+))(:\d+)?")
FROM_ANOTHER_SITE = "A page of another site may not change anything here."


class Door:
    """Refuses a request that must not come in; of one that may, `request.state.visitor` says whose it is.

    The Host header must name this server, or a page elsewhere could reach it through a name of its own that
    it points here (DNS rebinding); an IP address cannot be such a name. A request that changes something must
    not come from another site's page. What role each address needs is in `access.py`; what is not listed there
    is refused.
    """

    def __init__(self, app: ASGIApp, settings: Settings, store: Store) -> None:
        self._app = app
        self._settings = settings
        self._store = store
        self._hosts = known_hosts(settings)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request, or raise the refusal."""
        if scope["type"] == "http":
            if scope["method"] == "HEAD":
                scope = {**scope, "method": "GET"}  # the server below leaves out the body, as ASGI has it
            request = Request(scope)
            _check_host(request, self._hosts)
            if request.method not in SAFE_METHODS:
                _check_same_site(request)
            self._check_role(request)
        await self._app(scope, receive, send)

    def _check_role(self, request: Request) -> None:
        """Look the visitor up right here: that takes less than handing it to another thread and waiting for that."""
        path = own_path(request)
        needed = needed_for(request.method, path)
        if needed == EVERYBODY:
            return
        visitor = visitor_of(request, self._settings, self._store)
        request.state.visitor = visitor
        if needed is None:
            raise _nothing_there(path)
        if not visitor.may(needed):
            raise RoleError(
                f"The link of {visitor.name} is to {MAY[visitor.role]}; this is for those who may "
                f"{MAY[needed]}. Ask the manager for another link."
            )


def visitor_of(request: Request, settings: Settings, store: Store) -> Visitor:
    """Return who asks, and count a wrong cookie; raises AccessError where nothing lets them in, StoreError."""
    if is_trusted(request, settings):
        return AT_THIS_MACHINE
    cookie = request.cookies.get(DEVICE_COOKIE, "")
    visitor = visitor_of_cookie(store, cookie, datetime.now(UTC))
    if visitor is None:
        if cookie:
            request.app.state.sign_in_limit.wrong(comes_from(request), cookie, time.monotonic())
        raise AccessError(NOT_IN)
    return visitor


def is_trusted(request: Request, settings: Settings) -> bool:
    """Whether the request is the manager's by its address: from this very machine, where that is trusted."""
    passed_on = any(name in request.headers for name in PROXY_HEADERS)
    here = request.client is not None and is_this_machine(request.client.host) and not passed_on
    return settings.trust_this_machine and here


def known_hosts(settings: Settings) -> frozenset[str]:
    """Return the names this server answers to, besides IP addresses."""
    name = socket.gethostname().lower()
    given = read_names(settings.way.names).dns
    return frozenset({"localhost", name, f"{name}.local", settings.host.lower(), *settings.hosts, *given})


def _nothing_there(path: str) -> HTTPException:
    methods = methods_of(path)
    return (
        HTTPException(405, headers={"allow": ", ".join(_with_head(methods))})
        if methods
        else HTTPException(404)
    )


def _with_head(methods: Sequence[str]) -> Iterator[str]:
    """Yield the methods, HEAD behind GET: what may be had may be asked after."""
    for method in methods:
        yield from ("GET", "HEAD") if method == "GET" else (method,)


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
    """Refuse a request from another site's page, by what browsers say and pages cannot change.

    A page under `no-referrer` posts with the origin "null", as one of another site may. `Sec-Fetch-Site` tells them
    apart, but browsers send it only where the connection is secure; the page to enter has a check of its own.
    """
    site = request.headers.get("sec-fetch-site")
    origin = request.headers.get("origin")
    if site not in (None, "same-origin", "none"):
        raise HTTPException(403, FROM_ANOTHER_SITE)
    if origin == "null" and (site == "same-origin" or is_enter_form(request)):
        return
    host = request.headers.get("host", "").lower()
    if origin is not None and origin.lower().partition("://")[2] != host:
        raise HTTPException(403, FROM_ANOTHER_SITE)
