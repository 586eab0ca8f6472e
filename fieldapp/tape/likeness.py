"""How alike two outlines are: Hausdorff distance, areas, how far the one reaches out of and into the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from fieldapp.outline.curve import Curve
from fieldapp.outline.offset import along_and_off

FloatArray = NDArray[np.float64]
Place = tuple[float, float]

STEPS = 360
"""Places along each outline at which its distance to the other is taken; the largest is then looked for between two."""
SAGITTA_M = 0.001


@dataclass(frozen=True)
class Likeness:
    """How a new outline lies against an old one, in the metres of both.

    `out_m` is the farthest that the new one lies outside the old (closed) or right of it (open), `in_m` the farthest
    inside or left, both 0 or more, with where on the new outline. `hausdorff_m` is the largest distance of any place of
    either to the other (Hausdorff 1914). Areas are None for open outlines: `area_m2` of the new less that of the old,
    `changed_m2` what lies in the one and not in the other.
    """

    hausdorff_m: float
    out_m: float
    out_at: Place
    in_m: float
    in_at: Place
    old_area_m2: float | None
    new_area_m2: float | None
    changed_m2: float | None

    @property
    def area_more_m2(self) -> float | None:
        """By how much the new area is larger, m²; None for open outlines."""
        if self.old_area_m2 is None or self.new_area_m2 is None:
            return None
        return self.new_area_m2 - self.old_area_m2


def likeness(old: Curve, new: Curve) -> Likeness:
    """Compare two outlines of one kind, both closed or both open, in the same plane and metres.

    Distances are within some millimetres of those of the true curves: each is traced to a millimetre, and the
    farthest of 360 places along it is refined between its neighbours.
    """
    old_trace, new_trace = old.trace(SAGITTA_M), new.trace(SAGITTA_M)
    off, at = _offs(old, old_trace, new)
    back, _ = _offs(new, new_trace, old)
    out, inward = int(np.argmax(off)), int(np.argmin(off))
    closed = old.closed and new.closed
    return Likeness(
        hausdorff_m=float(max(np.abs(off).max(), np.abs(back).max())),
        out_m=max(float(off[out]), 0.0),
        out_at=(float(at[out, 0]), float(at[out, 1])),
        in_m=max(float(-off[inward]), 0.0),
        in_at=(float(at[inward, 0]), float(at[inward, 1])),
        old_area_m2=old.area_m2 if closed else None,
        new_area_m2=new.area_m2 if closed else None,
        changed_m2=_changed_m2(old_trace, new_trace) if closed else None,
    )


def _offs(base: Curve, trace: FloatArray, other: Curve) -> tuple[FloatArray, FloatArray]:
    """Return how far places of the other outline lie off the base, `(K,)`, and the places `(K, 2)`."""
    step_m = other.length_m / STEPS
    along = np.arange(STEPS + (0 if other.closed else 1)) * step_m
    coarse = along_and_off(trace, base.closed, base.length_m, other.points_at(along))[1]
    ends = along[[int(np.argmax(coarse)), int(np.argmin(coarse))]]
    fine = (ends[:, None] + np.linspace(-step_m, step_m, 41)).ravel()
    at = other.points_at(np.concatenate([along, fine]))
    return along_and_off(trace, base.closed, base.length_m, at)[1], at


def _changed_m2(old: FloatArray, new: FloatArray) -> float:
    return float(shapely.symmetric_difference(shapely.Polygon(old), shapely.Polygon(new)).area)
