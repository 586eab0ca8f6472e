"""What the pages on which a site is made are given: forms of plain fields, and what is still missing."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from fieldapp.server.plan_drawing import DrawnSpot
from fieldapp.server.plan_sheet import ScaleBar

FieldKind = Literal["text", "area", "select", "tick", "radio", "hidden"]


@dataclass(frozen=True)
class Choice:
    """One entry of a field to choose from."""

    value: str
    words: str


@dataclass(frozen=True)
class Field:
    """A field of a form: `name` in the form, what it is called, what stands in it; `is_wide` takes a whole line."""

    name: str
    label: str
    value: str = ""
    kind: FieldKind = "text"
    choices: tuple[Choice, ...] = ()
    hint: str = ""
    is_wide: bool = False


@dataclass(frozen=True)
class WayOn:
    """A link with its words."""

    url: str
    words: str


@dataclass(frozen=True)
class FieldRow:
    """Fields that belong together under a name, such as all of one tee; `lead` explains them."""

    name: str
    fields: tuple[Field, ...]
    lead: str = ""
    choice: Field | None = None
    way_on: WayOn | None = None
    is_spare: bool = False


@dataclass(frozen=True)
class Fault:
    """What cannot be read: the name of its field, empty where it is none's, and the sentence."""

    name: str
    words: str


@dataclass(frozen=True)
class ClickPlan:
    """The plan on which turning points are clicked, grid north up: course metres at its middle, pixels a metre, and
    metres in a unit of the site's coordinates.
    """

    width: float
    height: float
    bar: ScaleBar
    centre: tuple[float, float]
    px_per_m: float
    metres_per_unit: float
    spots: tuple[DrawnSpot, ...]
    fairway: str
    tees: tuple[tuple[float, float], ...]
    green: tuple[float, float] | None


@dataclass(frozen=True)
class EditPart:
    """A part of a site being made, as its form. `opened_at` is the save, and the version, it was filled from."""

    site_name: str
    site_id: str
    is_new: bool
    title: str
    lead: str
    url: str
    opened_at: str
    rows: tuple[FieldRow, ...]
    faults: tuple[Fault, ...] = ()
    said: str = ""
    told: tuple[str, ...] = ()
    next_way: WayOn | None = None
    plan: ClickPlan | None = None


@dataclass(frozen=True)
class PartLink:
    """The way to a part, and what there is of it."""

    url: str
    name: str
    words: str


@dataclass(frozen=True)
class ReadPlace:
    """A place as a phone read it, in words; `taken_at` is where it can be taken."""

    words: str
    taken_at: WayOn


@dataclass(frozen=True)
class EditPage:
    """A site being made or changed: its parts, what it lacks, what phones have read."""

    site_name: str
    site_id: str
    is_new: bool
    is_open: bool
    number: int
    saved: str
    parts: tuple[PartLink, ...]
    lacks: tuple[WayOn, ...]
    places: tuple[ReadPlace, ...]
    places_url: str
    qr_words: str
    fault: str = ""


@dataclass(frozen=True)
class NewSitePage:
    """The form to begin a site; `may_bring_back` shows that for a backup too."""

    name: str
    id: str
    may_bring_back: bool
    faults: tuple[str, ...] = ()
    fault_of_backup: tuple[str, ...] = ()
    said: str = ""
    said_url: str = ""
    drafts: tuple[WayOn, ...] = field(default=())
