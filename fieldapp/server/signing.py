"""Who signs a change: by the name on the link, or as typed where a link is a crew's."""

from __future__ import annotations

from fieldapp.model.visitor import Visitor

LONGEST_NAME = 60


def signed_by(visitor: Visitor, typed: str) -> str:
    """Return who makes a change, as it is kept; "" where a crew's member typed no name."""
    if not visitor.is_crew:
        return visitor.name
    name = " ".join(typed.split())[:LONGEST_NAME]
    return f"{name} (link of {visitor.came_by})" if name and visitor.came_by else name
