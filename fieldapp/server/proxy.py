"""What a reverse proxy on this machine says of its visitors, and the path under which it shows the application."""

from __future__ import annotations

from fastapi import FastAPI
from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send
from uvicorn.middleware.proxy_headers import ProxyHeadersMiddleware

from fieldapp.settings import Way

THIS_MACHINE = ("127.0.0.1", "::1", "::ffff:127.0.0.1")


def add_way(app: FastAPI, way: Way) -> None:
    """Make the application see the visitor that a proxy passed on, where there is to be one; add it last."""
    if way.root_path:
        app.add_middleware(UnderPath, root_path=way.root_path)
    if way.behind_proxy:
        app.add_middleware(ProxyHeadersMiddleware, trusted_hosts=list(THIS_MACHINE))
        app.add_middleware(HostByProxy)


class HostByProxy:
    """Takes the host that the visitor asked for from X-Forwarded-Host, of a proxy on this machine only.

    Of several the last one counts: the nearest proxy put it there.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] == "http" and scope.get("client") and scope["client"][0] in THIS_MACHINE:
            said = Headers(scope=scope).getlist("x-forwarded-host")
            host = ",".join(said).rpartition(",")[2].strip()
            if host:
                scope = {**scope, "headers": list(scope["headers"])}
                MutableHeaders(scope=scope)["host"] = host
        await self._app(scope, receive, send)


class UnderPath:
    """Puts the application under a path, whether the proxy leaves that path in the request or takes it off."""

    def __init__(self, app: ASGIApp, root_path: str) -> None:
        self._app = app
        self._root = root_path

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
        elif scope["path"] == self._root:
            await RedirectResponse(f"{self._root}/", status_code=308)(scope, receive, send)
        else:
            await self._app(self._placed(scope), receive, send)

    def _placed(self, scope: Scope) -> Scope:
        path = scope["path"]
        whole = path if path.startswith(f"{self._root}/") else self._root + path
        return {**scope, "root_path": self._root, "path": whole}
