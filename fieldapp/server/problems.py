"""Refusals as HTTP answers: RFC 9457 problem documents, or pages. Status codes are decided here."""

from __future__ import annotations

import logging
import re
from collections.abc import Sequence
from http import HTTPStatus
from typing import Any

from fastapi import APIRouter, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, PlainTextResponse, Response
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from fieldapp import errors
from fieldapp.server.addresses import link, own_path

STATUS: dict[type[errors.FieldappError], HTTPStatus] = {
    errors.FieldappError: HTTPStatus.INTERNAL_SERVER_ERROR,
    errors.InputError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.SiteFolderError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.OutlineError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.GridError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.GridFileMissing: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.FitError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.PositionError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.ReadingError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.RecordError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.FormatError: HTTPStatus.UNPROCESSABLE_ENTITY,
    errors.NotFoundError: HTTPStatus.NOT_FOUND,
    errors.ConflictError: HTTPStatus.CONFLICT,
    errors.StaleError: HTTPStatus.PRECONDITION_FAILED,
    errors.AccessError: HTTPStatus.UNAUTHORIZED,
    errors.RoleError: HTTPStatus.FORBIDDEN,
    errors.StoreError: HTTPStatus.SERVICE_UNAVAILABLE,
}
MEDIA_TYPE = "application/problem+json"
FAULT = "The server met a fault of its own; nothing was changed. Try again, and tell whoever runs it."
LOG = logging.getLogger("fieldapp")

router = APIRouter()


@router.get("/problems/{slug}")
def problem_type(slug: str) -> PlainTextResponse:
    """Say what a problem's `type` means."""
    for kind in STATUS:
        if _slug(kind) == slug:
            return PlainTextResponse(f"{kind.title}\n\n{(kind.__doc__ or '').strip().splitlines()[0]}\n")
    raise errors.NotFoundError(f"There is no problem called '{slug}'.")


def add_problem_answers(app: FastAPI) -> None:
    """Make the framework's own refusals problem documents too."""

    @app.exception_handler(HTTPException)
    def _http(request: Request, fault: HTTPException) -> Response:
        return http_answer(request, fault)

    @app.exception_handler(RequestValidationError)
    def _invalid(request: Request, fault: RequestValidationError) -> Response:
        return _validation_answer(request, fault.errors())


class ProblemAnswers:
    """Turns every error that leaves the application into an answer; no traceback reaches a user."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        started = False

        async def watched(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self._app(scope, receive, watched)
        except ClientDisconnect:
            return
        except Exception as fault:
            if started or scope["type"] != "http":
                raise
            await _answer(Request(scope), fault)(scope, receive, send)


def _answer(request: Request, fault: Exception) -> Response:
    if isinstance(fault, errors.FieldappError):
        return error_answer(request, fault)
    if isinstance(fault, HTTPException):
        return http_answer(request, fault)
    LOG.error("fault while answering %s %s", request.method, _path_to_tell(request), exc_info=fault)
    return _problem(request, HTTPStatus.INTERNAL_SERVER_ERROR, "Fault of the server", FAULT)


def _path_to_tell(request: Request) -> str:
    """Return the path for a log, in which no link's secret may stand."""
    return "/enter/..." if own_path(request).startswith("/enter/") else request.url.path


def error_answer(request: Request, fault: errors.FieldappError) -> Response:
    """Return the answer for one of fieldapp's own refusals."""
    status = STATUS[type(fault)]
    members: dict[str, Any] = {"type": link(request, f"/problems/{_slug(type(fault))}")}
    if isinstance(fault, errors.SiteFolderError):
        members["mistakes"] = [vars(mistake) for mistake in fault.mistakes]
    if isinstance(fault, errors.StaleError):
        members |= fault.told
    return _problem(request, status, fault.title, str(fault), members)


def http_answer(request: Request, fault: HTTPException) -> Response:
    """Return the answer for a refusal of HTTP itself."""
    status = HTTPStatus(fault.status_code)
    detail = (
        str(fault.detail) if fault.detail and fault.detail != status.phrase else _in_words(request, status)
    )
    answer = _problem(request, status, status.phrase, detail)
    answer.headers.update(fault.headers or {})
    return answer


def _in_words(request: Request, status: HTTPStatus) -> str:
    if status is HTTPStatus.NOT_FOUND:
        return f"There is nothing at {request.url.path}; start at {link(request, '/')}."
    if status is HTTPStatus.METHOD_NOT_ALLOWED:
        return f"{request.url.path} cannot be asked with {request.method}."
    return f"{status.description or status.phrase}."


def _validation_answer(request: Request, faults: Sequence[Any]) -> Response:
    found = [{"where": ".".join(map(str, fault["loc"])), "what": fault["msg"]} for fault in faults]
    detail = "; ".join(f"{fault['where']}: {fault['what']}" for fault in found)
    return _problem(
        request,
        HTTPStatus.UNPROCESSABLE_ENTITY,
        errors.InputError.title,
        f"The request cannot be read: {detail}.",
        {"type": link(request, f"/problems/{_slug(errors.InputError)}"), "errors": found},
    )


def _problem(
    request: Request, status: HTTPStatus, title: str, detail: str, members: dict[str, Any] | None = None
) -> Response:
    if _wants_page(request):
        return _page(request, status, title, detail)
    content = {"type": "about:blank", "title": title, "status": int(status), "detail": detail}
    content |= {"instance": request.url.path, **(members or {})}
    return JSONResponse(content, int(status), media_type=MEDIA_TYPE)


def _page(request: Request, status: HTTPStatus, title: str, detail: str) -> Response:
    draw = getattr(request.app.state, "problem_page", None)
    if draw is None:
        return PlainTextResponse(f"{title}\n\n{detail}\n", int(status))
    page: Response = draw(request, status, title, detail)
    return page


def _wants_page(request: Request) -> bool:
    return not own_path(request).startswith("/api/") and "text/html" in request.headers.get("accept", "")


def _slug(kind: type[errors.FieldappError]) -> str:
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "-", kind.__name__).lower()
