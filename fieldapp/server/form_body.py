"""The fields of a form that a page sends, bounded."""

from __future__ import annotations

from urllib.parse import parse_qsl

from fastapi import HTTPException, Request

from fieldapp.errors import FormatError
from fieldapp.server.json_body import bounded_body

FORM_TYPE = "application/x-www-form-urlencoded"
LARGEST_FORM = 10_000
MOST_FIELDS = 50
LARGE_FORM = 500_000
MOST_FIELDS_OF_LARGE = 1_000


async def form_body(request: Request) -> dict[str, str]:
    """Return the fields by name, the last of a name. Raises FormatError; 413 and 415 as HTTP has them."""
    return await bounded_form(request, LARGEST_FORM, MOST_FIELDS)


async def large_form(request: Request) -> dict[str, str]:
    """Return the fields of a form with very many of them, likewise."""
    return await bounded_form(request, LARGE_FORM, MOST_FIELDS_OF_LARGE)


async def bounded_form(request: Request, largest: int, most_fields: int) -> dict[str, str]:
    """Do as `form_body` with bounds of its own, bytes and fields."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != FORM_TYPE:
        raise HTTPException(415, f"The body must be a form: send it with content-type {FORM_TYPE}.")
    content = await bounded_body(request, largest)
    try:
        fields = parse_qsl(
            content.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=most_fields
        )
    except ValueError as fault:
        raise FormatError("The body is not a form that can be read; send it from the page again.") from fault
    return dict(fields)
