"""A curve on the ground, walked by chainage, traced by chords, built from the points it is drawn through."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.control_points import checked_points
from fieldapp.outline.pieces import (
    FloatArray,
    IntArray,
    Pieces,
    arc_piece,
    join,
    line_pieces,
    smooth_pieces,
)
from fieldapp.outline.steps import STEP_SAGITTA_M, Steps

CELLS = 8
"""Stretches into which each piece is cut for its table of lengths."""
MOST_STEPS, FOUND_M = 60, 1e-11
"""A place along the curve is sought in at most so many steps, until it is found to so many metres."""
CORNER_TURN_DEG = 0.01
"""Where pieces meet at more than this angle there is a corner."""
TIE_M = 1e-6
_NODES, _WEIGHTS = (array / 2 for array in np.polynomial.legendre.leggauss(8))


class Curve:
    """A curve of joined pieces in course metres; `closed` ones run clockwise seen from above.

    Chainage runs from the start of the first piece. Lengths and area are Gauss-Legendre sums of eight nodes
    over eighths of a piece: for outlines without cusps they are off by less than a micrometre.
    """

    def __init__(self, pieces: Pieces, closed: bool, corner_at_start: ArrayLike = False) -> None:
        """Join pieces; `corner_at_start` `(P,)` marks those that begin at a corner even if nothing turns."""
        self.pieces = pieces
        self.closed = closed
        self._cells_m = np.concatenate([[0.0], np.cumsum(self._cell_lengths())])
        self.length_m = float(self._cells_m[-1])
        corner = self._turns() | np.broadcast_to(np.asarray(corner_at_start, dtype=bool), len(pieces))
        corner[0] &= closed
        self.corners_m: FloatArray = self._cells_m[:-1:CELLS][corner]

    @property
    def signed_area_m2(self) -> float:
        """Area by Green's theorem, negative when the curve runs clockwise; 0 for an open curve."""
        if not self.closed:
            return 0.0
        piece, start = self._cells()
        u = start[:, np.newaxis] + (_NODES + 0.5) / CELLS
        x, y = self.pieces.position(piece[:, np.newaxis], u).T
        dx, dy = self.pieces.velocity(piece[:, np.newaxis], u).T
        return float(np.sum((x * dy - y * dx).T @ _WEIGHTS) / (2 * CELLS))

    @property
    def area_m2(self) -> float:
        """Area inside a closed curve; 0 for an open one."""
        return abs(self.signed_area_m2)

    @cached_property
    def steps(self) -> Steps:
        """The curve in steps of a millimetre's sagitta, from its very start to its very end."""
        piece, u = self.trace_parameters(STEP_SAGITTA_M)
        high = np.where(u[1:] == 0.0, 1.0, u[1:])
        return Steps(self.pieces, piece[:-1], u[:-1], high, self.pieces.position(piece, u))

    def points_at(self, chainage_m: ArrayLike) -> FloatArray:
        """Return positions `(..., 2)` at chainages `(...)`.

        Past its length a closed curve goes round again; an open one stops at its ends.
        """
        wanted = np.asarray(chainage_m, dtype=float)
        wanted = wanted % self.length_m if self.closed else np.clip(wanted, 0.0, self.length_m)
        cell = np.clip(np.searchsorted(self._cells_m, wanted, side="right") - 1, 0, len(self._cells_m) - 2)
        piece, start = cell // CELLS, (cell % CELLS) / CELLS
        rest = wanted - self._cells_m[cell]
        u = self._found(piece, start, rest, np.diff(self._cells_m)[cell])
        return self.pieces.position(piece, u) + self.pieces.origin

    def _found(self, piece: IntArray, start: FloatArray, rest: FloatArray, whole: FloatArray) -> FloatArray:
        """Return the parameters where cells of length `whole` have run `rest` from their start.

        Newton's steps, each kept within what is bracketed so far: where the curve nearly stops, as in the
        tight end of a long stretch, a step alone overshoots for ever.
        """
        low, high = start, start + 1 / CELLS
        u = start + rest / np.maximum(whole, 1e-300) / CELLS
        for _ in range(MOST_STEPS):
            over = self._length_between(piece, start, u) - rest
            if np.all(np.abs(over) <= FOUND_M):
                break
            low, high = np.where(over < 0, u, low), np.where(over > 0, u, high)
            speed = np.hypot(*self.pieces.velocity(piece, u).T).T
            step = u - over / np.maximum(speed, 1e-12)
            u = np.where((step >= low) & (step <= high), step, (low + high) / 2)
        return u

    def vertices(self, sagitta_m: float) -> FloatArray:
        """Return the trace `(M, 2)` from the very start to the very end, its chainage not asked for."""
        return self.pieces.position(*self.trace_parameters(sagitta_m)) + self.pieces.origin

    def trace(self, sagitta_m: float, start_m: float = 0.0) -> FloatArray:
        """Return vertices `(M, 2)` whose chords leave the curve nowhere by more than `sagitta_m`.

        A closed trace begins and ends at chainage `start_m`; an open one runs backwards when `start_m` is its
        length.
        """
        return self.trace_with_chainage(sagitta_m, start_m)[0]

    def trace_with_chainage(self, sagitta_m: float, start_m: float = 0.0) -> tuple[FloatArray, FloatArray]:
        """Return the trace and the chainage `(M,)` of its vertices from `start_m`."""
        piece, u = self.trace_parameters(sagitta_m)
        xy = self.pieces.position(piece, u) + self.pieces.origin
        chainage = self._chainage(piece, u)
        if self.closed:
            return self._from(start_m, xy, chainage)
        if start_m > self.length_m / 2:
            return xy[::-1], self.length_m - chainage[::-1]
        return xy, chainage

    def nearest_m(self, xy: ArrayLike) -> float:
        """Return the chainage of the location nearest to `xy` `(2,)`; ties go as in `first_nearest`."""
        target = np.asarray(xy, dtype=float) - self.pieces.origin
        piece, u = self.trace_parameters(0.01)
        along = piece + u
        away = np.hypot(*(self.pieces.position(piece, u) - target).T)
        reachable = self._reachable(along, away)
        low, high = along[:-1][reachable], along[1:][reachable]
        for _ in range(48):
            middle = (low + high) / 2
            piece, u = self._split(middle)
            toward = self.pieces.position(piece, u) - target
            past = np.sum(toward * self.pieces.velocity(piece, u), axis=-1) > 0
            low, high = np.where(past, low, middle), np.where(past, middle, high)
        piece, u = self._split((low + high) / 2)
        best = first_nearest(self.pieces.position(piece, u), target)
        return float(self._chainage(piece, u)[best])

    def _reachable(self, along: FloatArray, away: FloatArray) -> NDArray[np.bool_]:
        """Tell which steps of the curve could hold the nearest location; others are too short for it."""
        closest = (away[:-1] + away[1:] - np.diff(self._chainage(*self._split(along)))) / 2
        return np.asarray(closest <= away.min() + TIE_M)

    def _split(self, along: FloatArray) -> tuple[IntArray, FloatArray]:
        piece = np.clip(along.astype(np.intp), 0, len(self.pieces) - 1)
        return piece, along - piece

    def trace_parameters(self, sagitta_m: float) -> tuple[IntArray, FloatArray]:
        """Return piece and u `(M,)` of a trace's vertices, from the very start to the very end.

        Between parameters h apart a curve leaves its chord by at most h^2/8 times its largest second
        derivative.
        """
        count = np.maximum(np.ceil(np.sqrt(self.pieces.bend() / (8 * sagitta_m))), 1).astype(np.intp)
        piece = np.repeat(np.arange(len(count)), count)
        step = np.arange(len(piece)) - np.repeat(np.cumsum(count) - count, count)
        return np.append(piece, len(count) - 1), np.append(step / count[piece], 1.0)

    def _from(self, start_m: float, xy: FloatArray, chainage: FloatArray) -> tuple[FloatArray, FloatArray]:
        start = self.points_at([start_m])
        shifted = (chainage[:-1] - start_m) % self.length_m
        order = np.argsort(shifted, kind="stable")
        order = order[(shifted[order] > 1e-9) & (shifted[order] < self.length_m - 1e-9)]
        ring = np.concatenate([start, xy[order], start])
        return ring, np.concatenate([[0.0], shifted[order], [self.length_m]])

    def _cells(self) -> tuple[IntArray, FloatArray]:
        cell = np.arange(len(self.pieces) * CELLS)
        return cell // CELLS, (cell % CELLS) / CELLS

    def _cell_lengths(self) -> FloatArray:
        piece, start = self._cells()
        return self._length_between(piece, start, start + 1 / CELLS)

    def _chainage(self, piece: IntArray, u: FloatArray) -> FloatArray:
        cell = np.minimum((u * CELLS).astype(np.intp), CELLS - 1)
        return self._cells_m[piece * CELLS + cell] + self._length_between(piece, cell / CELLS, u)

    def _length_between(self, piece: IntArray, start: FloatArray, end: FloatArray) -> FloatArray:
        width = (end - start)[..., np.newaxis]
        u = start[..., np.newaxis] + (_NODES + 0.5) * width
        velocity = self.pieces.velocity(piece[..., np.newaxis], u)
        return np.asarray(np.hypot(velocity[..., 0], velocity[..., 1]) @ _WEIGHTS * width[..., 0])

    def _turns(self) -> NDArray[np.bool_]:
        every = np.arange(len(self.pieces))
        leaving = self.pieces.velocity(every, np.zeros(len(every)))
        arriving = np.roll(self.pieces.velocity(every, np.ones(len(every))), 1, axis=0)
        cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
        turn = np.arctan2(cross, np.sum(arriving * leaving, axis=1))
        return np.asarray(np.abs(turn) > np.deg2rad(CORNER_TURN_DEG))


