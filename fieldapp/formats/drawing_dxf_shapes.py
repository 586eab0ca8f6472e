"""The shapes of DXF entities as points that they are drawn through. x and y as seen from above; heights are left out.

A bulge is the tangent of a quarter of the angle that an arc sweeps, counted anticlockwise from a vertex to the next
(Autodesk, DXF Reference, LWPOLYLINE, group code 42).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from fieldapp.errors import OutlineError
from fieldapp.formats.drawing_found import plain
from fieldapp.model import ControlPoint
from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import Pieces, arc_pieces, cubic_pieces
from fieldapp.outline.smooth_points import points_between, smooth_points

WITHIN_M = 0.00005
"""What is drawn anew leaves the file's curve by no more."""
OF_LENGTH = 1e-6
LEAST_BULGE = 1e-9
SAME_CIRCLE = 1e-7
MOST_DEGREE = 11
PER_KNOT, MOST_PIECES, MOST_CHORDS = 64, 100_000, 60_000
Place = tuple[float, float]


class NotDrawableError(Exception):
    """The entity is of a known kind but cannot be drawn; the text says what it is."""


def bulged(vertices: Sequence[tuple[float, float, float]], closed: bool) -> list[ControlPoint]:
    """Return the points of vertices `(x, y, bulge)`; an arc gets a 'through' point at its middle.

    Where two arcs that follow each other lie on one circle, they are one arc through the vertex between them.
    """
    points: list[ControlPoint] = []
    count = len(vertices)
    for index, (x, y, bulge) in enumerate(vertices):
        points.append(ControlPoint(x, y))
        if (index + 1 == count and not closed) or not abs(bulge) > LEAST_BULGE:
            continue
        to_x, to_y = vertices[(index + 1) % count][:2]
        points.append(_middle(x, y, to_x, to_y, bulge))
    return _arcs_joined(points, closed)


def _middle(x: float, y: float, to_x: float, to_y: float, bulge: float) -> ControlPoint:
    """Return the middle of an arc: it lies half the chord times the bulge aside, to the right for a positive bulge."""
    half_x, half_y = (to_x - x) / 2, (to_y - y) / 2
    return ControlPoint(x + half_x + bulge * half_y, y + half_y - bulge * half_x, "through")


def _arcs_joined(points: list[ControlPoint], closed: bool) -> list[ControlPoint]:
    """Make of the arcs a-m-b and b-n-c on one circle the arc a-b-c, from the start on, each arc joined once."""
    joined: list[ControlPoint] = []
    index = 0
    ring = [*points, points[0]] if closed else points
    while index < len(ring) - 1:
        five = ring[index : index + 5]
        if len(five) == 5 and five[1].role == five[3].role == "through" and _one_circle(five):
            joined += [five[0], ControlPoint(five[2].x, five[2].y, "through")]
            index += 4
        else:
            joined.append(ring[index])
            index += 1
    return joined if closed else [*joined, ring[-1]]


def _one_circle(five: Sequence[ControlPoint]) -> bool:
    """Tell whether five points lie on one circle and do not run round more than all of it."""
    one, other = _circle(five[:3]), _circle(five[2:])
    if one is None or other is None:
        return False
    (x, y, radius, turn), (to_x, to_y, to_radius, more) = one, other
    off = max(abs(x - to_x), abs(y - to_y), abs(radius - to_radius))
    return off <= SAME_CIRCLE * radius and turn * more > 0 and abs(turn + more) < 2 * math.pi - 1e-6


def _circle(three: Sequence[ControlPoint]) -> tuple[float, float, float, float] | None:
    """Return centre, radius and the angle swept of an arc through three points."""
    ax, ay = three[0].x, three[0].y
    bx, by, cx, cy = three[1].x - ax, three[1].y - ay, three[2].x - ax, three[2].y - ay
    cross = 2 * (bx * cy - by * cx)
    if not abs(cross) > 1e-12 * (abs(bx) + abs(by)) * (abs(cx) + abs(cy)):
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * b2 - by * c2) / cross, (bx * c2 - cx * b2) / cross
    first, last = math.atan2(-y, -x), math.atan2(cy - y, cx - x)
    sweep = (last - first) % (2 * math.pi) if cross > 0 else -((first - last) % (2 * math.pi))
    return ax + x, ay + y, math.hypot(x, y), sweep


def round_arc(entity: Any) -> list[ControlPoint]:
    """Return the three points of an ARC."""
    start, end = entity.dxf.start_angle, entity.dxf.end_angle
    middle = start + ((end - start) % 360 or 360) / 2
    points = plain(_on(entity, angle) for angle in (start, middle, end))
    return [points[0], ControlPoint(points[1].x, points[1].y, "through"), points[2]]


def circle(entity: Any) -> list[ControlPoint]:
    """Return the four points of a CIRCLE: two arcs."""
    points = plain(_on(entity, angle) for angle in (0.0, 90.0, 180.0, 270.0))
    return [ControlPoint(at.x, at.y, "through" if index % 2 else "plain") for index, at in enumerate(points)]


