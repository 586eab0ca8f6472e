"""The files of a form that a page sends, bounded before they are held."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from fastapi import HTTPException, Request
from starlette.datastructures import UploadFile
from starlette.types import Message


async def form_files(
    request: Request, most_bytes: int, too_large: str, most_files: int
) -> list[tuple[str, bytes]]:
    """Return the files called `file` as names and contents; 413, said by `too_large`, where they come to too much."""
    said = request.headers.get("content-length", "0")
    if said.isdigit() and int(said) > most_bytes:
        raise HTTPException(413, too_large, {"connection": "close"})
    receive = _bounded(request, most_bytes, too_large)
    async with Request(request.scope, receive).form(max_files=most_files, max_fields=10) as form:
        files = [part for part in form.getlist("file") if isinstance(part, UploadFile) and part.filename]
        return [(file.filename or "", await file.read()) for file in files]


def _bounded(request: Request, most_bytes: int, too_large: str) -> Callable[[], Awaitable[Message]]:
    came = 0

    async def receive() -> Message:
        nonlocal came
        message = await request.receive()
        came += len(message.get("body", b""))
        if came > most_bytes:
            raise HTTPException(413, too_large, {"connection": "close"})
        return message

    return receive