def first_nearest(xy: FloatArray, target: FloatArray) -> int:
    """Return the index of the point of `xy` `(M, 2)` nearest to `target` `(2,)`.

    Of points equally near (to a micrometre) the one of least x, then of least y, so that the choice does not
    hang on the order of the points.
    """
    away = np.hypot(*(xy - target).T)
    tied = np.flatnonzero(away <= away.min() + TIE_M)
    tied = tied[xy[tied, 0] <= xy[tied, 0].min() + TIE_M]
    return int(tied[np.argmin(xy[tied, 1])])


def build_curve(shape: DrawnShape) -> Curve:
    """Build the curve through a shape's control points; a closed one is turned clockwise however drawn.

    Raises OutlineError for points that cannot make a curve and for a curve that crosses or touches itself.
    """
    points = checked_points(shape)
    curve = _drawn(points, shape)
    if shape.closed and curve.signed_area_m2 > 0:
        curve = _drawn(points[::-1], shape)
    return not_crossing(curve)


def not_crossing(curve: Curve) -> Curve:
    """Return the curve as it is; raises OutlineError, saying where, if it crosses or touches itself."""
    trace = curve.trace(0.001) - curve.pieces.origin
    if shapely.LineString(trace).is_simple:
        return curve
    x, y = _crossing(trace, curve.closed) + curve.pieces.origin
    raise OutlineError(
        f"The outline crosses or touches itself near x {x:.2f}, y {y:.2f}; "
        "put its points in the order in which they lie along the outline."
    )