def _on(entity: Any, angle_deg: float) -> Place:
    """Return a place on an ARC or CIRCLE as seen from above, also where it lies on its back."""
    from ezdxf.math import Vec3

    centre = entity.dxf.center
    flat = Vec3.from_deg_angle(angle_deg, abs(entity.dxf.radius)) + Vec3(centre)
    seen = entity.ocs().to_wcs(flat)
    return float(seen.x), float(seen.y)


def ellipse(entity: Any, unit_m: float | None) -> tuple[list[ControlPoint], bool, bool]:
    """Return the points of an ELLIPSE, whether it is a whole one, and whether it is smooth through them."""
    major, minor = entity.dxf.major_axis, entity.minor_axis
    first, last = float(entity.dxf.start_param), float(entity.dxf.end_param)
    sweep = (last - first) % (2 * math.pi)
    whole = sweep < 1e-9 or sweep > 2 * math.pi - 1e-9
    angles = np.linspace(first, first + (2 * math.pi if whole else sweep), 5)
    centre = np.array([entity.dxf.center.x, entity.dxf.center.y], dtype=float)
    axes = np.array([(major.x, major.y), (minor.x, minor.y)], dtype=float)
    points, smooth = _smooth(Curve(arc_pieces(centre, np.zeros(2), axes, angles), whole), unit_m)
    return points, whole, smooth


def spline(entity: Any, unit_m: float | None, most_points: int) -> tuple[list[ControlPoint], bool, bool]:
    """Return the points of a SPLINE, whether it is closed, and whether it is smooth through them.

    Where it is the smooth curve through the ends of its own pieces, as we write it, these are its points.
    """
    counts = len(entity.control_points), len(entity.fit_points), len(entity.knots)
    if max(counts) > most_points or not 1 <= entity.dxf.degree <= MOST_DEGREE:
        raise NotDrawableError("SPLINE of too many points or too high a degree")
    tool = entity.construction_tool()
    if tool.degree == 3 and not tool.is_rational:
        pieces = _cubics([[(at.x, at.y) for at in four] for four in tool.bezier_decomposition()])
    else:
        pieces = _followed(tool)
    ends = pieces.position(np.array([0, len(pieces) - 1]), np.array([0.0, 1.0]))
    closed = len(pieces) > 1 and float(np.hypot(*(ends[1] - ends[0]))) <= 1e-9 * float(
        np.abs(pieces.cubic).max()
    )
    curve = Curve(pieces, closed)
    found = points_between(pieces, closed, _within(curve, unit_m))
    points, smooth = (list(found), True) if found else _smooth(curve, unit_m)
    return points, closed, smooth


def _followed(tool: Any) -> Pieces:
    """Return cubics with the directions of a spline of another degree, many between two of its knots."""
    knots = sorted({float(knot) for knot in tool.knots()})
    if len(knots) * PER_KNOT > MOST_PIECES:
        raise NotDrawableError("SPLINE of too many points or too high a degree")
    turns = [
        knots[0],
        *(a + (b - a) * (at + 1) / PER_KNOT for a, b in pairwise(knots) for at in range(PER_KNOT)),
    ]
    both = [(place, slope) for place, slope in tool.derivatives(turns, 1)]
    xy = np.array([(place.x, place.y) for place, _ in both], dtype=float)
    slope = np.array([(slope.x, slope.y) for _, slope in both], dtype=float)
    if not (np.isfinite(xy).all() and np.isfinite(slope).all()):
        raise NotDrawableError("SPLINE whose points are no sound numbers")
    step = np.diff(turns)[:, np.newaxis]
    return cubic_pieces(xy, slope[:-1] * step, slope[1:] * step)


def _cubics(fours: list[list[Place]]) -> Pieces:
    """Return cubic Bézier curves as pieces: their controls `(P, 4, 2)` turned into powers of u."""
    control = np.array(fours, dtype=float)
    if control.ndim != 3 or not np.isfinite(control).all():
        raise NotDrawableError("SPLINE whose points are no sound numbers")
    origin = control[0, 0].copy()
    a, b, c, d = (control - origin).transpose(1, 0, 2)
    cubic = np.stack([a, 3 * (b - a), 3 * (a - 2 * b + c), d - 3 * c + 3 * b - a], axis=1)
    count = len(cubic)
    return Pieces(origin, cubic, np.zeros((count, 2, 2)), np.zeros((count, 2)))


def _smooth(curve: Curve, unit_m: float | None) -> tuple[list[ControlPoint], bool]:
    """Return points on a curve, and whether it is smooth through them; a very crooked one is traced by chords."""
    within = _within(curve, unit_m)
    if np.sqrt(curve.pieces.bend() / within).sum() > MOST_CHORDS:
        raise NotDrawableError("curves too crooked or too large to be drawn")
    try:
        return list(smooth_points(curve, within)), True
    except OutlineError:
        return plain(curve.vertices(within)), False


def _within(curve: Curve, unit_m: float | None) -> float:
    """Return how far what is drawn anew may leave a curve, in its unit; a millionth of its length if unknown."""
    if not 0 < curve.length_m < math.inf:
        raise NotDrawableError("curves without a length")
    return curve.length_m * OF_LENGTH if unit_m is None else WITHIN_M / unit_m
