"""The pages that lead a phone's user through trusting this machine's authority, and the small server for plain http."""

from __future__ import annotations

import re

from fastapi import APIRouter, FastAPI, HTTPException, Request
from fastapi.responses import RedirectResponse, Response

from fieldapp.errors import NotFoundError
from fieldapp.server import assets, pages, problems
from fieldapp.server.addresses import came_by_https, link
from fieldapp.server.machine_names import LOOPBACK, Names
from fieldapp.server.own_certificate import OwnCertificate
from fieldapp.server.page_contexts import TrustPage
from fieldapp.server.security_headers import SecurityHeaders
from fieldapp.shipped_files import web_folder

CERTIFICATE_TYPE = "application/x-x509-ca-cert"
NOT_KEPT = {"cache-control": "no-store"}
APPLE = re.compile(r"iPhone|iPad|iPod")
NOT_SAFARI = re.compile(r"CriOS|FxiOS|EdgiOS|OPiOS|GSA/")
METHODS = ["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"]
NO_AUTHORITY = "This server has no authority of its own, so there is nothing to trust."
TRUSTED_ALREADY = (
    "You have come by https with a certificate that this browser accepts. This server has no authority of its own, "
    "so there is nothing to trust."
)
PLAIN_HTTP = (
    "This server has no authority of its own. On a phone, plain http gives no position and keeps nothing for where "
    "there is no signal: ask whoever runs the server for its https address."
)

router = APIRouter()
plain_router = APIRouter()


class Trust:
    """What phones are to trust, and where the https side is; `own` is replaced when the certificate is renewed.

    `listens_at` is the address served, which may stand for all.
    """

    def __init__(self, own: OwnCertificate, https_port: int, listens_at: str = "0.0.0.0") -> None:
        self.own = own
        self._listens_at = listens_at
        self._port = "" if https_port == 443 else f":{https_port}"

    def https_url(self, host: str = "") -> str:
        """Return the https address at a host that the certificate names, else at the best of those it names."""
        named = host if host in _texts(self.own.names) else self._best()
        return f"https://{f'[{named}]' if ':' in named else named}{self._port}/"

    def _best(self) -> str:
        """Return a name given by hand, else the address listened at, else one on the network, else any."""
        named = _texts(self.own.names)
        given = _texts(self.own.given - self.own.unserved)
        listening = [self._listens_at] if self._listens_at in named else []
        return next(iter((*given, *listening, *map(str, (self.own.names - LOOPBACK).addresses), *named)))


def create_trust_app(trust: Trust) -> FastAPI:
    """Return the application for plain http: only how to trust this machine, everything else leads there."""
    app = FastAPI(
        title="fieldapp: trust", docs_url=None, redoc_url=None, openapi_url=None, redirect_slashes=False
    )
    app.state.trust = trust
    app.state.assets = assets.Assets(web_folder())
    pages.add_templates(app)
    for part in (assets.router, router, plain_router):
        app.include_router(part)
    problems.add_problem_answers(app)
    app.add_middleware(problems.ProblemAnswers)
    app.add_middleware(SecurityHeaders)
    return app


@router.get("/trust")
def trust_page(request: Request) -> Response:
    """Show how to trust this machine, the asking phone's own steps first."""
    answer: Response = request.app.state.draw_page(request, "trust.html", _trust_page(request))
    return answer


@router.get("/trust/authority.crt")
def authority_file(request: Request) -> Response:
    """Answer with the authority's certificate as phones take it."""
    trust: Trust | None = request.app.state.trust
    if trust is None:
        raise NotFoundError(NO_AUTHORITY)
    return Response(trust.own.authority.der(), media_type=CERTIFICATE_TYPE, headers=NOT_KEPT)


@plain_router.api_route("/{path:path}", methods=METHODS)
def anything_else(request: Request, path: str) -> Response:
    """Lead a person to the one page there is; tell a program where the rest is."""
    trust: Trust = request.app.state.trust
    if request.method not in ("GET", "HEAD") or path.startswith("api/"):
        there = trust.https_url(request.url.hostname or "")
        raise HTTPException(404, f"By plain http there is only /trust here; everything else is at {there}.")
    return RedirectResponse(link(request, "/trust"), status_code=303)


def _trust_page(request: Request) -> TrustPage:
    trust: Trust | None = request.app.state.trust
    agent = request.headers.get("user-agent", "")
    phones = ("iphone", "android") if APPLE.search(agent) else ("android", "iphone")
    if trust is None:
        why = TRUSTED_ALREADY if came_by_https(request) else PLAIN_HTTP
        return TrustPage(why, phones, False, "", (), "", "", "")
    own = trust.own
    return TrustPage(
        not_needed=None,
        phones=phones,
        is_not_safari=bool(NOT_SAFARI.search(agent)),
        authority=own.authority.title,
        fingerprint=_in_lines(own.authority.fingerprint),
        names=(own.names - LOOPBACK or own.names).words(),
        ends=f"{own.authority.ends_at:%Y-%m-%d}",
        https_url=trust.https_url(request.url.hostname or ""),
    )


def _in_lines(fingerprint: str) -> tuple[str, ...]:
    pairs = fingerprint.split(":")
    return tuple(" ".join(pairs[start : start + 8]) for start in range(0, len(pairs), 8))


def _texts(names: Names) -> tuple[str, ...]:
    return (*names.dns, *map(str, names.addresses))
