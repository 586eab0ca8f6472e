"""Whether a yardage check fits the site: its tee, its figure by the server's own reckoning, its plan, its verdict."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fieldapp.model import Tee, YardageCheck
from fieldapp.play.line_of_play import line_of_play
from fieldapp.play.standing_plan import standing_plan
from fieldapp.play.yardage import yardage
from fieldapp.play.yardage_check import CheckedFigure, check_verdict
from fieldapp.workflow.peg_fitness import SAME_PLACE_M, elsewhere_words
from fieldapp.workflow.sites import StandingSite

SAME_LENGTH_M = 0.001


def check_misfits(
    check: YardageCheck, standing: StandingSite, course_xy: tuple[float, float] | None
) -> Iterator[str]:
    """Yield sentences about a check that does not fit; `course_xy` is its position, metres."""
    tee = next((tee for tee in standing.site.tees if tee.id == check.target.tee), None)
    yield from _tee_words(check, tee)
    yield from _plan_words(check, standing)
    yield from _range_words(check)
    yield from _verdict_words(check)
    elsewhere = elsewhere_words(standing, check.reading, course_xy)
    if elsewhere or course_xy is None:
        yield elsewhere or "The position lies outside the course grid."
        return
    measured_m = _measured_m(check, tee, standing, course_xy)
    if measured_m is not None and abs(measured_m - check.measured_m) > SAME_PLACE_M:
        yield f"The phone measured {check.measured_m:,.2f} m, its position says {measured_m:,.2f} m."


def _tee_words(check: YardageCheck, tee: Tee | None) -> Iterator[str]:
    target = check.target
    if tee is None:
        yield f"The site has no tee '{target.tee}'."
        return
    if tee.hole != check.hole:
        yield f"Tee '{tee.id}' is on hole {tee.hole}, not {check.hole}."
    apart = math.dist((tee.x, tee.y), (target.tee_x, target.tee_y))
    if apart > SAME_PLACE_M:
        yield f"The phone's tee '{tee.id}' lies {apart:,.2f} m from where the plan has it now."


def _measured_m(
    check: YardageCheck, tee: Tee | None, standing: StandingSite, xy: tuple[float, float]
) -> float | None:
    """Return the figure from the phone's own plate, ground metres; None where the line of play is not that of now."""
    target, scale = check.target, standing.ground_scale(check.hole)
    plate = target.tee_x, target.tee_y
    if target.figure in ("reach", "carry"):
        return math.dist(xy, plate) * scale
    if tee is None or math.dist(plate, (tee.x, tee.y)) > SAME_PLACE_M:
        return None
    found = yardage(line_of_play(standing.site, tee), np.array(xy), scale)
    return found.along_m if target.figure == "along" else found.offset_m


def _plan_words(check: YardageCheck, standing: StandingSite) -> Iterator[str]:
    """Hold a check of the revision that stands against what is planned now."""
    target = check.target
    bunker = next((bunker for bunker in standing.site.bunkers if bunker.id == target.bunker), None)
    if target.basis != "planned" or bunker is None or bunker.revision != target.revision:
        return
    plan = standing_plan(bunker)
    planned_m = getattr(plan, f"{target.figure}_m") if plan and plan.tee == target.tee else None
    if plan is None or planned_m is None:
        yield f"The plan of bunker '{bunker.id}' has no figure '{target.figure}' from tee '{target.tee}'."
        return
    if abs(planned_m - check.planned_m) > SAME_LENGTH_M:
        yield f"The phone compared it with {check.planned_m:,.2f} m, the plan has {planned_m:,.2f} m."
    if abs(plan.tolerance_m - check.tolerance_m) > SAME_LENGTH_M:
        yield f"The phone allowed {check.tolerance_m:,.2f} m, the plan allows {plan.tolerance_m:,.2f} m."


def _range_words(check: YardageCheck) -> Iterator[str]:
    """Hold a range against the parts it was made of; an unknown part leaves none."""
    if check.range95_m is None:
        return
    range95_m = _compared(check).range95_m
    if range95_m is None:
        yield f"The phone gives a range of ± {check.range95_m:.2f} m, though a part of it is not known."
    elif abs(range95_m - check.range95_m) > SAME_LENGTH_M:
        yield f"The phone gives a range of ± {check.range95_m:.2f} m, its parts make ± {range95_m:.2f} m."


def _compared(check: YardageCheck) -> CheckedFigure:
    """Return a check's figures; a line counts only for an edge, and a tee plate without a radius is taken as exact."""
    on_line = check.target.figure in ("reach", "carry")
    return CheckedFigure(
        difference_m=check.difference_m,
        tolerance_m=check.tolerance_m,
        line_effect_m=check.line_effect_m if on_line else 0.0,
        radius95_m=check.reading95_m,
        tee95_m=check.tee95_m or 0.0,
        grid95_m=check.grid95_m,
        edge_slope=check.edge_slope or 0.0,
    )


def _verdict_words(check: YardageCheck) -> Iterator[str]:
    if check.verdict == "cannot tell":
        return
    effect_m = _compared(check).line_effect_m
    borne_out = check_verdict(check.difference_m, check.range95_m, check.tolerance_m, effect_m)
    if borne_out != check.verdict:
        yield f"The phone's verdict is '{check.verdict}', its own figures do not bear that out."
