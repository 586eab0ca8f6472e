"""Addresses as a visitor sees them: everything here may lie under a path of a proxy, such as /course."""

from __future__ import annotations

from fastapi import Request
from starlette.requests import HTTPConnection


def link(connection: HTTPConnection, path: str) -> str:
    """Return the address of one of this server's own paths, for instance of `/sites/a`."""
    return str(connection.scope.get("root_path", "")).rstrip("/") + path


def own_path(connection: HTTPConnection) -> str:
    """Return the path that was asked for, without what a proxy put before it."""
    root = str(connection.scope.get("root_path", "")).rstrip("/")
    path = str(connection.scope["path"])
    return path.removeprefix(root) if root and path.startswith(root + "/") else path


def came_by_https(request: Request) -> bool:
    """Whether the visitor's own connection is https; a proxy's word counts where `proxy` has put it into effect."""
    return request.url.scheme == "https"


def comes_from(request: Request) -> str:
    """Return the network address a request comes from; empty where there is none."""
    return request.client.host if request.client else ""
