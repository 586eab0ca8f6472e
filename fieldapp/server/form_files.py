"""The files of a form that a page sends, bounded before they are held."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager

from fastapi import HTTPException, Request
from starlette.datastructures import UploadFile
from starlette.types import Message


async def form_files(
    request: Request, most_bytes: int, too_large: str, most_files: int
) -> list[tuple[str, bytes]]:
    """Return the files called `file` as names and contents; 413, said by `too_large`, where they come to too much."""
    async with opened_files(request, most_bytes, too_large, most_files) as files:
        return [(file.filename or "", await file.read()) for file in files]


@asynccontextmanager
async def opened_files(
    request: Request, most_bytes: int, too_large: str, most_files: int
) -> AsyncIterator[list[UploadFile]]:
    """Do as `form_files` with the files themselves, which lie on disk where they are large, open for the time being."""
    said = request.headers.get("content-length", "0")
    if said.isdigit() and int(said) > most_bytes:
        raise HTTPException(413, too_large, {"connection": "close"})
    receive = _bounded(request, most_bytes, too_large)
    async with Request(request.scope, receive).form(max_files=most_files, max_fields=10) as form:
        yield [part for part in form.getlist("file") if isinstance(part, UploadFile) and part.filename]


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
