"""What lies on the drawing board of a hole: its bunkers as they stand and as they are being drawn."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import OutlineError
from fieldapp.formats.draft import read_draft
from fieldapp.model import DrawnShape, Hole, Outline
from fieldapp.model.draft import Draft
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.curve import build_curve
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.store.backdrops import Backdrop, standing_backdrops
from fieldapp.store.drafts import newest_drafts
from fieldapp.store.engine import Store
from fieldapp.workflow.sites import StandingSite, standing_site
from fieldapp.workflow.standing_pegs import pegs_of

TRACE_SAGITTA_M = 0.005
"""How far a line on the board may leave the true one, course metres."""

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class TracedOutline:
    """An outline as a chain of vertices `(M, 2)`, course metres; a closed one ends where it begins."""

    id: str
    part: str
    closed: bool
    trace: FloatArray


@dataclass(frozen=True)
class BunkerOnBoard:
    """A bunker of the hole. `revision` is empty where it never stood; `draft_number` is 0 where no draft is open."""

    id: str
    name: str
    revision: str
    outlines: tuple[TracedOutline, ...]
    draft_number: int


@dataclass(frozen=True)
class Board:
    """A hole as it lies on the board: the bunkers that stand in the order of the site, then those only drawn.

    `taken` are the ids of bunkers that stand or are being drawn on other holes.
    """

    standing: StandingSite
    hole: Hole
    pegs: tuple[StandingPeg, ...]
    bunkers: tuple[BunkerOnBoard, ...]
    taken: tuple[str, ...]
    backdrops: tuple[Backdrop, ...]


def board_of(store: Store, site_id: str, hole_number: int) -> Board:
    """Return what lies on the board of a hole; raises NotFoundError."""
    standing = standing_site(store, site_id)
    hole = standing.site.hole(hole_number)
    with store.reading() as transaction:
        kept, backdrops = newest_drafts(transaction, site_id), standing_backdrops(transaction, site_id)
    opened = {
        save.bunker_id: (save.number, read_draft(json.loads(save.document)))
        for save in kept
        if save.state == "open"
    }
    drawn = {key: draft for key, draft in opened.items() if draft[1].bunker.hole == hole.number}
    stands = [bunker for bunker in standing.bunkers if bunker.bunker.hole == hole.number]
    known = {bunker.id for bunker in standing.site.bunkers}
    bunkers = (
        *(_standing_bunker(bunker, opened.get(bunker.bunker.id, (0, None))[0]) for bunker in stands),
        *(_drawn_bunker(draft, number) for key, (number, draft) in drawn.items() if key not in known),
    )
    taken = tuple(sorted((known | opened.keys()) - {bunker.id for bunker in bunkers}))
    pegs = tuple(peg for peg in pegs_of(store, standing.site) if peg.is_in_place)
    return Board(standing, hole, pegs, bunkers, taken, backdrops)


def _standing_bunker(laid_out: LaidOutBunker, draft_number: int) -> BunkerOnBoard:
    bunker = laid_out.bunker
    outlines = tuple(
        TracedOutline(outline.id, outline.part, outline.curve.closed, outline.curve.vertices(TRACE_SAGITTA_M))
        for outline in laid_out.outlines
    )
    return BunkerOnBoard(bunker.id, bunker.name, bunker.revision, outlines, draft_number)


def _drawn_bunker(draft: Draft, number: int) -> BunkerOnBoard:
    bunker = draft.bunker
    return BunkerOnBoard(bunker.id, bunker.name, "", _traced(bunker.outlines), number)


def _traced(outlines: Sequence[Outline]) -> tuple[TracedOutline, ...]:
    """Trace the outlines that make a line so far."""
    found = []
    for outline in outlines:
        assert isinstance(outline.shape, DrawnShape)
        try:
            trace = build_curve(outline.shape).vertices(TRACE_SAGITTA_M)
        except OutlineError:
            continue
        found.append(TracedOutline(outline.id, outline.part, outline.shape.closed, trace))
    return tuple(found)
