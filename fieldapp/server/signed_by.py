"""Who signs a plan: the name on their own link, or the name that one of a crew types."""

from __future__ import annotations

from fieldapp.model.visitor import Visitor

LONGEST_NAME = 60


def signed_by(visitor: Visitor, typed: str) -> str:
    """Return who signs, with the crew's link where there is one; "" where a name must be typed and none was."""
    if not visitor.is_crew:
        return visitor.name
    name = " ".join(typed.split())[:LONGEST_NAME]
    return f"{name} (link of {visitor.came_by})" if name and visitor.came_by else name
