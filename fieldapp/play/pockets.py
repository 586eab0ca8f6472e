"""The stretches of sand on one line: front edge, floor, foot of the face and far edge, from a bunker's levels."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.play.crossed_line import CrossedLine
from fieldapp.play.section import Place, Pocket

SCALLOP_REACH_M = 5.0
"""A scallop crossed no further than this from the front edge lowers the edge there to its own level: a choice."""
FACE_MAY_BE_TURF = (
    "The far face counts as sand right up to its edge; where it is built of turf, what shows there is turf."
)


def pockets_on(line: CrossedLine, ways: Sequence[tuple[float, float]]) -> tuple[Pocket, ...]:
    """Return the stretches of sand of a line; none where an edge has no level.

    `ways` is from where to where the line runs in the sand, ground metres. What is lacking and assumed is told to the
    line.
    """
    made = [_pocket(line, index, front_m, far_m) for index, (front_m, far_m) in enumerate(ways)]
    known = tuple(pocket for pocket in made if pocket is not None)
    if len(known) < len(made):
        return ()
    if len(known) > 1:
        line.assumed.append("Between two stretches of sand on the line the ground runs straight.")
    return known


def front_level(line: CrossedLine, front_m: float) -> float | None:
    """Return the level of the first sand's front edge, lowered where a scallop is; None where it is not known."""
    level = _edge_level(line, "front", front_m)
    return None if level is None else _scalloped(line, level, front_m)


def _pocket(line: CrossedLine, index: int, front_m: float, far_m: float) -> Pocket | None:
    front = _edge_level(line, "front", front_m) if index else front_level(line, front_m)
    far = _edge_level(line, "far", far_m)
    if front is None or far is None:
        return None
    floor = line.bunker.bunker.floor_level_m
    foot = _foot(line, front_m, far_m, floor)
    _tell(line, floor, foot)
    if floor is not None:
        _check_floor(line, floor, front, far)
    if foot is not None and foot[1] > far:
        line.lacks.append(
            "The foot of the face lies higher than the sand edge behind it; one level is wrong."
        )
    return Pocket((front_m, front), (far_m, far), floor, foot)


def _check_floor(line: CrossedLine, floor: float, front: float, far: float) -> None:
    """Say that a floor cannot lie above an edge of its own."""
    above = [which for which, level in (("front", front), ("far", far)) if floor > level]
    if above:
        line.lacks.append(f"The floor lies above the {' and the '.join(above)} edge; one level is wrong.")


def _edge_level(line: CrossedLine, which: str, distance_m: float) -> float | None:
    edge = line.bunker.bunker.outline(line.bunker.sand.id)
    level = line.level_of(edge, distance_m)
    if level is None and edge.above_ground_m is None:
        level = line.surface_at(distance_m)
        if level is not None:
            line.assumed.append(f"The {which} edge has no level of its own and lies on the ground there.")
    if level is None:
        line.lacks.append(
            f"The level of the {which} edge is not known: the sand edge has none and no ground levels reach there."
        )
    return level


def _scalloped(line: CrossedLine, edge_level: float, front_m: float) -> float:
    levels = [
        line.level_of(outline, at)
        for at, outline in line.own("scallop")
        if abs(at - front_m) <= SCALLOP_REACH_M
    ]
    lowest = min((level for level in levels if level is not None), default=edge_level)
    if lowest < edge_level:
        line.assumed.append("The front edge lies at the level of the scallop that the line runs through.")
    return min(lowest, edge_level)


def _foot(line: CrossedLine, front_m: float, far_m: float, floor: float | None) -> Place | None:
    found = [item for item in line.own("face foot") if front_m < item[0] <= far_m]
    if not found:
        return None
    at, outline = max(found, key=lambda item: item[0])
    level = line.level_of(outline, at)
    if level is None and floor is not None:
        line.assumed.append("The foot of the face lies at the level of the floor.")
        level = floor
    return None if level is None else (at, level)


def _tell(line: CrossedLine, floor: float | None, foot: Place | None) -> None:
    """Say what is taken of the floor and the face."""
    if floor is None:
        line.lacks.append("The level of the bunker's floor is not given.")
        end = "the far edge" if foot is None else "the foot of the face"
        line.assumed.append(f"The sand runs straight from the front edge to {end}.")
    else:
        line.assumed.append("The floor lies level.")
    if foot is None and floor is not None:
        line.assumed.append(
            "The far face stands upright at the far edge: no foot of a face crosses the line."
        )
    if foot is not None or floor is not None:
        line.assumed.append(FACE_MAY_BE_TURF)
