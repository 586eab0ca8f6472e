"""The one-page sheet of a hole, to print: its plan at a true ratio with carry arcs, its yardages, measuring notes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import partial
from itertools import groupby

from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.model import Hole, Tee
from fieldapp.model.units import METRES_PER
from fieldapp.play.hole_yardages import BunkerFromTee
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.asked_lengths import Limits, read_length_m
from fieldapp.server.carry_arcs import ArcsAsked
from fieldapp.server.hole_asking import chosen, hole_of, read_or_fault
from fieldapp.server.hole_drawing import draw_hole
from fieldapp.server.hole_pages import UNFIT, choices, ground_of, table_of, title_of
from fieldapp.server.pages import page_answer
from fieldapp.server.sheet_contexts import FurtherPage, SheetBlock, SheetPage, SheetRow
from fieldapp.server.sheet_layout import PAPERS, SheetLayout, TableText, lay_out_sheet
from fieldapp.server.yardage_words import UNBROKEN, YardageWords
from fieldapp.workflow.sites import StandingSite, standing_site

STEP = Limits(10, 200)
ROUND_STEPS = (50, 100, 25, 20, 10, 75, 40, 15, 200)
"""Steps between arcs, the ones that people count in first."""
FEWEST_ARCS, MOST_ARCS = 6, 10
A4 = "a4"

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True)
class SheetAsked:
    """What is asked of the sheet: the tee its arcs start from, their step, the paper."""

    tee: Tee
    step_m: float
    step_typed: str
    paper: str
    faults: tuple[str, ...]


@router.get("/sites/{site_id}/holes/{hole}/sheet")
def sheet(request: Request, site_id: str, hole: str) -> Response:
    """Show the sheet of a hole as it is printed."""
    standing = standing_site(request.app.state.store, site_id)
    found = hole_of(standing.site, hole)
    asked = read_sheet_asked(standing, found, request.query_params)
    page = page_of_sheet(standing, found, asked, datetime.now(UTC).date())
    answer = page_answer(request, "hole_sheet.html", page)
    answer.status_code = UNFIT if asked.faults else 200
    return answer


def read_sheet_asked(standing: StandingSite, hole: Hole, query: Mapping[str, str]) -> SheetAsked:
    """Read the query of a sheet; without one: the hole's first tee, a step that suits it, A4."""
    site, faults = standing.site, list[str]()
    tees = {tee.id: tee.name for tee in site.tees_of(hole.number)}
    tee_id = read_or_fault(
        partial(chosen, query.get("tee", "").strip(), tees, f"tee of hole {hole.number}"), faults
    )
    tee = site.tee(tee_id or next(iter(tees)))
    papers = {paper.name: paper.words for paper in PAPERS.values()}
    paper = read_or_fault(partial(chosen, query.get("paper", "").strip(), papers, "paper"), faults) or A4
    unit, typed = site.units.yardage, query.get("step", "").strip()
    step_m = (
        read_or_fault(partial(read_length_m, typed, unit, STEP, "the step between arcs"), faults)
        if typed
        else None
    )
    suits = step_for(_length_m(standing, hole, tee) / METRES_PER[unit])
    return SheetAsked(
        tee=tee,
        step_m=step_m or suits * METRES_PER[unit],
        step_typed=typed or f"{suits}",
        paper=paper,
        faults=tuple(faults),
    )


