"""Few control points whose smooth curve follows a dense line: for shapes that were not drawn by points."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.pieces import FloatArray, IntArray

FIGURES = 4
"""Control points are written to a tenth of a millimetre."""
CORNER_DEG = 12.0
"""Where a dense line turns by more at one vertex there is a corner; in its bends it turns by less."""
STRAIGHT_M, STRAIGHT_TIMES = 0.5, 5
"""A chord longer than this, and than so many times the middle one, is straight: a corner stands at both its ends."""
ONE_CORNER_M = 0.003
"""Corners that lie no farther apart are one."""
CELL_M = 0.05
EVENED_CELLS = 5
"""The bend of a line is evened out over so many cells of its length before points are spread by it."""
TRACE_M = 0.0002
FEWEST, MOST = 4, 400
ROUNDS = 60
AIMED_SHARE, LEAST_CHANGE, MOST_CHANGE = 0.6, 0.75, 1.5
ORDER, CALMED_BY = 0.25, 4
"""In round n points get denser by (off / (share x within)) ^ (order / (1 + n / calmed by)), within the two changes;
found by trying ellipses, kidneys and offsets of them."""


@dataclass(frozen=True)
class FittedShape:
    """A smooth closed outline through few points, and how far its curve lies from what it follows, metres at most."""

    shape: DrawnShape
    off_m: float


@dataclass(frozen=True, eq=False)
class _Run:
    """A stretch between two corners: vertices `xy` `(M, 2)`, their length so far, and points per metre by cell."""

    xy: FloatArray
    along: FloatArray
    dense: FloatArray
    begins_at_corner: bool

    @property
    def cells(self) -> FloatArray:
        """Length so far at the ends of the cells."""
        return np.linspace(0.0, self.along[-1], len(self.dense) + 1)

    def steps(self) -> FloatArray:
        """Length so far at its points, both ends too."""
        share = np.concatenate([[0.0], np.cumsum(self.dense)]) * self.cells[1]
        count = max(1 if self.begins_at_corner else FEWEST, int(np.ceil(share[-1])))
        return np.interp(np.linspace(0.0, share[-1], count + 1), share, self.cells)


def fitted_shape(ring: FloatArray, within_m: float) -> FittedShape:
    """Return a smooth outline that leaves a closed dense line nowhere by more than `within_m`.

    `ring` `(M, 2)` are its vertices, the first given again as the last, course metres. Points are made denser where
    the curve leaves the line and sparser where it need not be so near; a corner stands where the line turns sharply.
    Raises OutlineError where 400 points do not do.
    """
    runs = _runs(ring)
    for number in range(ROUNDS):
        steps = [run.steps() for run in runs]
        shape = _shape(runs, steps)
        if len(shape.points) > MOST:
            break
        drawn = shapely.LineString(build_curve(shape).vertices(TRACE_M))
        away = [shapely.distance(shapely.points(run.xy), drawn) for run in runs]
        if max(float(one.max()) for one in away) <= within_m:
            off_m = float(shapely.hausdorff_distance(drawn, shapely.LineString(ring)))
            if off_m <= within_m:
                return FittedShape(shape, off_m)
        change = ORDER / (1 + number / CALMED_BY)
        runs = [_denser(*one, within_m, change) for one in zip(runs, steps, away, strict=True)]
    raise OutlineError(
        f"The line cannot be followed within {within_m * 1000:g} mm by {MOST} points; "
        "smooth the outline first, or choose another distance."
    )


def _denser(run: _Run, steps: FloatArray, away: FloatArray, within_m: float, order: float) -> _Run:
    """Return a run with its points denser where its vertices are too far `away` `(M,)`, sparser where they are near."""
    step = np.clip(np.searchsorted(steps, run.along, side="right") - 1, 0, len(steps) - 2)
    worst = np.zeros(len(steps) - 1)
    np.maximum.at(worst, step, away)
    change = np.clip((worst / (AIMED_SHARE * within_m)) ** order, LEAST_CHANGE, MOST_CHANGE)
    around = np.pad(change, 1, mode="edge" if run.begins_at_corner else "wrap")
    change = np.maximum(change, (around[:-2] + around[2:]) / 2)
    middle = (run.cells[:-1] + run.cells[1:]) / 2
    by_cell = np.interp(middle, (steps[:-1] + steps[1:]) / 2, change)
    now = (len(steps) - 1) / (float(run.dense.sum()) * run.cells[1] or 1.0)
    return replace(run, dense=run.dense * min(now, 1.0) * by_cell)


def _runs(ring: FloatArray) -> list[_Run]:
    """Return the stretches of a ring between its corners, in order round it; all of it where it has none."""
    chord = np.diff(ring, axis=0)
    turn = _turns(chord, np.roll(chord, 1, axis=0))
    long = _long(chord)
    sharp = np.abs(turn) > np.deg2rad(CORNER_DEG)
    corners = _apart(np.flatnonzero(sharp | long | np.roll(long, 1)), ring)
    if not corners:
        return [_run(ring, turn, begins_at_corner=False)]
    turn[corners] = 0.0
    first = corners[0]
    xy, turn = np.concatenate([ring[first:-1], ring[: first + 1]]), np.roll(turn, -first)
    ends = [*(corner - first for corner in corners), len(turn)]
    return [_run(xy[a : b + 1], turn[a:b], begins_at_corner=True) for a, b in pairwise(ends)]


def _long(chord: FloatArray) -> NDArray[np.bool_]:
    length = np.hypot(*chord.T)
    return np.asarray(length > max(STRAIGHT_M, STRAIGHT_TIMES * float(np.median(length))))


def _apart(corners: IntArray, ring: FloatArray) -> list[int]:
    """Return the corners, of those that are one the first."""
    kept: list[int] = []
    for corner in corners.tolist():
        near = [
            one for one in (kept[:1] + kept[-1:]) if np.hypot(*(ring[one] - ring[corner])) <= ONE_CORNER_M
        ]
        kept += [] if near else [corner]
    return kept


def _turns(chord: FloatArray, before: FloatArray) -> FloatArray:
    cross = before[:, 0] * chord[:, 1] - before[:, 1] * chord[:, 0]
    return np.asarray(np.arctan2(cross, np.sum(before * chord, axis=1)))


def _run(xy: FloatArray, turn: FloatArray, begins_at_corner: bool) -> _Run:
    """Return a run with points about evenly by the root of its bend; `turn` `(M - 1,)` is at each chord's start."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    ends = np.linspace(0.0, along[-1], max(8, min(4000, round(along[-1] / CELL_M))) + 1)
    heading = np.interp(ends, along[:-1], np.cumsum(turn))
    bend = np.abs(np.diff(heading)) / ends[1]
    evened = np.convolve(
        np.pad(bend, EVENED_CELLS // 2, mode="edge"), np.full(EVENED_CELLS, 1 / EVENED_CELLS), "valid"
    )
    dense = np.sqrt(evened)
    return _Run(xy, along, (dense + dense.mean() / 2 + 1e-3) / 1.5, begins_at_corner)


def _shape(runs: list[_Run], steps: list[FloatArray]) -> DrawnShape:
    points: list[ControlPoint] = []
    for run, at in zip(runs, steps, strict=True):
        xy = np.stack([np.interp(at[:-1], run.along, run.xy[:, axis]) for axis in (0, 1)], axis=1)
        points += (ControlPoint(float(x), float(y)) for x, y in np.round(xy, FIGURES))
        if run.begins_at_corner:
            points[-len(xy)] = replace(points[-len(xy)], role="corner")
    return DrawnShape(tuple(points), "smooth", closed=True)
