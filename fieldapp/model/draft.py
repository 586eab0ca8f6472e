"""A bunker on the drawing board: what it may become, before it is issued."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model.site import Bunker


@dataclass(frozen=True)
class Draft:
    """A bunker as it is being drawn. Every outline is a drawn one in course metres, and the bunker has no place.

    `bunker.revision` is empty until it is issued. `from_revision` and `from_version` (the site version's sequence) say
    which revision it grew from; both None for a bunker that never stood.
    """

    bunker: Bunker
    from_revision: str | None = None
    from_version: int | None = None
