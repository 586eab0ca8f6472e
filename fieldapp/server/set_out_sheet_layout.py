"""How a bunker lies on a sheet of paper: upright or on its side, at a standard scale that is true on the paper.

The plan is drawn in units of `UNIT_MM`, so that the labels of `labels.py`, which are 13 units high, come out at a
height that stands a photocopier.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.server.paper import Paper
from fieldapp.server.plan_sheet import FloatArray, Sheet, fit_sheet
from fieldapp.server.set_out_sheet_asking import SCALES

UNIT_MM = 0.22
FRAME_MM = 5.0
"""Round the ground that is drawn, for the coordinates of the grid."""
FOOT_MM = 15.0
"""Below it, for the scale bar, the play and north."""
AROUND_MM = 9.0
"""Left free round the outlines, for the numbers."""
BAND_MM = {False: 74.0, True: 52.0}
"""The key, the cautions and the title block below the plan, and the gap above them: upright, and on its side."""
SMALLER_SCALES = (1000, 2000, 5000, 10_000)
"""Taken only where a bunker fits at none of the standard ones."""


@dataclass(frozen=True)
class PlanLayout:
    """The paper as it is turned, the plan on it in millimetres, and the ground that is drawn at 1:`ratio`.

    `largest` is the ratio of the largest standard scale that fits.
    """

    paper: Paper
    ratio: int
    largest: int
    width_mm: float
    height_mm: float
    sheet: Sheet


def lay_out_plan(laid_out: LaidOutBunker, ground_scale: float, paper: Paper, ratio: int | None) -> PlanLayout:
    """Turn the paper, and if need be the plan, so that the bunker is drawn as large as it may be or is asked for.

    Play is up the sheet, or to the right where that lets the scale be larger. A scale at which the bunker does not fit
    is not taken. `ground_scale` is ground metres per course metre.
    """
    reach = np.concatenate([outline.points.xy for outline in laid_out.outlines])
    up = laid_out.play_bearing_deg
    papers = (paper, paper.on_its_side)
    ways = [_plan(reach, up - turn, ground_scale, one, ratio) for turn in (0.0, 90.0) for one in papers]
    return min(ways, key=lambda plan: (plan.ratio, plan.sheet.up_bearing_deg != up, _fullness(plan, reach)))


def _plan(
    reach: FloatArray, up_bearing_deg: float, ground_scale: float, paper: Paper, asked: int | None
) -> PlanLayout:
    width_mm, room_mm = paper.room_mm
    height_mm = room_mm - BAND_MM[paper.width_mm > paper.height_mm]
    width, height = (width_mm - 2 * FRAME_MM) / UNIT_MM, (height_mm - 2 * FRAME_MM - FOOT_MM) / UNIT_MM
    fitted = fit_sheet(reach, up_bearing_deg, width, height, AROUND_MM / UNIT_MM)
    units_per_m = ground_scale * 1000.0 / UNIT_MM
    fits = [one for one in (*SCALES, *SMALLER_SCALES) if units_per_m / one <= fitted.px_per_m]
    largest = fits[0] if fits else SMALLER_SCALES[-1]
    ratio = asked if asked in fits else largest
    sheet = replace(fitted, px_per_m=units_per_m / ratio, width=width, height=height)
    return PlanLayout(paper, ratio, largest, width_mm, height_mm, sheet)


def _fullness(plan: PlanLayout, reach: FloatArray) -> float:
    """Return the greater share of the sheet that the bunker takes up, across or up: the lesser lies better on it."""
    size = np.ptp(plan.sheet.place(reach), axis=0)
    return float(np.max(size / (plan.sheet.width, plan.sheet.height)))
