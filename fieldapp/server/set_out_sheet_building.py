"""Builds a set-out sheet: the plan on its paper, its title block, the sheets of tables after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from textwrap import wrap

import numpy as np

from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.formats.site_grid_reading import coordinate_factor
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.clearance import nearnesses
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.hole_pages import board_url, choices
from fieldapp.server.labels import CHARACTER_PX
from fieldapp.server.qr_codes import inline_qr_code
from fieldapp.server.record_rows import ground_words
from fieldapp.server.set_out_sheet_asking import PAPERS, SCALES, PaperAsked
from fieldapp.server.set_out_sheet_contexts import KeyRow, SetOutSheetPage
from fieldapp.server.set_out_sheet_drawing import SheetDrawing, SheetGround, draw_sheet
from fieldapp.server.set_out_sheet_layout import FRAME_MM, UNIT_MM, PlanLayout, lay_out_plan
from fieldapp.server.set_out_sheet_tables import (
    COORDINATE_DECIMALS,
    SIGN_OF_COORDINATES,
    SheetFigures,
    tables_of,
)
from fieldapp.server.set_out_sheet_title import title_block, told_of_revision, words_across
from fieldapp.server.sheet_tables import Table, pages_of, pour, width_of
from fieldapp.server.yardage_words import listed
from fieldapp.tape.bunker_points import bunker_points, pegs_of_bunker, site_tape
from fieldapp.tape.tied_bunker import tied_bunker
from fieldapp.workflow.sheet_source import SheetSource

NEAR_M = 60.0
"""Things to keep clear of further off than this are not told."""
COLUMN_MM, COLUMN_GAP_MM = 125.0, 8.0
HEAD_MM, STRIP_MM = 11.0, 13.0
"""The head of a sheet of tables, and the title strip at its foot, each with the gap beside it."""
PLAY_SHARE = 0.36
"""Of the width of the plan, for the words beside the arrow of play."""
CAUTIONS = (
    LOCATE_FIRST,
    "Near a service: dig by hand, by the locator's marks, as the local code and the service's owner say.",
    "Slopes and depths of the dig follow the local code and a competent person on site.",
    "Machines: licensed operators, nobody in their reach. Play, lightning: stop when the course stops.",
    "A phone's position is not a survey and never a boundary.",
)
KEY_OF_PARTS = {
    "sand edge": "sand edge, paint points",
    "face foot": "foot of the face",
    "mound foot": "foot of a mound",
    "mound top": "top of a mound",
    "swale": "swale",
    "scallop": "scallop",
    "transplant area": "transplanted turf",
}


@dataclass(frozen=True)
class PhoneWay:
    """The address of the phone's page of the bunker, and what stands under its code."""

    address: str
    words: str


def set_out_sheet(
    source: SheetSource, pegs: Sequence[StandingPeg], asked: PaperAsked, way: PhoneWay, today: date
) -> SetOutSheetPage:
    """Build the set of sheets of a bunker; `pegs` are those of its site as they stand."""
    figures, layout = _figures(source, pegs, asked)
    drawing, bunker = figures.drawing, source.laid_out.bunker
    tables = tables_of(figures)
    per_page, width_mm = _columns(layout, tables)
    columns = pour(tables, width_mm, layout.paper.room_mm[1] - HEAD_MM - STRIP_MM)
    further = tuple(pages_of(columns, per_page))
    title = title_block(source, layout, today, 1 + len(further), figures.coordinate_sign)
    site_id = source.standing.site.id
    has_phone = source.draft is None and bool(source.stands)
    return SetOutSheetPage(
        title=title,
        site_url=f"/sites/{site_id}",
        bunker_url=f"/sites/{site_id}#bunker-{bunker.id}",
        board_url=board_url(site_id, bunker),
        revisions_url=f"/sites/{site_id}/bunkers/{bunker.id}/revisions" if source.stands else "",
        url=f"/sites/{site_id}/bunkers/{bunker.id}/set-out-sheet",
        revision_asked=bunker.revision if source.is_superseded else "",
        draft_asked=source.draft is not None,
        faults=(*asked.faults, *_unfit(asked, layout)),
        notices=_notices(layout, len(further)),
        papers=choices([(name, paper.words) for name, paper in PAPERS.items()], asked.paper.name),
        scales=choices(
            [("", "the largest that fits"), *[(str(one), f"1:{one}") for one in SCALES]],
            str(asked.ratio or ""),
        ),
        paper=layout.paper.name,
        columns=per_page,
        drawing=drawing,
        plan_width_mm=round(layout.width_mm, 3),
        plan_height_mm=round(layout.height_mm, 3),
        plan_width=round(layout.width_mm / UNIT_MM, 3),
        plan_height=round(layout.height_mm / UNIT_MM, 3),
        frame_px=round(FRAME_MM / UNIT_MM, 3),
        across=words_across(title.status, layout),
        play=_play_words(figures, layout),
        play_turn_deg=round(source.laid_out.play_bearing_deg - layout.sheet.up_bearing_deg, 1),
        key=tuple(_key(figures)),
        notes=_notes(source, drawing),
        cautions=CAUTIONS,
        qr=inline_qr_code(way.address, f"QR code of the phone's page of {bunker.name}") if has_phone else "",
        qr_words=_qr_words(source, way),
        further=further,
    )


