"""The drawing of a peg plan: how well each point is fixed, the weakest with its two tapes."""

from __future__ import annotations

import numpy as np

from fieldapp.server.peg_drawing import MarkedPeg, PegDrawing, PegsOnGround, PointMark, draw_pegs, fit_pegs
from fieldapp.server.plan_sheet import Place
from fieldapp.server.tape_words import TapeWords
from fieldapp.tape.peg_plan import good_error_m
from fieldapp.workflow.peg_planning import PegPlanning, place_of
from fieldapp.workflow.sites import StandingSite

DRAWING_WIDTH_PX, MOST_HEIGHT_PX = 400.0, 520.0


def names_of(planning: PegPlanning) -> list[str]:
    """Return the names of the pegs of a plan as `plan.reach.pair` counts them."""
    return [peg.id for peg in planning.about.standing] + [peg.id for peg in planning.counted]


def _marks(planning: PegPlanning) -> list[PointMark]:
    plan, good_m = planning.plan, good_error_m(planning.about.tape)
    marks: list[PointMark] = [
        "out" if not fixed else "well" if error_m <= good_m else "poor"
        for fixed, error_m in zip(plan.reach.is_fixed, plan.reach.error_m, strict=True)
    ]
    if plan.worst_error_m is not None:
        marks[plan.worst] = "weakest"
    return marks


def _marked(planning: PegPlanning) -> list[MarkedPeg]:
    about, scale = planning.about, planning.about.points.scale
    standing = [(peg.id, peg.xy, 0) for peg in about.standing]
    planned = [(peg.id, place_of(about, peg), row) for row, peg in enumerate(planning.pegs, 1)]
    return [
        MarkedPeg(name, (x / scale, y / scale), "planned" if row else "standing", row)
        for name, (x, y), row in standing + planned
    ]


def plan_drawing(standing: StandingSite, planning: PegPlanning, words: TapeWords) -> PegDrawing:
    """Draw a plan: the bunker, its margin, its pegs, the tapes to its weakest point."""
    about, plan = planning.about, planning.plan
    scale, site = about.points.scale, standing.site
    places = [peg.xy for peg in about.standing] + [place_of(about, peg) for peg in planning.counted]
    course: list[Place] = [(x / scale, y / scale) for x, y in places]
    ground = PegsOnGround(
        points=about.points,
        pegs=_marked(planning),
        ground_unit=site.units.ground,
        convergence_deg=float(standing.grid.convergence_deg(np.array(about.points.laid_out.middle))),
        margins=[ring / scale for ring in about.ground.margin_rings()],
        fairways=[ring / scale for ring in about.ground.fairways],
    )
    weakest = about.points.xy[plan.worst] / scale
    lines: dict[str, tuple[Place, Place]] = {}
    if plan.worst_error_m is not None:
        for at in plan.reach.pair[plan.worst]:
            length = float(np.hypot(*(about.points.xy[plan.worst] - np.array(places[at]))))
            lines[words.with_unit(length)] = course[at], (float(weakest[0]), float(weakest[1]))
    return draw_pegs(ground, fit_pegs(ground, DRAWING_WIDTH_PX, MOST_HEIGHT_PX), _marks(planning), lines)
