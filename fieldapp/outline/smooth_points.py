"""Points through which the smooth curve is some other curve: a spline, an ellipse, a kidney."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint
from fieldapp.outline.curve import CORNER_TURN_DEG, Curve
from fieldapp.outline.pieces import FloatArray, Pieces, join, smooth_pieces

MOST_POINTS, FIRST_COUNT, MOST_CHORDS = 1_500, 4, 200_000
PER_INTERVAL = (np.arange(8) + 0.5) / 8


def smooth_points(curve: Curve, within: float) -> tuple[ControlPoint, ...]:
    """Return points on a curve through which the smooth curve leaves it by no more than `within`, its own unit.

    Corners of the curve become 'corner' points. Raises OutlineError where more than 1,500 points are needed.
    """
    trace = _trace(curve, within / 10)
    corners = curve.corners_m
    if curve.closed and not len(corners):
        chainage = _through(curve, 0.0, curve.length_m, within, trace, True)
        return _control_points(curve.points_at(chainage[:-1]), np.zeros(len(chainage) - 1, dtype=bool))
    stops = [*corners, corners[0] + curve.length_m] if curve.closed else [0.0, *corners, curve.length_m]
    runs = [_through(curve, start, end, within, trace, False)[:-1] for start, end in pairwise(stops)]
    chainage = np.concatenate([*runs, [] if curve.closed else [curve.length_m]])
    if len(chainage) > MOST_POINTS:
        raise _too_crooked()
    return _control_points(curve.points_at(chainage), np.isin(chainage, corners))


def _through(
    curve: Curve, start: float, end: float, within: float, trace: shapely.STRtree, is_ring: bool
) -> FloatArray:
    """Return chainages `(N,)` from `start` to `end`, as few as do; the curve has no corner between."""
    ends = curve.points_at([start, end])
    count = FIRST_COUNT if is_ring or np.hypot(*(ends[1] - ends[0])) < within else 1
    while count <= MOST_POINTS:
        chainage = start + (end - start) * (
            np.linspace(0, 1, count + 1) if is_ring else _graded(count, within, end - start)
        )
        xy = curve.points_at(chainage)
        pieces = smooth_pieces(xy[:-1] if is_ring else xy, closed=is_ring)
        if _away(pieces, trace) <= within * 0.9:
            return chainage
        count += max(count // 3, 1)
    raise _too_crooked()


def _graded(count: int, within: float, length: float) -> FloatArray:
    """Return shares of a stretch, closer at its ends, where a smooth curve knows its direction by a chord only.

    With intervals h the curve is off by some h^2 / 14 / radius at an end, and by h^2 times the change of h along it
    elsewhere; both stay alike where h grows with the third root of the way from the end.
    """
    first = min(np.sqrt(within / length), 0.1)
    half = np.array([(first + at) ** (2 / 3) - first ** (2 / 3) for at in (0.0, 0.5)])
    even = np.linspace(0, 2, count + 1)
    near = np.minimum(even, 2 - even) * half[1]
    share = (near + first ** (2 / 3)) ** 1.5 - first
    share[[0, -1]] = 0.0
    return np.asarray(np.where(even <= 1, share, 1 - share))


def _trace(curve: Curve, sagitta: float) -> shapely.STRtree:
    if np.sqrt(curve.pieces.bend() / (8 * sagitta)).sum() > MOST_CHORDS:
        raise _too_crooked()
    vertices = curve.vertices(sagitta)
    return shapely.STRtree(shapely.linestrings(np.stack([vertices[:-1], vertices[1:]], axis=1)))


def _away(pieces: Pieces, trace: shapely.STRtree) -> float:
    """Return how far pieces leave a trace."""
    piece = np.repeat(np.arange(len(pieces)), len(PER_INTERVAL))
    places = pieces.position(piece, np.tile(PER_INTERVAL, len(pieces))) + pieces.origin
    if not np.isfinite(places).all():
        return np.inf
    _, away = trace.query_nearest(shapely.points(places), return_distance=True, all_matches=False)
    return float(away.max())


def _control_points(xy: FloatArray, is_corner: NDArray[np.bool_]) -> tuple[ControlPoint, ...]:
    return tuple(
        ControlPoint(float(x), float(y), "corner" if corner else "plain")
        for (x, y), corner in zip(xy, is_corner, strict=True)
    )


def _too_crooked() -> OutlineError:
    return OutlineError(f"The curve is too crooked: it takes more than {MOST_POINTS:,} points to draw it.")


def points_between(pieces: Pieces, closed: bool, within: float) -> tuple[ControlPoint, ...] | None:
    """Return the joints of cubic pieces as points, where the smooth curve through them is those pieces; else None.

    A joint is a 'corner' where the pieces do not run on through it as the smooth curve would.
    """
    every = np.arange(len(pieces))
    ends = pieces.position(every, np.ones(len(every)))
    xy = np.concatenate([pieces.position(every[:1], np.zeros(1)), ends]) + pieces.origin
    if len(np.unique(xy, axis=0)) < 2 or np.any(np.hypot(*np.diff(xy, axis=0).T) < 1e-9):
        return None
    is_corner = _breaks(pieces, xy, closed)
    if closed and is_corner.any() and not is_corner[0]:
        return None
    drawn = _smooth(xy, is_corner, closed)
    if np.abs(drawn.origin - pieces.origin + drawn.cubic[:, 0] - pieces.cubic[:, 0]).max() > within:
        return None
    if len(drawn) != len(pieces) or np.abs(drawn.cubic[:, 1:] - pieces.cubic[:, 1:]).max() > within:
        return None
    last = -1 if closed else None
    return _control_points(xy[:last], is_corner[:last])


def _smooth(xy: FloatArray, is_corner: NDArray[np.bool_], closed: bool) -> Pieces:
    """Return the smooth curve through points `(N, 2)`, broken at corners `(N,)`; a closed one's last is its first."""
    if closed and not is_corner.any():
        return smooth_pieces(xy[:-1], closed=True)
    ends = np.unique(np.concatenate([[0], np.flatnonzero(is_corner), [len(xy) - 1]]))
    return join([smooth_pieces(xy[a : b + 1], closed=False) for a, b in pairwise(ends)])


def _breaks(pieces: Pieces, xy: FloatArray, closed: bool) -> NDArray[np.bool_]:
    """Tell at which of the joints `(P + 1,)` the curve does not run on as the smooth curve through all would."""
    every = np.arange(len(pieces))
    leaving = _unit(pieces.velocity(every, np.zeros(len(every))))
    arriving = _unit(pieces.velocity(every, np.ones(len(every))))
    whole = smooth_pieces(xy[:-1], closed=True) if closed else smooth_pieces(xy, closed=False)
    smooth_leaving = _unit(whole.velocity(every, np.zeros(len(every))))
    off = np.linalg.norm(leaving - smooth_leaving, axis=1) > np.deg2rad(CORNER_TURN_DEG) / 2
    turned = np.linalg.norm(leaving - np.roll(arriving, 1, axis=0), axis=1) > np.deg2rad(CORNER_TURN_DEG) / 2
    breaks = np.append(off | turned, False)
    breaks[0] &= closed
    breaks[-1] = closed and breaks[0]
    return breaks


def _unit(vectors: FloatArray) -> FloatArray:
    return np.asarray(vectors / np.maximum(np.linalg.norm(vectors, axis=1, keepdims=True), 1e-300))
