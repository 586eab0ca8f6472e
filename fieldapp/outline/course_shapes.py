"""The outlines of a bunker by points in course metres, as exactly as they lie."""

from __future__ import annotations

from fieldapp.model import Bunker, DrawnShape, Site
from fieldapp.outline.curve import Curve
from fieldapp.outline.place import moved_shape, own_frame
from fieldapp.outline.smooth_points import smooth_points

WITHIN_M = 0.00002
"""The points of an ellipse or kidney are so many that the curve through them leaves it by no more, course metres."""


def course_shapes(
    site: Site, bunker: Bunker, curves: dict[str, Curve], ground_scale: float
) -> dict[str, DrawnShape]:
    """Return every outline of a bunker by its id; `curves` are those of the same outlines.

    `ground_scale` is ground metres per course metre. Raises OutlineError.
    """
    frame = None if bunker.place is None else own_frame(site, bunker.place, ground_scale)
    shapes = {}
    for outline in bunker.outlines:
        if not isinstance(outline.shape, DrawnShape):
            shapes[outline.id] = DrawnShape(smooth_points(curves[outline.id], WITHIN_M))
        else:
            shapes[outline.id] = outline.shape if frame is None else moved_shape(outline.shape, frame)
    return shapes