def _crossing(trace: FloatArray, closed: bool) -> FloatArray:
    chords = shapely.linestrings(np.stack([trace[:-1], trace[1:]], axis=1))
    first, second = shapely.STRtree(chords).query(chords, predicate="intersects")
    apart = second - first
    met = (apart > 1) & ~(closed & (apart == len(chords) - 1))
    if not met.any():
        met = (apart == 1) & (shapely.length(shapely.intersection(chords[first], chords[second])) > 0)
    if not met.any():
        return np.asarray(trace[0])
    pair = np.flatnonzero(met)[0]
    meeting = shapely.intersection(chords[first[pair]], chords[second[pair]])
    return np.asarray(shapely.get_coordinates(meeting)[0])


def _drawn(points: tuple[ControlPoint, ...], shape: DrawnShape) -> Curve:
    breaks = [index for index in range(len(points)) if _breaks(points, index, shape.curve)]
    if shape.closed and not breaks and shape.curve == "smooth":
        return Curve(smooth_pieces(_xy(points), closed=True), closed=True)
    runs = _runs(points, breaks, shape.closed)
    corners = [point.role == "corner" for run in runs for point in run[:-1] if point.role != "through"]
    return Curve(join([_part(run, shape.curve) for run in runs]), shape.closed, corners)


def drawn_runs(shape: DrawnShape) -> list[tuple[ControlPoint, ...]]:
    """Return the points of each arc, straight or smooth run; a closed outline's last run ends at its first point."""
    points = checked_points(shape)
    breaks = [index for index in range(len(points)) if _breaks(points, index, shape.curve)]
    return _runs(points, breaks, shape.closed)


def _runs(
    points: tuple[ControlPoint, ...], breaks: list[int], closed: bool
) -> list[tuple[ControlPoint, ...]]:
    if closed:
        first = breaks[0] if breaks else 0
        points = (*points[first:], *points[: first + 1])
        breaks = [index - first for index in breaks]
    return [points[a : b + 1] for a, b in pairwise(sorted({0, *breaks, len(points) - 1}))]


def _breaks(points: tuple[ControlPoint, ...], index: int, curve: str) -> bool:
    """Tell whether a new run of pieces begins here: at the ends of an arc, at corners of a smooth curve."""
    role, around = points[index].role, (points[index - 1].role, points[(index + 1) % len(points)].role)
    return role != "through" and ("through" in around or (role == "corner" and curve == "smooth"))


def _part(points: tuple[ControlPoint, ...], curve: str) -> Pieces:
    xy = _xy(points)
    if len(points) == 3 and points[1].role == "through":
        arc = arc_piece(*xy)
        if arc is None:
            raise OutlineError(
                f"The arc through x {points[1].x:.3f}, y {points[1].y:.3f} has its three points in one line; "
                "move the 'through' point to the side or make it a plain point."
            )
        return arc
    return line_pieces(xy) if curve == "straight" else smooth_pieces(xy, closed=False)


def _xy(points: tuple[ControlPoint, ...]) -> FloatArray:
    return np.array([(point.x, point.y) for point in points])
