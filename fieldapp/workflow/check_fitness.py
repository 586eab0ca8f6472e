"""Whether a yardage check fits the site: its tee, its figure by the server's own reckoning, its verdict."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fieldapp.model import Tee, YardageCheck
from fieldapp.play.line_of_play import line_of_play
from fieldapp.play.yardage import yardage
from fieldapp.play.yardage_check import check_verdict
from fieldapp.workflow.peg_fitness import SAME_PLACE_M, elsewhere_words
from fieldapp.workflow.sites import StandingSite


def check_misfits(
    check: YardageCheck, standing: StandingSite, course_xy: tuple[float, float] | None
) -> Iterator[str]:
    """Yield sentences about a check that does not fit; `course_xy` is its position, metres."""
    tee = next((tee for tee in standing.site.tees if tee.id == check.target.tee), None)
    yield from _tee_words(check, tee)
    elsewhere = elsewhere_words(standing, check.reading, course_xy)
    if elsewhere or course_xy is None:
        yield elsewhere or "The position lies outside the course grid."
        return
    measured_m = _measured_m(check, tee, standing, course_xy)
    if measured_m is not None and abs(measured_m - check.measured_m) > SAME_PLACE_M:
        yield f"The phone measured {check.measured_m:,.2f} m, its position says {measured_m:,.2f} m."
    yield from _verdict_words(check)


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


def _verdict_words(check: YardageCheck) -> Iterator[str]:
    if check.verdict == "cannot tell":
        return
    effect_m = check.line_effect_m or 0.0
    borne_out = check_verdict(check.difference_m, check.range95_m, check.tolerance_m, effect_m)
    if borne_out != check.verdict:
        yield f"The phone's verdict is '{check.verdict}', its own figures do not bear that out."
