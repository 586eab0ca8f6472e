"""Slope: how much further than the level distance a bunker's front edge lies, as a rangefinder reads it."""

from __future__ import annotations

import numpy as np

from fieldapp.model import Tee
from fieldapp.outline.crossings import ray_crossings
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.carry import Shot
from fieldapp.play.crossed_line import CrossedLine, CrossedOutline
from fieldapp.play.ground import Ground
from fieldapp.play.pockets import front_level
from fieldapp.play.tee_sections import plate_level


def slope_more_m(
    tee: Tee, laid_out: LaidOutBunker, shot: Shot | None, ground: Ground, ground_scale: float
) -> float | None:
    """Return what a straight line from the plate to the front edge on a shot is longer than the level, ground metres.

    The levels are those that the sight from the tee is told from. None where one of them, or a front edge, is missing.
    """
    if shot is None or shot.reach_m is None:
        return None
    line = _line(tee, laid_out, shot, ground, ground_scale)
    plate, front = plate_level(line), front_level(line, shot.reach_m)
    if plate is None or front is None:
        return None
    return float(np.hypot(shot.reach_m, front - plate)) - shot.reach_m


def _line(tee: Tee, laid_out: LaidOutBunker, shot: Shot, ground: Ground, ground_scale: float) -> CrossedLine:
    """Return the line of a shot with the bunker's scallops, which lower its front edge."""
    scallops = (
        CrossedOutline(
            laid_out.bunker,
            given,
            outline.curve,
            ray_crossings(outline.curve, (tee.x, tee.y), shot.bearing_deg).distance_m * ground_scale,
        )
        for outline, given in zip(laid_out.outlines, laid_out.bunker.outlines, strict=True)
        if given.part == "scallop"
    )
    ends = np.array(shot.stretches_m).reshape(-1)
    return CrossedLine(tee, shot.bearing_deg, laid_out, ends, tuple(scallops), ground, ground_scale)