def _columns(layout: PlanLayout, tables: Sequence[Table]) -> tuple[int, float]:
    """Return how many columns of tables stand side by side, and how wide each is: as many as hold the widest table."""
    room_mm = layout.paper.room_mm[0] + COLUMN_GAP_MM
    least_mm = max(COLUMN_MM, *map(width_of, tables)) + COLUMN_GAP_MM
    count = max(1, int(room_mm // least_mm))
    return count, room_mm / count - COLUMN_GAP_MM


def _figures(
    source: SheetSource, pegs: Sequence[StandingPeg], asked: PaperAsked
) -> tuple[SheetFigures, PlanLayout]:
    """Return what the drawing and the tables are made from, and how the plan lies on the paper."""
    site, grid, scale, laid_out = (
        source.standing.site,
        source.standing.grid,
        source.ground_scale,
        source.laid_out,
    )
    points, tape = bunker_points(site, laid_out, scale), site_tape(site)
    layout = lay_out_plan(laid_out, scale, asked.paper, asked.ratio)
    outside = [one for one in pegs if one.peg.kind != "paint"]
    on_plan = [one for one in outside if layout.sheet.holds(layout.sheet.spot(one.peg.x, one.peg.y))]
    near = pegs_of_bunker(pegs, points, tape)
    things = nearnesses(laid_out, site.keep_clear, scale)
    ground = SheetGround(
        site=site,
        laid_out=laid_out,
        pegs=[one for one in outside if one in near or one in on_plan],
        nearnesses=[one for one in things if one.distance_m <= NEAR_M or one.is_too_near],
        ground_scale=scale,
        convergence_deg=float(grid.convergence_deg(np.array(laid_out.middle))),
        metres_per_unit=float(coordinate_factor(site.units, site.grid)),
    )
    figures = SheetFigures(
        ground=ground,
        drawing=draw_sheet(ground, layout.sheet),
        sheet=layout.sheet,
        points=points,
        tied=tied_bunker(points, pegs, tape),
        lonlat=grid.outlines_to_gnss([outline.points.xy for outline in laid_out.outlines]),
        coordinate_sign=SIGN_OF_COORDINATES.get(site.units.coordinates, "grid units"),
        coordinate_decimals=COORDINATE_DECIMALS.get(site.units.coordinates, 3),
        told=told_of_revision(source),
    )
    return figures, layout


def _unfit(asked: PaperAsked, layout: PlanLayout) -> tuple[str, ...]:
    if asked.ratio is None or asked.ratio == layout.ratio:
        return ()
    return (
        f"At 1:{asked.ratio} this bunker does not fit on {asked.paper.words}; it is drawn at 1:{layout.ratio}, the "
        "largest that does. Choose a larger paper or a smaller scale.",
    )


def _notices(layout: PlanLayout, further: int) -> tuple[str, ...]:
    words = [f"{1 + further} sheets: the plan, then the tables." if further else "One sheet."]
    if layout.ratio > SCALES[-1]:
        words.append(
            "This bunker fits on the paper at none of the scales that are set out from; "
            f"1:{layout.ratio} shows it whole. Set out from the tables."
        )
    return tuple(words)


def _play_words(figures: SheetFigures, layout: PlanLayout) -> tuple[str, ...]:
    """Say where play comes from, in as many characters as there is room for beside the scale bar."""
    ground = figures.ground
    tees = [tee.name for tee in ground.site.tees_of(ground.laid_out.bunker.hole)]
    characters = int(layout.sheet.width * PLAY_SHARE / CHARACTER_PX)
    begins = wrap(f"play from {listed(tees)}", characters, max_lines=2, placeholder=" …")
    off = [] if figures.drawing.lines else [_off_the_plan(ground)]
    return ("toward the green", *begins, *off)


def _key(figures: SheetFigures) -> list[KeyRow]:
    """Return what the plan has, each kind once."""
    drawing, ground = figures.drawing, figures.ground
    parts = dict.fromkeys(outline.part for outline in drawing.outlines)
    found = [KeyRow(part.replace(" ", "-"), KEY_OF_PARTS[part]) for part in parts]
    others = (
        ("first", "point 1: numbers begin", True),
        ("play", "line of play", bool(drawing.lines)),
        ("peg", "peg", any(one.stands for one in drawing.pegs.on_sheet)),
        ("peg-out", "peg out of place", any(not one.stands for one in drawing.pegs.on_sheet)),
        ("beyond", "to a peg further on", bool(drawing.pegs.beyond)),
        ("clear", "keep clear of, as drawn", any(one.path for one in drawing.things)),
        ("clear-point", "its clearance", any(one.at for one in drawing.things)),
        ("near", "comes too near", bool(drawing.nearnesses)),
        ("level", f"ground level, {ground.words.sign}", bool(drawing.spots)),
        ("cross", f"grid, every {drawing.frame.step} {figures.coordinate_sign}", True),
    )
    return [*found, *(KeyRow(kind, words) for kind, words, is_there in others if is_there)]


def _notes(source: SheetSource, drawing: SheetDrawing) -> tuple[str, ...]:
    site, bar_mm = source.standing.site, drawing.bar.px * UNIT_MM
    return (
        f"Printed at 100 %, the scale bar is {bar_mm:.1f} mm long: measure it before anything is scaled off.",
        f"On the mark is within {ground_words(site.rules.tolerance_m, site.units.ground)}.",
    )


def _off_the_plan(ground: SheetGround) -> str:
    """Say how far off the line of play lies that the plan does not show."""
    tee, middle = ground.site.tees_of(ground.laid_out.bunker.hole)[0], ground.laid_out.middle
    offset_m = float(line_of_play(ground.site, tee).locate(middle)[1]) * ground.ground_scale
    side = "left" if offset_m > 0 else "right"
    return f"line of play {ground.words.with_unit(abs(offset_m))} {side} of the middle, off the plan"


def _qr_words(source: SheetSource, way: PhoneWay) -> str:
    if source.draft is not None:
        return "no phone page before it is issued"
    if not source.stands:
        return "no phone page any more"
    if source.is_superseded:
        return f"opens revision {source.stands}"
    return way.words
