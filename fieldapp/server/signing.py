"""Who signs a change: by the name on the link, or as typed where a link is a crew's."""

from __future__ import annotations

from typing import Any

from fastapi import Request

from fieldapp.errors import FormatError
from fieldapp.formats.json_fields import read_text
from fieldapp.model.visitor import Visitor

LONGEST_NAME = 60
NO_NAME = "Type your name: a change keeps who made it. Send it as 'person'."


def signed_by(visitor: Visitor, typed: str) -> str:
    """Return who makes a change, as it is kept; "" where a crew's member typed no name."""
    if not visitor.is_crew:
        return visitor.name
    name = " ".join(typed.split())[:LONGEST_NAME]
    return f"{name} (link of {visitor.came_by})" if name and visitor.came_by else name


def object_body(body: object) -> dict[str, Any]:
    """Return a JSON body that must be an object; raises FormatError."""
    if not isinstance(body, dict):
        raise FormatError("The body must be a JSON object.")
    return body


def person_of(request: Request, given: dict[str, Any]) -> str:
    """Return who signs a body by its 'person'; raises FormatError where a crew's member gave no name, RecordError."""
    typed = read_text(given, "person") if given.get("person") is not None else ""
    person = signed_by(request.state.visitor, typed)
    if not person:
        raise FormatError(NO_NAME)
    return person
