"""What each page is given: one frozen, typed context a template."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.plan_drawing import Drawing


@dataclass(frozen=True)
class Fact:
    """A named fact in words."""

    name: str
    value: str


@dataclass(frozen=True)
class SiteCard:
    """One site on the list of sites."""

    id: str
    name: str
    counts: str
    progress: str
    drawing: Drawing


@dataclass(frozen=True)
class SitesPage:
    """The list of sites; `waiting` leads a planner to those that are being made or changed."""

    sites: tuple[SiteCard, ...]
    waiting: tuple[HoleLink, ...]


@dataclass(frozen=True)
class TeeRow:
    """A tee of a hole, and the hole's length from it along the line of play."""

    hole: str
    tee: str
    yards: str
    metres: str


@dataclass(frozen=True)
class HoleLink:
    """The way to a page of a hole, a draft, a bunker that is gone or a site being made, and what there is on it."""

    url: str
    name: str
    words: str


@dataclass(frozen=True)
class Figure:
    """A figure of a bunker as drawn and as planned, each with its unit; a dash where there is none."""

    name: str
    drawn: str
    planned: str


@dataclass(frozen=True)
class OutlineRow:
    """How far an outline has been painted."""

    part: str
    points: int
    done: int
    length: str
    area: str


@dataclass(frozen=True)
class MarkRow:
    """One standing mark, in words; `older` says of one of an older revision whether it is still good, else ""."""

    id: str
    part: str
    number: int
    verdict: str
    off: str
    radius: str
    person: str
    came_by: str
    made_at: str
    revision: str
    older: str
    remarks: str


@dataclass(frozen=True)
class PegVisitRow:
    """A check-in or a trial on a peg, in words."""

    id: str
    kind: str
    person: str
    came_by: str
    receiver: str
    peg: str
    shift: str
    worth: str
    made_at: str


@dataclass(frozen=True)
class YardageCheckRow:
    """A standing yardage check, in words; `tells` is what else is to be read of it: what would settle it, remarks."""

    id: str
    bunker: str
    figure: str
    tee: str
    measured: str
    planned: str
    difference: str
    tolerance: str
    verdict: str
    person: str
    came_by: str
    receiver: str
    made_at: str
    revision: str
    older: bool
    tells: tuple[str, ...]


@dataclass(frozen=True)
class CaptureRow:
    """A capture on the site page, in words."""

    id: str
    url: str
    part: str
    how: str
    person: str
    came_by: str
    made_at: str
    revision: str
    state: str
    waits: bool


@dataclass(frozen=True)
class DrawingLink:
    """A file that a bunker can be taken out as."""

    name: str
    words: str
    url: str


@dataclass(frozen=True)
class BunkerSection:
    """One bunker on the site page: `issued` says when and by whom its revision was issued, `old_marks` how many marks
    of older ones are still good, `near` what it comes too near to; `issue_url` leads a planner to its open draft, ""
    where there is none.
    """

    id: str
    name: str
    hole: int
    revision: str
    issued: str
    why: str
    note: str
    near: tuple[str, ...]
    drawing: Drawing
    progress: str
    outlines: tuple[OutlineRow, ...]
    figures_caption: str
    figures: tuple[Figure, ...]
    marks: tuple[MarkRow, ...]
    old_marks: str
    twice: tuple[str, ...]
    checks: tuple[YardageCheckRow, ...]
    captures: tuple[CaptureRow, ...]
    set_out_url: str
    qr_url: str
    pegs_url: str
    pegs_qr_url: str
    hole_url: str
    tape_url: str
    drawings: tuple[DrawingLink, ...]
    issue_url: str
    issue_words: str


@dataclass(frozen=True)
class SitePage:
    """The page of one site; `new_drafts` lead a planner to the open drafts of bunkers that never stood,
    `gone` to bunkers that were painted and are in the plan no more.
    """

    id: str
    name: str
    note: str
    dated: str
    facts: tuple[Fact, ...]
    notes: tuple[str, ...]
    drawing: Drawing
    holes: tuple[HoleLink, ...]
    tees: tuple[TeeRow, ...]
    bunkers: tuple[BunkerSection, ...]
    new_drafts: tuple[HoleLink, ...]
    gone: tuple[HoleLink, ...]
    qr_words: str
    field_url: str
    pegs_url: str
    backdrops_url: str
    peg_visits: tuple[PegVisitRow, ...]
    record_words: str
    csv_url: str
    geojson_url: str
    hand_in_url: str


@dataclass(frozen=True)
class HandedInFile:
    """What became of one file of records, in words; `whole` says that all of it is held now.

    `more_refused` and `more_remarks` count those that are not shown.
    """

    words: str
    whole: bool
    refused: tuple[str, ...]
    more_refused: int
    remarks: tuple[str, ...]
    more_remarks: int


@dataclass(frozen=True)
class HandInPage:
    """The page for files that phones handed over; `files` are those just handed in."""

    site_name: str
    site_url: str
    hand_in_url: str
    fault: str
    files: tuple[HandedInFile, ...]


@dataclass(frozen=True)
class ProblemPage:
    """A refusal, for a person; to one who is in, it offers the way to the sites.

    To one who is not, `asks_link` offers to paste an invitation link; `way_on` is the own path to go on to then.
    """

    title: str
    detail: str
    is_in: bool
    asks_link: bool
    enter_url: str
    way_on: str


@dataclass(frozen=True)
class TrustPage:
    """How a phone comes to trust this machine; `not_needed` says why there is nothing to do, or is None.

    `phones` are "iphone" and "android" in the order to show; `fingerprint` is in lines of eight pairs.
    """

    not_needed: str | None
    phones: tuple[str, ...]
    is_not_safari: bool
    authority: str
    fingerprint: tuple[str, ...]
    names: str
    ends: str
    https_url: str
