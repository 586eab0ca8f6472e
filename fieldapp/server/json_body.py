"""The JSON body of a request, bounded."""

from __future__ import annotations

from collections.abc import AsyncIterator

from fastapi import HTTPException, Request

from fieldapp.errors import FormatError
from fieldapp.formats.json_text import read_json_bytes

LARGEST_BODY = 1_000_000
TOO_LARGE = "The body is larger than {largest:,} bytes; send it in smaller batches."


async def json_body(request: Request) -> object:
    """Return the body as JSON. Raises FormatError where it is none; 413 and 415 as HTTP has them."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise HTTPException(415, "The body must be JSON: send it with content-type application/json.")
    content = await bounded_body(request)
    try:
        return read_json_bytes(content)
    except (ValueError, RecursionError) as fault:
        raise FormatError(f"The body is not JSON that can be read ({_first_line(fault)}).") from fault


async def bounded_body(request: Request, largest: int = LARGEST_BODY, words: str = TOO_LARGE) -> bytes:
    """Return the body as it came; 413, said by `words`, where it is larger than `largest` bytes, before it is held."""
    content = bytearray()
    async for piece in bounded_pieces(request, largest, words):
        content += piece
    return bytes(content)


async def bounded_pieces(request: Request, largest: int, words: str) -> AsyncIterator[bytes]:
    """Yield the body as it comes in; 413, said by `words`, before the first piece of one that says it is too large."""
    said = request.headers.get("content-length", "0")
    if said.isdigit() and int(said) > largest:
        raise _too_large(largest, words)
    came = 0
    async for piece in request.stream():
        came += len(piece)
        if came > largest:
            raise _too_large(largest, words)
        yield piece


def _too_large(largest: int, words: str) -> HTTPException:
    return HTTPException(413, words.format(largest=largest), {"connection": "close"})


def _first_line(fault: BaseException) -> str:
    return str(fault).partition("\n")[0][:200]
