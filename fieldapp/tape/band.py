"""The area of an uncertainty band along a line, for drawing."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

SIDES_OF_A_QUARTER = 8
SIMPLER = 0.02
"""By how much of the least half width a ring of the area may be drawn simpler than it is."""


def band_area(xy: FloatArray, half_width: FloatArray) -> tuple[FloatArray, ...]:
    """Return rings `(K, 2)`, outer ones and holes, of all places within `half_width` `(M,)` of a line `xy` `(M, 2)`.

    All in one unit. Between two places of the line the band runs straight from one width to the other. A point that
    lies in an odd number of rings is in the band.
    """
    circles = shapely.buffer(shapely.points(xy), half_width, quad_segs=SIDES_OF_A_QUARTER)
    strips = shapely.convex_hull(shapely.geometrycollections(np.stack([circles[:-1], circles[1:]], axis=1)))
    area = shapely.simplify(shapely.union_all(strips), SIMPLER * float(np.min(half_width)))
    polygons = shapely.get_parts(area)
    rings = [ring for polygon in polygons for ring in (polygon.exterior, *polygon.interiors)]
    return tuple(np.asarray(ring.coords, dtype=float) for ring in rings)
