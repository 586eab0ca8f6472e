"""What the page of a captured outline is given."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.capture_drawing import CaptureDrawing
from fieldapp.server.page_contexts import Fact


@dataclass(frozen=True)
class PointRow:
    """A measured point in words; `within` is its 95 % band square to the outline."""

    number: int
    how: str
    within: str


@dataclass(frozen=True)
class Confirming:
    """The form that confirms a capture: the revision it becomes, what to think of first ("" for nothing), and whether a
    name must be typed.
    """

    url: str
    revision: str
    warning: str
    asks_name: bool
    fault: str


@dataclass(frozen=True)
class CapturePage:
    """The page of one capture. `refusal` says why it cannot be confirmed, "" where it can; `confirming` is the form,
    None where there is nothing to confirm or the visitor may not.
    """

    site_name: str
    site_url: str
    bunker_name: str
    bunker_url: str
    hole: str
    dated: str
    revision: str
    heading: str
    part: str
    state: str
    lead: str
    facts: tuple[Fact, ...]
    note: str
    drawing: CaptureDrawing
    changes: tuple[Fact, ...]
    truths: tuple[Fact, ...]
    told: tuple[str, ...]
    remarks: str
    points: tuple[PointRow, ...]
    refusal: str
    may_not: str
    confirming: Confirming | None
    set_out_url: str
    write_words: str
