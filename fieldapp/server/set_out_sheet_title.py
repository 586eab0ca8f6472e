"""What a set-out sheet says of itself: its title block, its revision, and across the plan what nobody sets out from."""

from __future__ import annotations

import math
from datetime import date

from fieldapp.model.units import METRES_PER_FOOT
from fieldapp.server.bunker_head import hole_words
from fieldapp.server.grid_words import grid_words
from fieldapp.server.record_rows import minute
from fieldapp.server.set_out_sheet_contexts import Across, TitleBlock
from fieldapp.server.set_out_sheet_layout import PlanLayout
from fieldapp.workflow.sheet_source import SheetSource

WHY_CHARACTERS = 110
NAME_CHARACTERS, HEAD_CHARACTERS = 22, 60
"""Longer names stand in smaller type: a bunker's, and those of its site and hole together."""
INCH_M = 0.0254
ACROSS_SHARE, CAPITAL_SHARE = 0.72, 0.66
"""Of the plan's diagonal, for the words across it; of the height of type, for the width of a capital."""


def title_block(
    source: SheetSource, layout: PlanLayout, today: date, sheets: int, coordinate_sign: str
) -> TitleBlock:
    """Return the title block of a set of so many sheets."""
    site, bunker, issue = source.standing.site, source.laid_out.bunker, source.issue
    hole, by_folder = hole_words(site, bunker.hole), "with the site's folder"
    inch = (
        f" (1 in is {layout.ratio * INCH_M / METRES_PER_FOOT:.2f} ft)" if site.units.ground == "foot" else ""
    )
    return TitleBlock(
        site=site.name,
        hole=hole,
        bunker=bunker.name,
        revision=bunker.revision,
        dated=minute(issue.issued_at if issue else source.since),
        person=source.draft.person if source.draft else (issue.person if issue else by_folder),
        why=_shortened(issue.why if issue else bunker.note),
        scale=f"1:{layout.ratio}",
        inch=inch,
        paper=layout.paper.words,
        grid=grid_words(source.standing.grid, site.units.ground),
        unit=f"x and y in {coordinate_sign}",
        drawn=today.isoformat(),
        status=_status(source),
        sheets=sheets,
        is_long=len(bunker.name) > NAME_CHARACTERS or len(site.name) + len(hole) > HEAD_CHARACTERS,
    )


def _shortened(words: str) -> str:
    return words if len(words) <= WHY_CHARACTERS else f"{words[: WHY_CHARACTERS - 1].rsplit(' ', 1)[0]} …"


def _status(source: SheetSource) -> str:
    if source.draft is not None:
        return f"Draft {source.draft.number}, not issued: do not set out from this"
    if not source.is_superseded:
        return ""
    if not source.stands:
        return "Taken out of the plan: do not set out from this"
    return f"Superseded by {source.stands}: do not set out from this"


def told_of_revision(source: SheetSource) -> tuple[str, ...]:
    """Return why a revision was issued, and what was acknowledged then; else the note of the bunker."""
    issue, note = source.issue, source.laid_out.bunker.note
    if issue is None:
        return (note,) if note else ()
    acknowledged = tuple(f"Acknowledged when it was issued: {words}" for words in issue.acknowledged)
    return (f"Issued because: {issue.why}", *([note] if note else []), *acknowledged)


def words_across(status: str, layout: PlanLayout) -> Across | None:
    """Write a status along the rising diagonal of the plan."""
    if not status:
        return None
    sheet, lines = layout.sheet, tuple(status.upper().split(": "))
    diagonal = math.hypot(sheet.width, sheet.height)
    size = ACROSS_SHARE * diagonal / (max(map(len, lines)) * CAPITAL_SHARE)
    return Across(lines, round(size, 1), round(-math.degrees(math.atan2(sheet.height, sheet.width)), 1))
