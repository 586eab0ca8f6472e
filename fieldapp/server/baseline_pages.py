"""The base line of a bunker: as a page that prints, and as CSV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.errors import InputError, NotFoundError
from fieldapp.formats.tape_limits import EVERY
from fieldapp.formats.tie_table import baseline_csv
from fieldapp.server.asked_lengths import read_length_m, shown
from fieldapp.server.baseline_building import BaselineAsked, baseline_page
from fieldapp.server.hole_asking import read_or_fault
from fieldapp.server.pages import page_answer
from fieldapp.server.tie_pages import csv_answer
from fieldapp.tape.bunker_points import (
    BunkerPoints,
    LeftOut,
    can_tape_from,
    left_out,
    peg_called,
    pegs_of_bunker,
    site_square_unit_m,
    site_tape,
    tie_peg,
)
from fieldapp.tape.squared_bunker import SquaredBunker, squared_bunker, usual_string
from fieldapp.tape.ties import TiePeg
from fieldapp.workflow.sites import StandingSite, standing_site
from fieldapp.workflow.standing_pegs import pegs_of
from fieldapp.workflow.tying import standing_points

UNFIT = 422
EXAMPLES = "1 or 2.5m"

router = APIRouter(include_in_schema=False)


@router.get("/sites/{site_id}/bunkers/{bunker_id}/baseline")
def baseline(request: Request, site_id: str, bunker_id: str) -> Response:
    """Show the base line of a bunker: between the pegs asked for, else those two that do best."""
    found = _found(request, site_id, bunker_id)
    page = baseline_page(
        found.standing,
        found.asked,
        found.points,
        found.pegs,
        found.left_out,
        found.squared,
        site_tape(found.standing.site),
        datetime.now(UTC).date(),
    )
    answer = page_answer(request, "baseline.html", page)
    answer.status_code = UNFIT if found.asked.faults else 200
    return answer


@router.get("/sites/{site_id}/bunkers/{bunker_id}/baseline.csv")
def baseline_file(request: Request, site_id: str, bunker_id: str) -> Response:
    """Answer with the base line as CSV."""
    found = _found(request, site_id, bunker_id)
    if found.asked.faults:
        raise InputError(found.asked.faults[0])
    if found.squared is None:
        raise NotFoundError(
            f"Near bunker '{bunker_id}' no two pegs stand, so there is no string to measure from."
        )
    return csv_answer(
        "".join(baseline_csv(found.standing.site, found.squared)), f"{site_id}-{bunker_id}-baseline.csv"
    )


@dataclass(frozen=True, eq=False)
class _Found:
    standing: StandingSite
    points: BunkerPoints
    pegs: Sequence[TiePeg]
    left_out: Sequence[LeftOut]
    asked: BaselineAsked
    squared: SquaredBunker | None


def _found(request: Request, site_id: str, bunker_id: str) -> _Found:
    store = request.app.state.store
    standing = standing_site(store, site_id)
    points = standing_points(standing, bunker_id)
    own = pegs_of_bunker(pegs_of(store, standing.site), points, site_tape(standing.site))
    pegs = [tie_peg(peg, points.scale) for peg in own if can_tape_from(peg)]
    asked, squared = _read(standing, points, pegs, request.query_params)
    return _Found(standing, points, pegs, left_out(own), asked, squared)


def _usual_ends(standing: StandingSite, points: BunkerPoints, pegs: Sequence[TiePeg]) -> tuple[str, str]:
    """Return the two pegs of the string to begin with, "" where no two stand."""
    best = usual_string(points, pegs, site_tape(standing.site), site_square_unit_m(standing.site))
    return ("", "") if best is None else (best.start.id, best.end.id)


def _read(
    standing: StandingSite, points: BunkerPoints, pegs: Sequence[TiePeg], query: Mapping[str, str]
) -> tuple[BaselineAsked, SquaredBunker | None]:
    """Return what is asked, and the bunker by that string where it can be."""
    site, faults = standing.site, list[str]()
    usual = _usual_ends(standing, points, pegs)
    start, end = (query.get(name, "").strip() or peg for name, peg in zip(("from", "to"), usual, strict=True))
    typed = query.get("every", "").strip()
    every_m = (
        read_or_fault(
            partial(read_length_m, typed, site.units.ground, EVERY, "the spacing along the string", EXAMPLES),
            faults,
        )
        if typed
        else None
    )
    bunker = points.laid_out.bunker.id
    ends = [read_or_fault(partial(peg_called, pegs, name, bunker), faults) for name in (start, end) if name]
    squared = None
    if len(ends) == 2 and ends[0] and ends[1] and not faults:
        tape, unit_m = site_tape(site), site_square_unit_m(site)
        squared = read_or_fault(
            partial(squared_bunker, points, ends[0], ends[1], tape, every_m, unit_m), faults
        )
    return BaselineAsked(shown(start), shown(end), shown(typed), tuple(faults)), squared
