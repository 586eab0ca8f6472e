"""The control points of a drawn outline, checked before a curve is put through them."""

from __future__ import annotations

import math
from itertools import pairwise

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape

SAME_PLACE_M = 0.001
"""Neighbouring control points closer than this are taken for one point given twice."""
MOST_ACROSS_M = 10_000.0
"""An outline larger than this is taken for a slip of the pen."""
MOST_ROUND_M = 2_000.0
"""The points of an outline that somebody draws by hand are joined by no more than this."""


def check_drawable(shape: DrawnShape) -> None:
    """Refuse an outline that is too long to be worked with while somebody draws it; raises OutlineError."""
    around = (*shape.points, *shape.points[:1]) if shape.closed else shape.points
    length_m = sum(math.hypot(one.x - two.x, one.y - two.y) for one, two in pairwise(around))
    if not length_m <= MOST_ROUND_M:
        raise OutlineError(
            f"The outline is {length_m / 1000:,.1f} km long; one that is drawn here may have "
            f"{MOST_ROUND_M / 1000:g} km."
        )


def checked_points(shape: DrawnShape) -> tuple[ControlPoint, ...]:
    """Return a shape's control points, without a last one that only repeats the first of a closed outline.

    Raises OutlineError for points that are not numbers, too few, given twice, or that ask for an impossible
    arc.
    """
    points = shape.points
    for number, point in enumerate(points, 1):
        if not (math.isfinite(point.x) and math.isfinite(point.y)):
            raise OutlineError(
                f"Point {number} of the outline is not a number; give it an x and a y in figures."
            )
        if math.hypot(point.x - points[0].x, point.y - points[0].y) > MOST_ACROSS_M:
            raise OutlineError(
                f"Point {number} of the outline (x {point.x:.2f}, y {point.y:.2f}) is more than "
                f"{MOST_ACROSS_M / 1000:g} km from its first point; "
                "check its figures and the unit of the coordinates."
            )
    if shape.closed and len(points) > 1 and _same_place(points[0], points[-1]):
        points = points[:-1]
    least = 3 if shape.closed else 2
    if len(points) < least:
        kind = "A closed" if shape.closed else "An open"
        raise OutlineError(
            f"{kind} outline needs at least {least} different points and this one has {len(points)}; "
            "add points."
        )
    _check_neighbours(points, shape.closed)
    return points


def _check_neighbours(points: tuple[ControlPoint, ...], closed: bool) -> None:
    for number, (point, after) in enumerate(pairwise((*points, points[0]) if closed else points), 1):
        following = number % len(points) + 1
        if _same_place(point, after):
            raise OutlineError(
                f"Points {number} and {following} of the outline are the same place "
                f"(x {point.x:.3f}, y {point.y:.3f}); take one of them out."
            )
        if point.role == "through" and after.role == "through":
            raise OutlineError(
                f"Points {number} and {following} of the outline are both 'through'; "
                "an arc takes one 'through' point between two others."
            )
    if not closed and "through" in (points[0].role, points[-1].role):
        raise OutlineError(
            "An open outline begins or ends with a 'through' point; an arc needs a point on both sides."
        )


def _same_place(one: ControlPoint, other: ControlPoint) -> bool:
    return math.hypot(one.x - other.x, one.y - other.y) < SAME_PLACE_M
