"""Sight of a bunker from a tee: the section to its middle, what each eye sees there, and what the edge would need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model import Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.ground import FloatArray, Ground, ground_between
from fieldapp.play.lowering import Lowering, lowering
from fieldapp.play.section import Section
from fieldapp.play.sight import Sight, sight
from fieldapp.play.tee_sections import sections

LINES_ACROSS = 61
TRACE_SAGITTA_M = 0.001


@dataclass(frozen=True, eq=False)
class TeeSight:
    """What an eye `eye_m` above a tee plate sees of a bunker on the straight line to its middle.

    `lowering` is None where it cannot be told.
    """

    tee: Tee
    eye_m: float
    section: Section
    sight: Sight
    lowering: Lowering | None


def tee_sights(
    site: Site,
    bunkers: Sequence[LaidOutBunker],
    laid_out: LaidOutBunker,
    eyes_m: Sequence[float],
    show_m: float,
    ground_scale: float,
) -> tuple[TeeSight, ...]:
    """Return the sight of a bunker from each tee of its hole, tees in site order, by each eye height.

    `bunkers` are all of the site, `laid_out` one of them; `ground_scale` is ground metres per course metre.
    """
    ground = ground_between(site.spot_levels, ground_scale)
    others = tuple(other for other in bunkers if other is not laid_out)
    found = []
    for tee in site.tees_of(laid_out.bunker.hole):
        middle, fan, off_deg = _sections(tee, laid_out, others, ground, ground_scale)
        found += [
            TeeSight(tee, eye_m, middle, sight(middle, eye_m), lowering(middle, fan, off_deg, eye_m, show_m))
            for eye_m in eyes_m
        ]
    return tuple(found)


def _sections(
    tee: Tee,
    laid_out: LaidOutBunker,
    others: tuple[LaidOutBunker, ...],
    ground: Ground,
    ground_scale: float,
) -> tuple[Section, tuple[Section, ...], FloatArray]:
    """Return the section to the bunker's middle, those across it from left to right, and how far off it they run."""
    to_middle = np.array(laid_out.middle) - (tee.x, tee.y)
    bearing = float(np.rad2deg(np.arctan2(to_middle[0], to_middle[1])))
    off_deg = _across(tee, laid_out, bearing)
    bearings = bearing + np.append(off_deg, 0.0)
    *fan, middle = sections(tee, bearings, laid_out, others, ground, ground_scale)
    return middle, tuple(fan), off_deg


def _across(tee: Tee, laid_out: LaidOutBunker, bearing_deg: float) -> FloatArray:
    """Return how far off a bearing lines run that divide the sand, as seen from the tee, into even parts, `(N,)`."""
    away = laid_out.sand.curve.trace(TRACE_SAGITTA_M) - (tee.x, tee.y)
    off = (np.rad2deg(np.arctan2(away[:, 0], away[:, 1])) - bearing_deg + 180.0) % 360.0 - 180.0
    middles = (np.arange(LINES_ACROSS) + 0.5) / LINES_ACROSS
    return np.asarray(off.min() + middles * (off.max() - off.min()))
