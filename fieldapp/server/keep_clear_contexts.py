"""What the page of the things to keep clear of is given."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.hole_drawing import HoleDrawing
from fieldapp.server.keep_clear_form import ThingForm
from fieldapp.server.keep_clear_key import ThingKey


@dataclass(frozen=True)
class ThingRow:
    """A thing that stands; `near` says which bunker of the hole comes nearest, `is_too_near` that it is too near."""

    kind: str
    name: str
    extent: str
    clearance: str
    near: str
    is_too_near: bool
    note: str
    change_url: str
    is_chosen: bool


@dataclass(frozen=True)
class PlanView:
    """What the plan may show: `around` a bunker or a thing, "" for the whole hole."""

    around: str
    words: str
    is_shown: bool


@dataclass(frozen=True)
class KeepClearPage:
    """The page; `form` is of the thing `changing`, "" for a new one. `to_course` takes the plan to typed coordinates:
    x = a·across + b·down + c, y = d·across + e·down + f.
    """

    site_name: str
    site_url: str
    title: str
    hole_url: str
    url: str
    away_url: str
    dated: str
    version: int
    drawing: HoleDrawing
    to_course: str
    views: tuple[PlanView, ...]
    around: str
    things: ThingKey
    rows: tuple[ThingRow, ...]
    elsewhere: tuple[ThingRow, ...]
    form: ThingForm
    changing: str
    kinds: tuple[Choice, ...]
    extents: tuple[Choice, ...]
    ways: tuple[Choice, ...]
    sign: str
    faults: tuple[str, ...]
    done: str
    last_change: str
    asks_name: bool
    may_plan: bool