def step_for(length: float) -> int:
    """Return a round step between arcs along a line of play, both in the yardage unit: six to ten arcs, or nearly."""
    suits = (step for step in ROUND_STEPS if FEWEST_ARCS <= length // step <= MOST_ARCS)
    return next(suits, min(ROUND_STEPS) if length < MOST_ARCS * min(ROUND_STEPS) else max(ROUND_STEPS))


def page_of_sheet(standing: StandingSite, hole: Hole, asked: SheetAsked, today: date) -> SheetPage:
    """Build the sheet."""
    site, words = standing.site, YardageWords(standing.site.units.yardage)
    blocks = _blocks(table_of(standing, hole), words)
    ground = ground_of(standing, hole)
    texts = [TableText(block.name, [row.tee for row in block.rows]) for block in blocks]
    layout = lay_out_sheet(ground, PAPERS[asked.paper], texts)
    arcs = _arcs(standing, hole, asked)
    base = f"/sites/{site.id}/holes/{hole.number}"
    return SheetPage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        hole_title=title_of(hole),
        hole_url=base,
        url=f"{base}/sheet",
        faults=asked.faults,
        tees=choices([(tee.id, tee.name) for tee in ground.tees], asked.tee.id),
        papers=choices([(paper.name, paper.words) for paper in PAPERS.values()], asked.paper),
        paper=asked.paper,
        paper_words=PAPERS[asked.paper].words,
        step_typed=asked.step_typed,
        arrangement=layout.arrangement,
        type_size=layout.size.name,
        drawing=draw_hole(ground, layout.plan, arcs=arcs),
        plan_width_mm=layout.plan_width_mm,
        plan_height_mm=layout.plan_height_mm,
        scale=f"1:{layout.ratio}",
        arcs_words=_arcs_words(asked, words),
        lengths=_lengths(standing, hole, words),
        unit=words.unit,
        sign=words.sign,
        blocks=blocks[: layout.bunkers_on_first],
        further=_further(blocks, layout),
        notes=_notes(hole, layout, words),
        dated=today.isoformat(),
    )


def _blocks(table: Sequence[BunkerFromTee], words: YardageWords) -> tuple[SheetBlock, ...]:
    found = []
    for _, group in groupby(table, lambda row: row.bunker.bunker.id):
        rows = tuple(group)
        bunker = rows[0].bunker.bunker
        found.append(SheetBlock(bunker.name, bunker.revision, tuple(_row(row, words) for row in rows)))
    return tuple(found)


def _further(blocks: Sequence[SheetBlock], layout: SheetLayout) -> tuple[FurtherPage, ...]:
    """Return the pages after the first, two columns each."""
    columns = [tuple(blocks[number] for number in column) for column in layout.further]
    return tuple(tuple(columns[at : at + 2]) for at in range(0, len(columns), 2))


def _row(row: BunkerFromTee, words: YardageWords) -> SheetRow:
    shot = row.to_middle
    return SheetRow(
        tee=row.tee.name,
        reach=words.figure(shot.reach_m if shot else None),
        carry=words.figure(shot.carry_m if shot else None),
        along=words.figure(row.along_m),
        off=words.side(row.offset_m),
        is_behind=row.is_behind,
    )


def _arcs(standing: StandingSite, hole: Hole, asked: SheetAsked) -> ArcsAsked:
    """Return the arcs as far as the line of play is long."""
    furthest_m = _length_m(standing, hole, asked.tee)
    return ArcsAsked(asked.tee, asked.step_m, furthest_m, METRES_PER[standing.site.units.yardage])


def _arcs_words(asked: SheetAsked, words: YardageWords) -> str:
    return f"arcs every {words.short_with_unit(asked.step_m)} from {asked.tee.name}"


def _length_m(standing: StandingSite, hole: Hole, tee: Tee) -> float:
    """Return the length of a hole along the line of play from a tee, ground metres."""
    return line_of_play(standing.site, tee).length_m * standing.ground_scale(hole.number)


def _lengths(standing: StandingSite, hole: Hole, words: YardageWords) -> tuple[str, ...]:
    return tuple(
        f"{tee.name}{UNBROKEN}{words.whole(_length_m(standing, hole, tee))}"
        for tee in standing.site.tees_of(hole.number)
    )


def _notes(hole: Hole, layout: SheetLayout, words: YardageWords) -> tuple[str, ...]:
    turns = len(hole.turning_points)
    round_turns = {0: "straight to", 1: "over its turning point to"}.get(
        turns, f"over its {turns} turning points to"
    )
    unit = "yards of 0.9144\u00a0m" if words.unit == "yard" else "metres"
    return (
        f"Distances are level, on the ground, from the tee plate, in {unit}.",
        "Reach and carry: straight from the plate at the bunker's middle, to the first sand and to the end of the "
        "last; nothing is added for landing.",
        f"Along and off the line: the bunker's middle by the line of play, which runs from the plate {round_turns} the "
        "centre of the green.",
        "Arcs: straight from the plate. A rangefinder reads along the slope, which is longer.",
        f"The scale is true on {layout.paper.words} printed at 100\u00a0%, not fitted to the page.",
    )
