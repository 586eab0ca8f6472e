"""What a request was made from, by its headers If-Match and If-None-Match (RFC 9110, 13.1)."""

from __future__ import annotations

import re

from fastapi import HTTPException, Request

from fieldapp.workflow.drafting import Basis

TAG = r'(?:W/)?"[\x21\x23-\x7e\x80-\xff]*"'
TAGS = re.compile(rf"[ \t,]*{TAG}(?:[ \t]*,(?:[ \t]*{TAG})?)*[ \t]*")
NEEDED = (
    "Say what yours was made from: send the header If-Match with the ETag of what you had, "
    'or "0" where there was nothing, so that nobody\'s work is written over unseen.'
)


def etag(number: int) -> str:
    """Return the tag of what stands under a number."""
    return f'"{number}"'


def basis_of(request: Request) -> Basis:
    """Return what a change was made from; 428 where the request does not say, 400 where it cannot be read.

    A weak tag never matches, since If-Match compares strongly; of a list any one may match.
    """
    match, none_match = _joined(request, "if-match"), _joined(request, "if-none-match")
    if match is None and none_match != "*":
        raise HTTPException(428, NEEDED)
    if match is None:
        return Basis(nothing=True)
    if match == "*":
        return Basis(anything=True)
    return Basis(numbers=frozenset(tag[1:-1] for tag in tags_in(match, "If-Match") if tag.startswith('"')))


def has_already(request: Request, tag: str) -> bool:
    """Whether the asker has what carries a tag, by If-None-Match, which compares weakly."""
    given = _joined(request, "if-none-match")
    if given is None:
        return False
    return given == "*" or tag in [one.removeprefix("W/") for one in re.findall(TAG, given)]


def tags_in(value: str, header: str) -> list[str]:
    """Return the tags of a header; 400 where it holds anything else."""
    if not TAGS.fullmatch(value):
        raise HTTPException(400, f'The header {header} must hold an ETag in quotes, such as "3", or *.')
    return re.findall(TAG, value)


def _joined(request: Request, name: str) -> str | None:
    given = request.headers.getlist(name)
    return ", ".join(given).strip() if given else None
