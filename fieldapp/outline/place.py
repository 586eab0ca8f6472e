"""Placing: a bunker's outlines laid on the course grid, drawn there or placed by play from a tee."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fieldapp.errors import OutlineError
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Ellipse, Kidney, Placement, Shape, Site
from fieldapp.outline.control_points import MOST_ACROSS_M
from fieldapp.outline.curve import Curve, build_curve, not_crossing
from fieldapp.outline.pieces import FloatArray, Pieces, arc_pieces, cubic_pieces, join
from fieldapp.play.line_of_play import line_of_play

KIDNEY_PIECES = 64


@dataclass(frozen=True, eq=False)
class OwnFrame:
    """A bunker's own axes on the course grid: its centre `(2,)` and, as rows, what one ground metre is there.

    `axes[0]` runs along the long axis, `axes[1]` to the right of it; course metres per ground metre.
    """

    centre: FloatArray
    axes: FloatArray


def outline_curves(site: Site, bunker: Bunker, grid_ground_scale: float) -> dict[str, Curve]:
    """Return every outline of a bunker by its id, in course metres.

    `grid_ground_scale` is ground metres per course metre. Raises OutlineError naming bunker and outline;
    NotFoundError for a tee or hole that is not there.
    """
    frame = None if bunker.place is None else own_frame(site, bunker.place, grid_ground_scale)
    curves = {}
    for outline in bunker.outlines:
        try:
            curves[outline.id] = _curve(outline.shape, frame)
        except OutlineError as error:
            raise OutlineError(f"Bunker '{bunker.id}', outline '{outline.id}': {error}") from error
    return curves


def own_frame(site: Site, place: Placement, ground_scale: float) -> OwnFrame:
    """Return a placed bunker's own axes: from its tee along the line of play, then square off it, then
    skewed.
    """
    if not np.isfinite([place.along_m, place.offset_m, place.skew_deg]).all():
        raise OutlineError(
            "The bunker's place has a figure that is not a number; give along, offset and skew in figures."
        )
    line = line_of_play(site, site.tee(place.tee))
    on_line, play_deg = line.at(place.along_m / ground_scale)
    right = _axes(float(play_deg))[1]
    return OwnFrame(
        on_line + right * (place.offset_m / ground_scale),
        _axes(float(play_deg) + place.skew_deg) / ground_scale,
    )


def _axes(bearing_deg: float) -> FloatArray:
    sine, cosine = np.sin(np.deg2rad(bearing_deg)), np.cos(np.deg2rad(bearing_deg))
    return np.array([[sine, cosine], [cosine, -sine]])


def _curve(shape: Shape, frame: OwnFrame | None) -> Curve:
    if isinstance(shape, DrawnShape):
        return build_curve(shape if frame is None else moved_shape(shape, frame))
    if frame is None:
        raise OutlineError(
            "An ellipse or kidney has no place of its own; "
            "give the bunker a place (tee, along, offset, skew)."
        )
    _check_size(shape)
    if isinstance(shape, Kidney):
        return not_crossing(Curve(_kidney(shape, frame), closed=True))
    return Curve(_half_ellipses(shape, frame, 0.0, 2 * np.pi), closed=True)


def moved_shape(shape: DrawnShape, frame: OwnFrame) -> DrawnShape:
    """Return a shape about a bunker's own centre in course metres."""
    own = np.array([(point.x, point.y) for point in shape.points]).reshape(-1, 2)
    course = frame.centre + own @ frame.axes
    points = (ControlPoint(float(x), float(y)) for x, y in course)
    return replace(
        shape,
        points=tuple(replace(at, role=was.role) for at, was in zip(points, shape.points, strict=True)),
    )


def _check_size(shape: Ellipse | Kidney) -> None:
    sizes = {"length": shape.length_m, "width": shape.width_m}
    for name, size_m in sizes.items():
        if not 0.01 <= size_m <= MOST_ACROSS_M:
            raise OutlineError(f"Its {name} is {size_m:g} m; it must be from 0.01 to {MOST_ACROSS_M:g} m.")
    if isinstance(shape, Kidney) and not 0 <= shape.waist_m < shape.width_m:
        raise OutlineError(
            f"Its waist is pressed in by {shape.waist_m:g} m but it is only {shape.width_m:g} m wide; "
            "the waist must be at least 0 and less than the width."
        )


def _half_ellipses(shape: Ellipse | Kidney, frame: OwnFrame, first: float, last: float) -> Pieces:
    """Return the ellipse in quarters from angle `first` to `last`, clockwise seen from above from the far
    end.
    """
    halves = np.array([[shape.length_m / 2], [shape.width_m / 2]])
    quarters = np.linspace(first, last, round((last - first) / (np.pi / 2)) + 1)
    return arc_pieces(frame.centre, np.zeros(2), frame.axes * halves, quarters)


def _kidney(shape: Kidney, frame: OwnFrame) -> Pieces:
    """Return an ellipse whose right half is pressed in: x = a cos t, y = b sin t - waist sin^4 t for 0 < t <
    pi.

    The fourth power dies out at both ends, so the outline stays smooth there (three derivatives agree). It is
    hollow when the waist is more than an eighth of the width. The right half is cut into cubics with the true
    slopes: they leave it by less than (pi/64)^4/384 (b + 40 waist), some micrometres.
    """
    t = np.linspace(0.0, np.pi, KIDNEY_PIECES + 1)
    a, b = shape.length_m / 2, shape.width_m / 2
    sine, cosine = np.sin(t), np.cos(t)
    own = np.stack([a * cosine, b * sine - shape.waist_m * sine**4], axis=1)
    slope = np.stack([-a * sine, b * cosine - 4 * shape.waist_m * sine**3 * cosine], axis=1)
    slope = slope @ frame.axes * (np.pi / KIDNEY_PIECES)
    right = cubic_pieces(frame.centre + own @ frame.axes, slope[:-1], slope[1:])
    return join([right, _half_ellipses(shape, frame, np.pi, 2 * np.pi)])
