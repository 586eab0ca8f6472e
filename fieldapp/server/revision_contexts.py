"""What the pages of revisions are given: the issue of a draft, and the list and comparison of revisions."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.server.hole_contexts import Choice
from fieldapp.server.revision_drawing import RevisionDrawing


@dataclass(frozen=True)
class FigureRow:
    """A figure of both revisions and the change, each with its unit; a dash where there is none."""

    name: str
    old: str
    new: str
    change: str


@dataclass(frozen=True)
class OutlineFates:
    """How many of an outline's paint points met which fate, the farthest that one moved, and the line moved."""

    part: str
    old: str
    new: str
    unmoved: int
    moved: int
    appear: int
    disappear: int
    farthest: str
    line: str


@dataclass(frozen=True)
class PointFate:
    """What becomes of one paint point, in words; a dash where it has no number."""

    part: str
    old: str
    new: str
    fate: str
    moved: str
    off: str


@dataclass(frozen=True)
class ComparedBlock:
    """Two revisions side by side: `old` is "" where there is none to compare with."""

    old: str
    new: str
    summary: str
    drawing: RevisionDrawing
    outlines: tuple[OutlineFates, ...]
    figures: tuple[FigureRow, ...]
    figures_caption: str
    points: tuple[PointFate, ...]


@dataclass(frozen=True)
class NearTick:
    """Something that the draft comes too near to: `name` of its tick box, what it says, whether it is ticked."""

    name: str
    words: str
    caution: str
    note: str
    ticked: bool


@dataclass(frozen=True)
class IssueForm:
    """The form as it was filled in."""

    draft: int
    revision: str
    why: str
    person: str
    asks_name: bool
    near: tuple[NearTick, ...]
    over: str
    over_revision: str
    over_words: str
    over_ticked: bool


@dataclass(frozen=True)
class IssuePage:
    """The page on which a draft is issued; `compared` is None, and `cannot` says why, where it makes no bunker.

    `remark` tells what its figures leave out, empty where nothing is.
    """

    site_name: str
    site_url: str
    site_id: str
    bunker_id: str
    bunker_name: str
    bunker_url: str
    revisions_url: str
    board_url: str
    url: str
    heading: str
    lead: str
    fault: str
    cannot: str
    remark: str
    compared: ComparedBlock | None
    form: IssueForm


@dataclass(frozen=True)
class IssueGonePage:
    """What is shown to somebody whose draft is not open any more: why, and the words they had typed."""

    site_name: str
    site_url: str
    site_id: str
    bunker_id: str
    heading: str
    board_url: str
    revisions_url: str
    fault: str
    revision: str
    why: str


@dataclass(frozen=True)
class RevisionRow:
    """A revision in the list; `acknowledged` is what it comes too near to, as it was told when it was issued."""

    name: str
    stands: bool
    since: str
    person: str
    why: str
    came_from: str
    came_from_url: str
    acknowledged: tuple[str, ...]


@dataclass(frozen=True)
class OldMarkRow:
    """A mark of an older revision against the line that stands."""

    id: str
    revision: str
    part: str
    number: int
    state: str
    off: str
    person: str
    made_at: str


@dataclass(frozen=True)
class RevisionsPage:
    """The revisions of a bunker, two of them compared, and the marks of older ones."""

    site_name: str
    site_url: str
    bunker_name: str
    bunker_url: str
    url: str
    csv_url: str
    standing: str
    fault: str
    remark: str
    rows: tuple[RevisionRow, ...]
    old: tuple[Choice, ...]
    new: tuple[Choice, ...]
    compared: ComparedBlock | None
    marks_words: str
    marks: tuple[OldMarkRow, ...]
    issue_url: str
    issue_words: str
    board_url: str
    sheet_url: str
