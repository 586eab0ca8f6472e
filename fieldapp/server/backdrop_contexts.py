"""What the page of pictures to draw over is given."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice


@dataclass(frozen=True)
class PictureRow:
    """A picture that is kept."""

    name: str
    url: str
    off_url: str
    words: str


@dataclass(frozen=True)
class WaitingRow:
    """A picture that waits to be laid; sides in pixels, `marks` what may be seen in it, `rows` numbers of places."""

    id: str
    name: str
    url: str
    width: int
    height: int
    fit_url: str
    marks: tuple[Choice, ...]
    rows: tuple[int, ...]


@dataclass(frozen=True)
class BoardWay:
    """The way to a hole's drawing board, and what it is called."""

    url: str
    words: str


@dataclass(frozen=True)
class BackdropsPage:
    """The page."""

    site_name: str
    site_url: str
    url: str
    api_url: str
    most_mb: int
    endings: str
    systems: tuple[Choice, ...]
    units: tuple[Choice, ...]
    pictures: tuple[PictureRow, ...]
    waiting: WaitingRow | None
    boards: tuple[BoardWay, ...]
