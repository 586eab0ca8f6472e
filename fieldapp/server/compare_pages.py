"""The page of an old bunker beside a new one, with the visitor's own list of players."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.model import Hole
from fieldapp.server.compare_contexts import ComparePage
from fieldapp.server.comparison import OldAndNew, comparison
from fieldapp.server.hole_asking import allowance_of, chosen, hole_of, read_or_fault
from fieldapp.server.hole_pages import UNFIT, choices, ground_of, title_of
from fieldapp.server.kept_carries import keep_list, list_kept
from fieldapp.server.pages import page_answer
from fieldapp.server.player_carries import PlayerList, read_players
from fieldapp.server.yardage_words import YardageWords
from fieldapp.workflow.hole_table import standing_table
from fieldapp.workflow.sites import StandingSite, standing_site

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True)
class CompareAsked:
    """What is asked: two bunkers by id ("" where not chosen), players, an allowance; what was typed stays."""

    old: str
    new: str
    carries: str
    players: PlayerList
    allowance_typed: str
    allowance_m: float
    faults: tuple[str, ...]


@router.get("/sites/{site_id}/holes/{hole}/compare")
def compare(request: Request, site_id: str, hole: str) -> Response:
    """Show an old bunker beside a new one; a list of players that is typed is kept by the browser."""
    standing = standing_site(request.app.state.store, site_id)
    found = hole_of(standing.site, hole)
    unit = standing.site.units.yardage
    query = dict(request.query_params)
    typed = "carries" in query
    asked = read_compared(standing, found, {"carries": list_kept(request, unit)} | query)
    answer = page_answer(request, "compare.html", page_of_compared(standing, found, asked))
    answer.status_code = UNFIT if asked.faults else 200
    if typed and not asked.faults:
        keep_list(request, answer, asked.carries, unit)
    return answer


def read_compared(standing: StandingSite, hole: Hole, query: Mapping[str, str]) -> CompareAsked:
    """Read the query; two bunkers that were not chosen are the first two of the hole."""
    site = standing.site
    faults: list[str] = []
    named = {bunker.id: bunker.name for bunker in site.bunkers if bunker.hole == hole.number}
    kind = f"bunker of hole {hole.number}"
    old, new = (
        read_or_fault(partial(chosen, query.get(which, "").strip(), named, kind), faults) or ""
        for which in ("old", "new")
    )
    old = old or next((key for key in named if key != new), "")
    new = new or next((key for key in named if key != old), "")
    if old and old == new:
        faults.append(f"Both are {named[old]}; choose two different bunkers.")
    carries, allowance = query.get("carries", ""), query.get("allowance", "").strip()
    players = read_or_fault(lambda: read_players(carries, site.units.yardage), faults) or PlayerList((), ())
    allowance_m = read_or_fault(lambda: allowance_of(site, allowance), faults) or 0.0
    return CompareAsked(old, new, carries, players, allowance, allowance_m, tuple(faults))


def page_of_compared(standing: StandingSite, hole: Hole, asked: CompareAsked) -> ComparePage:
    """Build the page."""
    site, words = standing.site, YardageWords(standing.site.units.yardage)
    base = f"/sites/{site.id}/holes/{hole.number}"
    named = [(bunker.id, bunker.name) for bunker in site.bunkers if bunker.hole == hole.number]
    both = _both(standing, hole, asked)
    return ComparePage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        hole_title=title_of(hole),
        hole_url=base,
        url=f"{base}/compare",
        unit=words.unit,
        sign=words.sign,
        faults=asked.faults,
        remarks=asked.players.remarks,
        old=choices(named, asked.old),
        new=choices(named, asked.new),
        carries=asked.carries,
        allowance_typed=asked.allowance_typed,
        allowance=words.short(asked.allowance_m) if asked.allowance_m else "",
        missing=_missing(hole, len(named)),
        comparison=comparison(both, asked.players.players, words) if both else None,
    )


def _both(standing: StandingSite, hole: Hole, asked: CompareAsked) -> OldAndNew | None:
    table = standing_table(standing, hole).rows
    old, new = (
        tuple(row for row in table if row.bunker.bunker.id == wanted) for wanted in (asked.old, asked.new)
    )
    if not old or not new or asked.old == asked.new:
        return None
    return OldAndNew(ground_of(standing, hole), old, new, asked.allowance_m)


def _missing(hole: Hole, count: int) -> str:
    if count > 1:
        return ""
    has = "one bunker" if count else "no bunkers"
    return f"Hole {hole.number} has {has}; add the other to the site file, to be compared with it."
