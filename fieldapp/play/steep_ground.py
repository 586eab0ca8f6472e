"""Where the ground is too steep to stand and tape on, as far as spot levels tell."""

from __future__ import annotations

import numpy as np

from fieldapp.play.ground import FloatArray, Ground

STEEP_RISE = 1 / 3
"""Rise per metre from which ground counts as steep: a choice, common practice for mowing, no source."""


def steep_triangles(ground: Ground, ground_scale: float, rise: float = STEEP_RISE) -> FloatArray:
    """Return the triangles of a surface that rise more than `rise` per ground metre, `(T, 3, 2)` course metres."""
    sides = (ground.corners[:, 1:] - ground.corners[:, :1]) * ground_scale
    rises = ground.levels[:, 1:] - ground.levels[:, :1]
    slopes = np.linalg.solve(sides, rises[..., None])[..., 0]
    return np.asarray(ground.corners[np.hypot(slopes[:, 0], slopes[:, 1]) > rise])
