"""Whether spot levels bear each other out, and the floor of a bunker lies in reach of its own sand edge.

Looked for by computing only: a site that was loaded before with such a level is still read.
"""

from __future__ import annotations

import numpy as np

from fieldapp.formats.level_neighbours import NEAR_M, STEEPEST_M, lone_levels
from fieldapp.formats.site_reading import Reading
from fieldapp.formats.toml_lines import Path
from fieldapp.model import Bunker, Outline
from fieldapp.outline.laid_out import LaidOutOutline
from fieldapp.play.ground import FloatArray, Ground, ground_between

DEEPEST_M = 10.0
"""A floor farther than this from its sand edge is a slip, such as 1120 for 11.20. A choice: no bunker is so deep."""


def check_spot_levels(reading: Reading) -> None:
    """Note every spot level that none of its neighbours bears out."""
    spots = reading.site.spot_levels
    for lone in lone_levels(spots):
        spot, other = spots[lone.index], spots[lone.nearest]
        level, beside = (f"{round(one.level_m / float(reading.factor), 3):.10g}" for one in (spot, other))
        reading.findings.add_of(
            spot,
            f"the level is {level} and every other within {NEAR_M:.0f} m differs from it by more than "
            f"{STEEPEST_M:.0f} m; the nearest, {lone.apart_m:.0f} m away, is {beside} in "
            f"{reading.findings.name_of(other)}",
            "correct the level or its place; if the ground is so steep, add a level of the ground between",
        )


def ground_of(reading: Reading) -> Ground:
    """Return the ground between the spot levels of a site; none where no bunker has a floor to be held against it."""
    floors = any(bunker.floor_level_m is not None for bunker in reading.site.bunkers)
    return ground_between(reading.site.spot_levels if floors else ())


def check_floor(reading: Reading, bunker: Bunker, drawn: LaidOutOutline, ground: Ground) -> None:
    """Note a floor above a sand edge that has a level (as high is no mistake), or too far from any sand edge."""
    floor_m = bunker.floor_level_m
    if floor_m is None or drawn.part != "sand edge":
        return
    edge, path = bunker.outline(drawn.id), reading.findings.path_of(bunker)
    path = (*path, _floor_key(reading, path[-1]))
    if edge.level_m is not None and floor_m > edge.level_m:
        line = reading.findings.line(reading.findings.path_of(edge))
        reading.findings.add(
            path,
            f"the floor lies above the sand edge '{edge.id}' on line {line}",
            "one of the two levels is wrong: give the floor one below its edge",
        )
        return
    _check_depth(reading, path, edge, _edge_levels(edge, drawn, ground) - floor_m)


def _check_depth(reading: Reading, path: Path, edge: Outline, below_m: FloatArray) -> None:
    """`below_m` is how far the floor lies below the edge, wherever that has a level."""
    if not below_m.size or np.min(np.abs(below_m)) <= DEEPEST_M:
        return
    nearest_m = float(below_m[np.argmin(np.abs(below_m))])
    which = f"the sand edge '{edge.id}'" + ("" if edge.level_m is not None else ", by the spot levels there")
    reading.findings.add(
        path,
        f"the floor lies {abs(nearest_m):,.0f} m {'below' if nearest_m > 0 else 'above'} {which}",
        "correct the floor's level or its unit, or the level of the edge",
    )


def _edge_levels(edge: Outline, drawn: LaidOutOutline, ground: Ground) -> FloatArray:
    """Return the levels of an edge, or of as much of it as lies on known ground, `(N,)`."""
    if edge.level_m is not None:
        return np.array([edge.level_m])
    levels = ground.level_at(drawn.points.xy) + (edge.above_ground_m or 0.0)
    return np.asarray(levels[np.isfinite(levels)])


def _floor_key(reading: Reading, index: str | int) -> str:
    given: dict[str, object] = reading.findings.document["bunker"][index]
    return next(key for key in given if key.startswith("floor_level_"))
