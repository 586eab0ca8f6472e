"""Drafts of bunkers in a store, for every test that needs some: drawn straight, in course metres."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime

from fieldapp.formats.draft import draft_document
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Outline
from fieldapp.model.draft import Draft
from fieldapp.store.drafts import KeptDraft, add_draft, newest_draft
from fieldapp.store.engine import Store
from fieldapp.workflow.sites import standing_site

SAVED = datetime(2026, 6, 1, 7, 30, tzinfo=UTC)
Points = list[tuple[float, float]]
SQUARE: Points = [(1020.0, 2200.0), (1024.0, 2200.0), (1024.0, 2204.0), (1020.0, 2204.0)]
"""The sand edge of the small site's square bunker, as it stands in revision A."""


def moved(points: Points, east_m: float) -> Points:
    """Return places so many course metres further east."""
    return [(x + east_m, y) for x, y in points]


def draft_of(
    points: Points,
    bunker: str = "square",
    hole: int = 1,
    name: str = "Square",
    grew_from: str | None = "A",
    curve: str = "straight",
) -> Draft:
    """Return a draft of a bunker that is a sand edge through points."""
    shape = DrawnShape(tuple(ControlPoint(x, y) for x, y in points), curve, True)  # type: ignore[arg-type]
    drawn = Bunker(bunker, hole, name, "", (Outline("sand", "sand edge", shape),))
    return Draft(drawn, grew_from, None if grew_from is None else 1)


def save(store: Store, site: str, draft: Draft, person: str = "Ada", state: str = "open") -> int:
    """Save a draft as the next of its bunker; return its number."""
    with store.writing() as transaction:
        newest = newest_draft(transaction, site, draft.bunker.id)
        number = newest.number + 1 if newest else 1
        document = json.dumps(draft_document(draft))
        kept = KeptDraft(site, draft.bunker.id, number, state, document, person, SAVED)  # type: ignore[arg-type]
        add_draft(transaction, kept)
    return number


def save_moved(store: Store, site: str, bunker: str, east_m: float, person: str = "Ada") -> str:
    """Save a draft of a bunker as it stands, so many course metres further east; return the revision it grew from."""
    standing = standing_site(store, site)
    drawn = next(one for one in standing.bunkers if one.bunker.id == bunker)
    outlines = tuple(
        replace(
            drawn.bunker.outline(outline.id),
            shape=DrawnShape(
                tuple(ControlPoint(float(x) + east_m, float(y)) for x, y in outline.points.xy),
                "smooth",
                outline.curve.closed,
            ),
        )
        for outline in drawn.outlines
    )
    new = replace(drawn.bunker, revision="", place=None, plan=None, outlines=outlines)
    save(store, site, Draft(new, drawn.bunker.revision, standing.sequence), person)
    return drawn.bunker.revision
