"""The line of play: tee plate, turning points, centre of the green; distances along it and to its sides."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import OutlineError
from fieldapp.model import Site, Tee

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
TIE_M = 1e-9


@dataclass(frozen=True, eq=False)
class LineOfPlay:
    """A line through `vertices` `(M, 2)`, course metres, in order of play. Raises OutlineError if it cannot
    be one.

    The first leg is taken to run on backwards behind the tee and the last one on beyond the green, so every
    place has a distance along. At a bend the nearest leg counts, of equally near ones the earlier. On the
    outside of a bend, where the turning point itself is nearest, the distance along is the turning point's
    and the offset is the straight distance from it.
    """

    vertices: FloatArray

    def __post_init__(self) -> None:
        vertices = np.asarray(self.vertices, dtype=float)
        object.__setattr__(self, "vertices", vertices)
        if not np.isfinite(vertices).all():
            raise OutlineError("The line of play has a point that is not a number; give x and y in figures.")
        for number, (start, end) in enumerate(pairwise(vertices), 1):
            if np.hypot(*(end - start)) < 0.001:
                raise OutlineError(
                    f"Points {number} and {number + 1} of the line of play are the same place "
                    f"(x {start[0]:.2f}, y {start[1]:.2f}); "
                    "the tee, the turning points and the green must be apart."
                )

    @property
    def legs_m(self) -> FloatArray:
        """Lengths `(M - 1,)` of the legs, course metres."""
        leg = np.diff(self.vertices, axis=0)
        return np.asarray(np.sqrt(leg[:, 0] ** 2 + leg[:, 1] ** 2))

    @property
    def length_m(self) -> float:
        """Length from tee to green, course metres."""
        return float(self.legs_m.sum())

    def locate(self, xy: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Return along and offset (right positive) `(...)`, course metres, of places `(..., 2)`."""
        on_leg, away, leg = self._nearest(xy)
        side, distance = _dot(away, self._rightward(leg, on_leg)), np.sqrt(_dot(away, away))
        return on_leg + self._begins_m[leg], np.where(side < 0, -distance, distance)

    def along_in_cells(self, xy: ArrayLike) -> tuple[FloatArray, IntArray]:
        """Return along, and the number of what is nearest, `(...)` each, of places `(..., 2)`.

        Leg k has number 2 k, the turning point at its end 2 k + 1.
        """
        on_leg, _, leg = self._nearest(xy)
        return on_leg + self._begins_m[leg], 2 * leg + self._at_end(leg, on_leg)

    def at(self, along_m: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Return places `(..., 2)` at distances along `(...)` and the course bearings of play there, degrees.

        A turning point has the bearing of the leg that leads to it.
        """
        along, length = np.asarray(along_m, dtype=float), self.legs_m
        leg = np.minimum(np.searchsorted(np.cumsum(length), along), len(length) - 1)
        unit = (np.diff(self.vertices, axis=0) / length[:, np.newaxis])[leg]
        place = self.vertices[leg] + (along - (np.cumsum(length) - length)[leg])[..., np.newaxis] * unit
        return place, np.asarray(np.rad2deg(np.arctan2(unit[..., 0], unit[..., 1])) % 360.0)

    @property
    def _begins_m(self) -> FloatArray:
        return np.asarray(np.cumsum(self.legs_m) - self.legs_m)

    @property
    def _forward(self) -> FloatArray:
        return np.asarray(np.diff(self.vertices, axis=0) / self.legs_m[:, np.newaxis])

    def _nearest(self, xy: ArrayLike) -> tuple[FloatArray, FloatArray, IntArray]:
        """Return how far along its nearest leg each place lies, the way from there `(..., 2)`, and which leg it is."""
        length, unit = self.legs_m, self._forward
        low, high = np.zeros(len(length)), length.copy()
        low[0], high[-1] = -np.inf, np.inf
        from_start = np.asarray(xy, dtype=float)[..., np.newaxis, :] - self.vertices[:-1]
        on_leg = np.clip(_dot(from_start, unit), low, high)
        away = from_start - on_leg[..., np.newaxis] * unit
        distance = np.sqrt(_dot(away, away))
        leg = np.argmax(distance <= distance.min(axis=-1, keepdims=True) + TIE_M, axis=-1)
        which = leg[..., np.newaxis]
        on_nearest = np.take_along_axis(on_leg, which, axis=-1)[..., 0]
        return on_nearest, np.take_along_axis(away, which[..., np.newaxis], axis=-2)[..., 0, :], leg

    def _at_end(self, leg: IntArray, on_leg: FloatArray) -> NDArray[np.bool_]:
        return (on_leg >= self.legs_m[leg]) & (leg < len(self.vertices) - 2)

    def _rightward(self, leg: IntArray, on_leg: FloatArray) -> FloatArray:
        """Return what counts as right `(..., 2)`; at a turning point square to the mean of both legs."""
        unit = self._forward
        at_end, at_start = self._at_end(leg, on_leg), (on_leg <= 0.0) & (leg > 0)
        after, before = (unit[(leg + step) % len(unit)] for step in (1, -1))
        forward = unit[leg] + at_end[..., np.newaxis] * after + at_start[..., np.newaxis] * before
        return np.stack([forward[..., 1], -forward[..., 0]], axis=-1)


def _dot(one: FloatArray, other: FloatArray) -> FloatArray:
    return np.asarray(one[..., 0] * other[..., 0] + one[..., 1] * other[..., 1])


def line_of_play(site: Site, tee: Tee) -> LineOfPlay:
    """Return the line of play of a tee's hole from that tee; raises NotFoundError, OutlineError."""
    hole = site.hole(tee.hole)
    try:
        return LineOfPlay(np.array([(tee.x, tee.y), *hole.turning_points, (hole.green_x, hole.green_y)]))
    except OutlineError as error:
        raise OutlineError(f"Hole {hole.number} from tee '{tee.id}': {error}") from error


def hole_length(line: LineOfPlay, ground_scale: float) -> int:
    """Return the length of a hole in whole ground metres, as course raters give it.

    Level legs from tee to each turning point to the centre of the green, each to 0.1 m, summed, the sum to
    the whole metre, halves up: 234.5 is 235 (Deutscher Golf Verband, rule for measuring courses). Python's
    round() would say 234.
    """
    legs = (Decimal(f"{leg:.6f}") for leg in line.legs_m * ground_scale)
    total = sum((leg.quantize(Decimal("0.1"), ROUND_HALF_UP) for leg in legs), Decimal(0))
    return int(total.quantize(Decimal(1), ROUND_HALF_UP))
