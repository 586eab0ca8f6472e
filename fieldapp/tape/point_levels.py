"""The level of each paint point, by which taped distances are told as the tape reads them on the slope."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.play.ground import Ground

FloatArray = NDArray[np.float64]

BY_GROUND = "the ground between spot levels"
BY_OUTLINE = "the outline's own level"
UNKNOWN = "not known: taken as level ground"


@dataclass(frozen=True, eq=False)
class PointLevels:
    """Levels `(N,)` above the site's datum, metres, NaN where not known, and in words where they are from."""

    levels_m: FloatArray
    basis: str

    @property
    def is_known(self) -> bool:
        """Whether any of them is known."""
        return bool(np.any(~np.isnan(self.levels_m)))


def point_levels(xy: ArrayLike, ground: Ground, outline_level_m: float | None) -> PointLevels:
    """Return the levels of points `(N, 2)`, course metres, as they are painted on the grass.

    That of the ground where spot levels tell it; elsewhere the level that the whole outline has, where it has one.
    """
    found = ground.level_at(xy)
    gaps = np.isnan(found)
    if outline_level_m is not None:
        found = np.where(gaps, outline_level_m, found)
    return PointLevels(found, _basis(gaps, outline_level_m is not None))


def _basis(gaps: NDArray[np.bool_], has_level: bool) -> str:
    if not np.any(gaps):
        return BY_GROUND
    if np.all(gaps):
        return BY_OUTLINE if has_level else UNKNOWN
    return f"{BY_GROUND}; elsewhere {BY_OUTLINE if has_level else UNKNOWN}"
