"""A file that comes as the body of a request, written to disk as it comes in."""

from __future__ import annotations

import asyncio
from typing import BinaryIO

from fastapi import HTTPException, Request

from fieldapp.server.json_body import bounded_pieces

MOST_SECONDS = 900
TOO_SLOW = (
    "The file took longer than {minutes} minutes to come and was given up; send it over a faster connection."
)


async def write_body(request: Request, file: BinaryIO, largest: int, words: str) -> None:
    """Write the body into a file; 413, said by `words`, where it is too large, 408 where it takes too long."""
    try:
        async with asyncio.timeout(MOST_SECONDS):
            async for piece in bounded_pieces(request, largest, words):
                file.write(piece)
    except TimeoutError:
        raise HTTPException(
            408, TOO_SLOW.format(minutes=MOST_SECONDS // 60), {"connection": "close"}
        ) from None
