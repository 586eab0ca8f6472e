"""The ground on one line between the tee plate and the sand, as far as spot levels and outlines tell it."""

from __future__ import annotations

from fieldapp.outline.crossings import stretches
from fieldapp.play.crossed_line import CrossedLine, CrossedOutline
from fieldapp.play.ground import LONGEST_SIDE_M
from fieldapp.play.ground_runs import GroundRuns
from fieldapp.play.section import SAME_PLACE_M, Place

SHAPED_M = 2.0
"""Ground metres before a front edge over which the ground is taken as shaped to the edge's own level: a choice."""
STEP_TOLD_M = 0.05
"""How far the ground may lie off the front edge's level before the shaping is told as assumed."""
TOP_NOT_GIVEN = "height of the mound not given"


def ground_before(
    line: CrossedLine, plate_level_m: float | None, front_m: float, front: Place | None
) -> GroundRuns:
    """Return the ground from the plate to where the sand begins; `front` is the front edge where its level is known.

    The surface between spot levels counts but where outlines say otherwise: an outline of any bunker that has a level
    is a place of the ground, a mound runs straight from foot to top and another bunker's sand from edge to edge, and a
    mound whose top has no level is not known. What is lacking and assumed is told to the line.
    """
    distances, levels = line.ground.profile(line.place_at(0.0), line.place_at(front_m))
    runs = GroundRuns.of_profile(distances * line.ground_scale, levels)
    if front is not None:
        runs = _shaped(line, runs, front)
    for crossed in line.outlines:
        runs = _with_outline(line, runs, crossed, front_m)
    if plate_level_m is not None:
        runs = runs.with_place((0.0, plate_level_m), "")
    if front is not None:
        runs = runs.with_place(front, line.bunker.bunker.id)
    return runs.joined(LONGEST_SIDE_M)


def _shaped(line: CrossedLine, runs: GroundRuns, front: Place) -> GroundRuns:
    surface = line.surface_at(front[0])
    if surface is None or abs(surface - front[1]) < SAME_PLACE_M:
        return runs
    if abs(surface - front[1]) > STEP_TOLD_M:
        side = "above" if surface > front[1] else "below"
        line.assumed.append(
            f"The ground, which lies {side} the front edge there, is shaped straight to the edge over its last "
            f"{SHAPED_M:.0f} m."
        )
    return runs.straight_to(front, SHAPED_M)


def _with_outline(line: CrossedLine, runs: GroundRuns, crossed: CrossedOutline, front_m: float) -> GroundRuns:
    """Add what an outline tells of the ground before the sand."""
    if crossed.given.part in ("mound foot", "sand edge") and crossed.curve.closed:
        for begin, end in stretches(crossed.at_m):
            if end < front_m:
                runs = _with_feature(line, runs, crossed, begin, end)
    for place in line.known_places(crossed, 0.0, front_m - SAME_PLACE_M):
        runs = runs.with_place(place, crossed.bunker.id)
    return runs


def _with_feature(
    line: CrossedLine, runs: GroundRuns, crossed: CrossedOutline, begin: float, end: float
) -> GroundRuns:
    """Take the spot levels within a mound or another bunker away: what is built there stands in their place."""
    edges = line.known_places(crossed, begin, end)
    tops = _tops(line, crossed, begin, end)
    if crossed.given.part == "mound foot" and not tops:
        line.lacks.append(
            f"The height of the mound of {crossed.bunker.name} is not given where the line crosses it."
        )
        return runs.without(begin, end, edges, TOP_NOT_GIVEN)
    if len(edges) < 2:
        return runs
    return runs.instead(edges[0], tops, edges[-1], crossed.bunker.id)


def _tops(line: CrossedLine, foot: CrossedOutline, begin: float, end: float) -> list[Place]:
    return [
        place
        for crossed in line.outlines
        if crossed.bunker is foot.bunker
        and crossed.given.part == "mound top"
        and foot.given.part == "mound foot"
        for place in line.known_places(crossed, begin, end)
    ]
