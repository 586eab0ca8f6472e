"""The base line: chainage along a string between two pegs and square offsets from it. Twin: geometry/baseline.js."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import InputError
from fieldapp.tape.intersection import Ellipse, ellipse_axes
from fieldapp.tape.ties import Tape, TiePeg

FloatArray = NDArray[np.float64]

SHORTEST_M = 0.05
"""Two pegs nearer than this carry no string. A choice."""
SQUARE_UNIT_M = 2.0
"""Unit of the 3-4-5 that squares are set with: 6, 8 and 10 m, which one 30 m tape goes round. A choice."""
AT_M = 1e-9
"""A vertex this near a square lies on it."""
SAME_M = 0.001
"""Two crossings of one square this near each other are one: where the outline only touches it."""


@dataclass(frozen=True)
class BaselineRow:
    """A place from the string, ground metres: chainage from its first peg and square offset, right positive.

    `is_on_string` is whether the foot lies between the pegs. `ellipse` is the 95 % ellipse of the place from the
    errors of tape, right angle and pegs.
    """

    chainage_m: float
    offset_m: float
    is_on_string: bool
    ellipse: Ellipse


def chainage_and_offset(xy: ArrayLike, start: ArrayLike, end: ArrayLike) -> FloatArray:
    """Return chainage and offset `(..., 2)` of places `(..., 2)` from the line start to end, ground metres.

    The offset is right positive, looking from start to end. Raises InputError where those are the same place.
    """
    forward, away = _forward(start, end), np.asarray(xy, dtype=float) - np.asarray(start, dtype=float)
    along = away[..., 0] * forward[0] + away[..., 1] * forward[1]
    right = away[..., 0] * forward[1] - away[..., 1] * forward[0]
    return np.stack([along, right], axis=-1)


def point_at(chainage_m: ArrayLike, offset_m: ArrayLike, start: ArrayLike, end: ArrayLike) -> FloatArray:
    """Return the places `(..., 2)` at chainages and offsets `(...)` from the line start to end, ground metres."""
    forward = _forward(start, end)
    right = np.array([forward[1], -forward[0]])
    along, off = np.asarray(chainage_m, dtype=float)[..., None], np.asarray(offset_m, dtype=float)[..., None]
    return np.asarray(np.asarray(start, dtype=float) + along * forward + off * right)


def baseline_table(
    xy: ArrayLike, start: TiePeg, end: TiePeg, tape: Tape, unit_m: float = SQUARE_UNIT_M
) -> tuple[BaselineRow, ...]:
    """Return places `(N, 2)`, ground metres, by the string; `unit_m` is that of the 3-4-5 its squares are set with."""
    found = chainage_and_offset(np.asarray(xy, dtype=float).reshape(-1, 2), start.xy, end.xy)
    length = math.dist(start.xy, end.xy)
    axes = ellipse_axes(_covariance(found, start, end, tape, unit_m))
    return tuple(
        BaselineRow(chainage, offset, 0.0 <= chainage <= length, Ellipse(*ellipse))
        for (chainage, offset), ellipse in zip(found.tolist(), np.stack(axes, axis=1).tolist(), strict=True)
    )


def squares_to(trace: ArrayLike, every_m: float, start: ArrayLike, end: ArrayLike) -> FloatArray:
    """Return chainage and offset `(K, 2)` of an outline at every so many metres along the line, ground metres.

    At each multiple of `every_m`, beyond the ends of the string too where the outline reaches there, every place
    where the square meets the trace `(M, 2)`, from the string outward by offset. What the trace's chords leave out is
    left out here too. Raises InputError for a step of nothing.
    """
    if not (math.isfinite(every_m) and every_m > 0):
        raise InputError(f"The spacing along the string must be more than 0, not {every_m:g}.")
    along, off = chainage_and_offset(trace, start, end).T
    stations = every_m * np.arange(math.ceil(along.min() / every_m), math.floor(along.max() / every_m) + 1)
    rows = [(station, offset) for station in stations for offset in _crossed(along, off, float(station))]
    return np.array(rows, dtype=float).reshape(-1, 2)


def right_angle_sides(unit_m: float) -> tuple[float, float, float]:
    """Return the sides of a 3-4-5 triangle of this unit; the angle between the first two is right (Pythagoras)."""
    return 3 * unit_m, 4 * unit_m, 5 * unit_m


def right_angle_sigma_rad(unit_m: float, tape_error_m: float) -> float:
    """Return one sigma of the right angle that a 3-4-5 of three taped sides gives.

    From the law of cosines at 90 degrees: d(angle) = (c dc - a da - b db) / (a b), so sqrt(50) / 12 = 0.589 times the
    error of a side over the unit.
    """
    a, b, c = right_angle_sides(unit_m)
    return tape_error_m * math.sqrt(a * a + b * b + c * c) / (a * b)


def equal_diagonals(length_m: float, width_m: float) -> float:
    """Return both diagonals of a rectangle, which is square where the two are equal (Pythagoras)."""
    return math.sqrt(length_m * length_m + width_m * width_m)


def _forward(start: ArrayLike, end: ArrayLike) -> FloatArray:
    way = np.asarray(end, dtype=float) - np.asarray(start, dtype=float)
    length = math.sqrt(way[0] ** 2 + way[1] ** 2)
    if length < SHORTEST_M:
        raise InputError("A string needs two pegs that stand apart; choose another peg for one of its ends.")
    return np.asarray(way / length)


def _crossed(along: FloatArray, off: FloatArray, station: float) -> list[float]:
    """Return the offsets at which a trace crosses one square, rising, each once."""
    passed = (along[:-1] <= station) != (along[1:] <= station)
    (low, high), (low_off, high_off) = ((v[:-1][passed], v[1:][passed]) for v in (along, off))
    between = low_off + (station - low) / (high - low) * (high_off - low_off)
    offsets = np.sort(np.concatenate([between, off[np.abs(along - station) <= AT_M]]))
    kept = np.concatenate([[True], np.diff(offsets) > SAME_M])[: len(offsets)]
    return [float(offset) for offset in offsets[kept]]


def _covariance(found: FloatArray, start: TiePeg, end: TiePeg, tape: Tape, unit_m: float) -> FloatArray:
    """Return covariances `(N, 2, 2)` of places at chainage and offset `found` `(N, 2)`, in the axes of the course.

    Chainage and offset each have the tape's error; the offset turns about its foot by the error of the right angle,
    the string about its ends by those of the pegs.
    """
    forward = _forward(start.xy, end.xy)
    length = math.dist(start.xy, end.xy)
    chainage, offset = found.T
    share = chainage / length
    from_start, from_end = start.sigma_m**2, end.sigma_m**2
    turned = (from_start + from_end) / length**2 + right_angle_sigma_rad(unit_m, tape.error_m) ** 2
    along = from_start + tape.error_m**2 + offset**2 * turned
    across = (1 - share) ** 2 * from_start + share**2 * from_end + tape.error_m**2
    both = -offset / length * (share * from_end - (1 - share) * from_start)
    local = np.stack([np.stack([along, both], axis=-1), np.stack([both, across], axis=-1)], axis=-2)
    axes = np.array([forward, [forward[1], -forward[0]]])
    return np.asarray(axes.T @ local @ axes)
