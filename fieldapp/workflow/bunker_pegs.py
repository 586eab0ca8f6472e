"""Which bunkers a peg belongs to: those whose line can be taped from it, or nearly so. As on the phone."""

from __future__ import annotations

import numpy as np

from fieldapp.model import Peg
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.workflow.sites import StandingSite

REACH_IN_TAPES = 1.5
"""In lengths of the tape, from a bunker's nearest paint point."""


def bunkers_of_peg(standing: StandingSite, peg: Peg) -> tuple[LaidOutBunker, ...]:
    """Return the bunkers with a paint point nearer to the peg than one and a half tapes, the nearest first."""
    reach_m = REACH_IN_TAPES * standing.site.rules.tape_length_m
    away = [(_away_m(standing, bunker, peg), bunker) for bunker in standing.bunkers]
    near = [pair for pair in away if pair[0] <= reach_m]
    return tuple(bunker for _, bunker in sorted(near, key=lambda pair: pair[0]))


def _away_m(standing: StandingSite, bunker: LaidOutBunker, peg: Peg) -> float:
    """Return how far a peg is from a bunker's nearest paint point, ground metres."""
    points = np.concatenate([outline.points.xy for outline in bunker.outlines])
    nearest = float(np.min(np.linalg.norm(points - [peg.x, peg.y], axis=1)))
    return nearest * standing.ground_scale(bunker.bunker.hole)
