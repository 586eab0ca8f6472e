"""Sections from a tee plate through a bunker, built from a site's spot levels and the levels of its outlines."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldapp.model import Tee
from fieldapp.outline.crossings import ray_crossings, stretches
from fieldapp.outline.curve import Curve
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.crossed_line import CrossedLine, CrossedOutline
from fieldapp.play.ground import FloatArray, Ground
from fieldapp.play.ground_before import ground_before
from fieldapp.play.pockets import pockets_on
from fieldapp.play.section import Section

GRASS_IS_SHORT = (
    "Grass, trees and flags hide nothing; between levels at most 40 m apart the ground is straight."
)


def sections(
    tee: Tee,
    bearing_deg: FloatArray,
    laid_out: LaidOutBunker,
    others: Sequence[LaidOutBunker],
    ground: Ground,
    ground_scale: float,
) -> tuple[Section, ...]:
    """Return the section on each course bearing `(N,)` from a tee plate through a bunker.

    `others` are the site's other bunkers, which may lie in the way; `ground_scale` is ground metres per course metre.
    """
    bearings = np.asarray(bearing_deg, dtype=float)
    in_sand = _crossed(tee, bearings, laid_out.sand.curve, ground_scale)
    outlines = _outlines(tee, bearings, laid_out, others, ground_scale)
    return tuple(
        _section(CrossedLine(tee, bearing, laid_out, sand, crossed, ground, ground_scale))
        for bearing, sand, crossed in zip(bearings.tolist(), in_sand, outlines, strict=True)
    )


def plate_level(line: CrossedLine) -> float | None:
    """Return the level of the tee plate, that of the ground where it has none; None where neither is known."""
    if line.tee.level_m is not None:
        return line.tee.level_m
    level = line.surface_at(0.0)
    if level is None:
        line.lacks.append(
            f"The level of the plate of {line.tee.name} is not given and no ground levels are known there, so the "
            "height of the eye cannot be told."
        )
    else:
        line.assumed.append(f"The plate of {line.tee.name} lies at the level of the ground there.")
    return level


def _crossed(tee: Tee, bearing_deg: FloatArray, curve: Curve, ground_scale: float) -> list[FloatArray]:
    """Return where each of the lines crosses a curve, ground metres from the plate, `(K,)` each."""
    found = ray_crossings(curve, (tee.x, tee.y), bearing_deg)
    return [found.of(index) * ground_scale for index in range(len(bearing_deg))]


def _outlines(
    tee: Tee,
    bearing_deg: FloatArray,
    laid_out: LaidOutBunker,
    others: Sequence[LaidOutBunker],
    ground_scale: float,
) -> list[tuple[CrossedOutline, ...]]:
    """Return all outlines but the sand edge looked at, as each of the lines crosses them."""
    of_lines: list[list[CrossedOutline]] = [[] for _ in bearing_deg]
    for bunker in (laid_out, *others):
        for outline, given in zip(bunker.outlines, bunker.bunker.outlines, strict=True):
            if outline is laid_out.sand:
                continue
            at = _crossed(tee, bearing_deg, outline.curve, ground_scale)
            for crossed, at_m in zip(of_lines, at, strict=True):
                crossed.append(CrossedOutline(bunker.bunker, given, outline.curve, at_m))
    return [tuple(crossed) for crossed in of_lines]


def _section(line: CrossedLine) -> Section:
    plate = plate_level(line)
    ways = stretches(line.sand_m) if line.bunker.sand.curve.closed else ()
    if not ways or ways[0][0] == 0.0:
        line.lacks.append(
            "The tee plate lies in the bunker's sand, so there is no front edge to look over."
            if ways
            else "The line from this tee does not cross the bunker's sand."
        )
        return Section(plate, lacks=tuple(line.lacks), assumed=tuple(line.assumed))
    pockets = pockets_on(line, ways)
    runs = ground_before(line, plate, ways[0][0], pockets[0].front if pockets else None)
    return Section(
        plate_level_m=plate,
        ground=runs.runs,
        pockets=pockets,
        unknown=runs.unknown,
        front_m=ways[0][0],
        far_m=ways[-1][1],
        lacks=tuple(dict.fromkeys(line.lacks)),
        assumed=tuple(dict.fromkeys([*line.assumed, GRASS_IS_SHORT])),
    )
