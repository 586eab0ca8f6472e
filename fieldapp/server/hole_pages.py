"""The page of a hole: its plan, its yardage table, carry against aim."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from urllib.parse import urlencode

import numpy as np
from fastapi import APIRouter, Request
from fastapi.responses import Response

from fieldapp.errors import InputError
from fieldapp.formats.yardage_table import yardage_csv
from fieldapp.model import Bunker, HeldRecord, Hole
from fieldapp.model.units import METRES_PER
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.hole_yardages import AimLine, BunkerFromTee
from fieldapp.play.line_of_play import hole_length, line_of_play
from fieldapp.server.aim_on_plan import aim_on_ground
from fieldapp.server.aim_told import aim_meets, beyond_green
from fieldapp.server.bunker_blocks import bunker_blocks
from fieldapp.server.carry_against_aim import carry_against_aim, no_carry_words
from fieldapp.server.hole_asking import HoleAsked, aim_words, hole_of, read_asked
from fieldapp.server.hole_contexts import CarryAgainstAim, CheckedBunker, Choice, HolePage
from fieldapp.server.hole_drawing import HoleDrawing, HoleOnGround, draw_hole, fit_hole
from fieldapp.server.keep_clear_key import thing_key
from fieldapp.server.page_contexts import Fact
from fieldapp.server.pages import page_answer
from fieldapp.server.yardage_check_rows import yardage_check_rows
from fieldapp.server.yardage_words import YardageWords
from fieldapp.workflow.hole_table import standing_table
from fieldapp.workflow.keep_clear import near_hole
from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.sites import StandingSite, standing_site

UNFIT = 422
PLAN_WIDTH_PX, PLAN_MOST_HEIGHT_PX = 340.0, 760.0

router = APIRouter(include_in_schema=False)
BYTE_ORDER_MARK = "\ufeff"
"""Without it a spreadsheet that opens the file may show the letters ä and ö as others."""


@router.get("/sites/{site_id}/holes/{hole}")
def hole_page(request: Request, site_id: str, hole: str) -> Response:
    """Show the page of a hole."""
    standing = standing_site(request.app.state.store, site_id)
    found = hole_of(standing.site, hole)
    asked = read_asked(standing.site, found, request.query_params)
    held = held_records_of(request.app.state.store, site_id, found.number)
    page = page_of_hole(standing, found, asked, held, datetime.now(UTC).date())
    answer = page_answer(request, "hole.html", page)
    answer.status_code = UNFIT if asked.faults else 200
    return answer


@router.get("/sites/{site_id}/holes/{hole}/yardage.csv")
def hole_csv(request: Request, site_id: str, hole: str) -> Response:
    """Answer with the yardage table of a hole as CSV."""
    standing = standing_site(request.app.state.store, site_id)
    found = hole_of(standing.site, hole)
    asked = read_asked(standing.site, found, request.query_params)
    if asked.faults:
        raise InputError(asked.faults[0])
    table = standing_table(standing, found, asked.aim, asked.allowance_m)
    headers = {"content-disposition": f'attachment; filename="{site_id}-hole-{found.number}-yardage.csv"'}
    text = BYTE_ORDER_MARK + "".join(yardage_csv(table))
    return Response(text, media_type="text/csv; charset=utf-8", headers=headers)


def bunkers_of(standing: StandingSite, hole: Hole) -> tuple[LaidOutBunker, ...]:
    """Return the laid-out bunkers of a hole."""
    return tuple(bunker for bunker in standing.bunkers if bunker.bunker.hole == hole.number)


def ground_of(standing: StandingSite, hole: Hole) -> HoleOnGround:
    """Return what a plan of a hole is drawn from."""
    convergence = float(standing.grid.convergence_deg(np.array([hole.green_x, hole.green_y])))
    scale = standing.ground_scale(hole.number)
    return HoleOnGround(standing.site, hole, bunkers_of(standing, hole), scale, convergence)


def title_of(hole: Hole) -> str:
    """Return what a hole is called on its pages."""
    return f"Hole {hole.number}, {hole.name}" if hole.name else f"Hole {hole.number}"


def board_url(site_id: str, bunker: Bunker) -> str:
    """Return the address of the drawing board with a bunker on it."""
    return f"/sites/{site_id}/holes/{bunker.hole}/board?bunker={bunker.id}"


def length_facts(standing: StandingSite, hole: Hole) -> tuple[Fact, ...]:
    """Return the length of a hole along the line of play from each tee."""
    scale, unit = standing.ground_scale(hole.number), standing.site.units.yardage
    found = []
    for tee in standing.site.tees_of(hole.number):
        line = line_of_play(standing.site, tee)
        metres = f"{hole_length(line, scale)} m"
        length = (
            metres if unit == "metre" else f"{line.length_m * scale / METRES_PER['yard']:.0f} yd, {metres}"
        )
        found.append(Fact(tee.name, length))
    return tuple(found)


def choices(named: Sequence[tuple[str, str]], chosen: str) -> tuple[Choice, ...]:
    """Return things to choose from, one of them chosen."""
    return tuple(Choice(key, name, key == chosen) for key, name in named)


def page_of_hole(
    standing: StandingSite, hole: Hole, asked: HoleAsked, held: Sequence[HeldRecord], today: date
) -> HolePage:
    """Build the page of a hole; `held` are its records."""
    site, words = standing.site, YardageWords(standing.site.units.yardage)
    table = standing_table(standing, hole, asked.aim).rows
    shown = _shown(table, asked)
    carry, no_carry = _carry(standing, shown, asked, hole)
    base = f"/sites/{site.id}/holes/{hole.number}"
    tees = [(tee.id, tee.name) for tee in site.tees_of(hole.number)]
    bunkers = [(bunker.bunker.id, bunker.bunker.name) for bunker in bunkers_of(standing, hole)]
    tee_id = shown.tee.id if shown else asked.tee or tees[0][0]
    return HolePage(
        site_name=site.name,
        site_url=f"/sites/{site.id}",
        title=title_of(hole),
        facts=length_facts(standing, hole),
        dated=f"drawn {today.isoformat()}",
        drawing=_drawing(standing, hole, tee_id, asked.aim, table),
        unit=words.unit,
        sign=words.sign,
        form=asked.form,
        url=base,
        faults=asked.faults,
        aim_words=aim_words(asked.aim, words) if asked.aim else "",
        aim_beyond=beyond_green(site, hole, asked.aim, standing.ground_scale(hole.number), words)
        if asked.aim
        else "",
        aim_meets=aim_meets(table, words) if asked.aim else "",
        allowance=words.short(asked.allowance_m) if asked.allowance_m else "",
        blocks=bunker_blocks(site, table, asked.allowance_m),
        bunkers=choices(bunkers, shown.bunker.bunker.id if shown else ""),
        tees=choices(tees, tee_id),
        carry=carry,
        no_carry=no_carry,
        checked=_checked(standing, hole, held),
        csv_url=f"{base}/yardage.csv{_query(asked)}",
        import_url=f"/sites/{standing.site.id}/import?hole={hole.number}",
        sheet_url=f"{base}/sheet?{urlencode({'tee': tee_id})}",
        board_url=f"{base}/board",
        compare_url=f"{base}/compare",
        sight_url=f"{base}/sight",
        keep_clear_url=f"{base}/keep-clear",
        things=thing_key(near_hole(standing, hole).near),
    )


def _shown(table: Sequence[BunkerFromTee], asked: HoleAsked) -> BunkerFromTee | None:
    """Return the row that carry against aim is shown for: what was chosen, else a slanted one from its plan's tee."""
    of_bunker = (
        [row for row in table if row.bunker.bunker.id == asked.bunker] if asked.bunker else list(table)
    )
    of_tee = [row for row in of_bunker if row.tee.id == asked.tee] if asked.tee else of_bunker
    planned = [row for row in of_tee if row.compared and not row.is_behind] or of_tee
    return max(planned, key=_worth_showing, default=None)


