"""Headers that every answer carries: what a page may load, and who may frame or read it."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.requests import HTTPConnection
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fieldapp.server.addresses import own_path

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "content-security-policy": CONTENT_SECURITY_POLICY,
    "permissions-policy": "geolocation=(self), camera=(), microphone=()",
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
DEFAULT_CACHE_CONTROL = "no-cache"
SECRET_ADDRESSES = "/enter/"
OF_SECRET_ADDRESSES = {"referrer-policy": "no-referrer", "cache-control": "no-store"}
"""An address that holds a secret is told to nobody as the page one came from, and is kept nowhere."""


class SecurityHeaders:
    """Adds the headers to every answer; one that says nothing about caching must be asked for again."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        is_secret = scope["type"] == "http" and own_path(HTTPConnection(scope)).startswith(SECRET_ADDRESSES)

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers.update(HEADERS)
                headers.setdefault("cache-control", DEFAULT_CACHE_CONTROL)
                if is_secret:
                    headers.update(OF_SECRET_ADDRESSES)
            await send(message)

        await self._app(scope, receive, with_headers)
