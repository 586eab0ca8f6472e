"""What the page of a drawing board is given; what lies on the board the page asks for itself."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice


@dataclass(frozen=True)
class BoardPage:
    """The board of a hole. `bunker_id`, its name and revision are empty where no bunker is on it yet.

    `yardage_sign` and `ground_sign` are the units that typed lengths are in; `asks_name` is whether the link
    is a crew's, so that who draws types a name; `notice` says why nothing may be changed.
    """

    site_id: str
    site_name: str
    site_url: str
    hole: int
    hole_title: str
    hole_url: str
    board_url: str
    keep_clear_url: str
    import_url: str
    api_url: str
    script_url: str
    bunker_id: str
    bunker_name: str
    revision: str
    bunkers: tuple[Choice, ...]
    tees: tuple[Choice, ...]
    parts: tuple[str, ...]
    yardage_sign: str
    ground_sign: str
    dated: str
    may_edit: bool
    asks_name: bool
    notice: str