def _worth_showing(row: BunkerFromTee) -> tuple[bool, bool, bool]:
    return not row.is_behind, row.bunker.sand.curve.closed, row.far_end is not None


def _carry(
    standing: StandingSite, shown: BunkerFromTee | None, asked: HoleAsked, hole: Hole
) -> tuple[CarryAgainstAim | None, str]:
    if shown is None:
        return None, ""
    missing = no_carry_words(shown)
    if missing:
        return None, missing
    found = carry_against_aim(standing.site, shown, standing.ground_scale(hole.number), asked.allowance_m)
    return (None, found) if isinstance(found, str) else (found, "")


def _checked(standing: StandingSite, hole: Hole, held: Sequence[HeldRecord]) -> tuple[CheckedBunker, ...]:
    found = (
        CheckedBunker(
            laid_out.bunker.name, tuple(yardage_check_rows(standing.site, held, laid_out.bunker.id))
        )
        for laid_out in bunkers_of(standing, hole)
    )
    return tuple(bunker for bunker in found if bunker.checks)


def _drawing(
    standing: StandingSite, hole: Hole, tee_id: str, aim: AimLine | None, table: Sequence[BunkerFromTee]
) -> HoleDrawing:
    """Draw the plan, with the aim line from the tee that is looked at."""
    ground = ground_of(standing, hole)
    sheet = fit_hole(ground, PLAN_WIDTH_PX, PLAN_MOST_HEIGHT_PX)
    things = near_hole(standing, hole).near
    if aim is None:
        return draw_hole(ground, sheet, things=things)
    tee = standing.site.tee(tee_id)
    aimed = aim_on_ground(standing.site, tee, aim, table, ground.ground_scale)
    return draw_hole(ground, sheet, aimed, things=things)


def _query(asked: HoleAsked) -> str:
    kept: Mapping[str, str] = {
        "offset": asked.form.offset,
        "side": asked.form.side,
        "at": asked.form.at,
        "allowance": asked.form.allowance,
    }
    typed = {name: text for name, text in kept.items() if text}
    return f"?{urlencode(typed)}" if typed else ""
