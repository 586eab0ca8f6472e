"""Pieces of a curve: lines, cubics and arcs, in one form so that numpy does all at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Projected:
    """How far K pieces reach in one direction each, as plain functions of u: quick where many are followed at once.

    `cubic` `(4, K)`, `wave` and `turn` `(2, K)` as in Pieces; `has_arcs` tells whether any wave is there.
    """

    cubic: FloatArray
    wave: FloatArray
    turn: FloatArray
    has_arcs: bool

    def value_and_slope(self, u: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the distances from the origin and their first derivatives by u, `(K,)` each."""
        first, second, third, fourth = self.cubic
        value = ((fourth * u + third) * u + second) * u + first
        slope = (3 * fourth * u + 2 * third) * u + second
        if self.has_arcs:
            wave, swing = self._wave(u)
            value, slope = value + wave, slope + self.turn[1] * swing
        return value, slope

    def slope_and_change(self, u: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the first and second derivatives by u, `(K,)` each."""
        _, second, third, fourth = self.cubic
        slope = (3 * fourth * u + 2 * third) * u + second
        change = 6 * fourth * u + 2 * third
        if self.has_arcs:
            wave, swing = self._wave(u)
            slope, change = slope + self.turn[1] * swing, change - self.turn[1] ** 2 * wave
        return slope, change

    def less(self, distance_m: FloatArray) -> Projected:
        """Return the same from places `(K,)` further on."""
        cubic = np.concatenate([self.cubic[:1] - distance_m, self.cubic[1:]])
        return Projected(cubic, self.wave, self.turn, self.has_arcs)

    def only(self, some: IntArray) -> Projected:
        """Return some of the pieces."""
        return Projected(self.cubic[:, some], self.wave[:, some], self.turn[:, some], self.has_arcs)

    def _wave(self, u: FloatArray) -> tuple[FloatArray, FloatArray]:
        angle = self.turn[0] + self.turn[1] * u
        cosine, sine = np.cos(angle), np.sin(angle)
        return self.wave[0] * cosine + self.wave[1] * sine, self.wave[1] * cosine - self.wave[0] * sine


@dataclass(frozen=True, eq=False)
class Pieces:
    """P pieces joined end to end, each run through by u from 0 to 1. Lengths in course metres.

    Position: origin + cubic[0] + cubic[1] u + cubic[2] u^2 + cubic[3] u^3 + wave[0] cos(a) + wave[1] sin(a),
    where a = turn[0] + turn[1] u in radians. A line or cubic has no wave; an arc has only cubic[0], its
    centre. Shapes: origin (2,), cubic (P, 4, 2), wave (P, 2, 2), turn (P, 2). The origin keeps the numbers
    small.
    """

    origin: FloatArray
    cubic: FloatArray
    wave: FloatArray
    turn: FloatArray

    def __len__(self) -> int:
        return len(self.cubic)

    @cached_property
    def has_arcs(self) -> bool:
        """Whether any piece has a wave; without one there is no sine to take."""
        return bool(self.wave.any())

    def position(self, piece: IntArray, u: FloatArray) -> FloatArray:
        """Return positions `(..., 2)` less the origin, of pieces and parameters that broadcast to `(...)`."""
        cubic, t = self.cubic[piece], u[..., np.newaxis]
        place = (cubic[..., 3, :] * t + cubic[..., 2, :]) * t + cubic[..., 1, :]
        place = place * t + cubic[..., 0, :]
        if self.has_arcs:
            cosine, sine, _ = self._wave(piece, u)
            place += self.wave[piece, 0] * cosine + self.wave[piece, 1] * sine
        return np.asarray(place)

    def velocity(self, piece: IntArray, u: FloatArray) -> FloatArray:
        """Return the first derivative by u, `(..., 2)`."""
        cubic, t = self.cubic[piece], u[..., np.newaxis]
        rate = (3 * cubic[..., 3, :] * t + 2 * cubic[..., 2, :]) * t + cubic[..., 1, :]
        if self.has_arcs:
            cosine, sine, sweep = self._wave(piece, u)
            rate += sweep * (self.wave[piece, 1] * cosine - self.wave[piece, 0] * sine)
        return np.asarray(rate)

    def acceleration(self, piece: IntArray, u: FloatArray) -> FloatArray:
        """Return the second derivative by u, `(..., 2)`."""
        cubic, t = self.cubic[piece], u[..., np.newaxis]
        change = 6 * cubic[..., 3, :] * t + 2 * cubic[..., 2, :]
        if self.has_arcs:
            cosine, sine, sweep = self._wave(piece, u)
            change -= sweep**2 * (self.wave[piece, 0] * cosine + self.wave[piece, 1] * sine)
        return np.asarray(change)

    def _wave(self, piece: IntArray, u: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        turn = self.turn[piece]
        angle = (turn[..., 0] + turn[..., 1] * u)[..., np.newaxis]
        return np.cos(angle), np.sin(angle), turn[..., 1, np.newaxis]

    def toward(self, piece: IntArray, direction: FloatArray) -> Projected:
        """Return how far pieces `(K,)` reach in directions `(K, 2)` from the origin."""
        x, y = direction.T
        cubic, turn = self.cubic[piece], self.turn[piece].T
        along = (cubic[..., 0] * x[:, np.newaxis] + cubic[..., 1] * y[:, np.newaxis]).T
        if not self.has_arcs:
            return Projected(along, np.zeros((2, len(piece))), turn, False)
        wave = self.wave[piece]
        return Projected(
            along, (wave[..., 0] * x[:, np.newaxis] + wave[..., 1] * y[:, np.newaxis]).T, turn, True
        )

    def bend(self) -> FloatArray:
        """Return per piece `(P,)` an upper bound of the length of the second derivative by u.

        A cubic's second derivative runs straight from one end to the other, so its largest length is at an
        end.
        """
        start = 2 * self.cubic[:, 2]
        end = start + 6 * self.cubic[:, 3]
        bent = np.maximum(np.hypot(*start.T), np.hypot(*end.T))
        return np.asarray(bent + self.turn[:, 1] ** 2 * np.linalg.norm(self.wave, ord=2, axis=(1, 2)))


def line_pieces(points: FloatArray) -> Pieces:
    """Return the straight lines through points `(N, 2)`."""
    count = len(points) - 1
    cubic = np.zeros((count, 4, 2))
    cubic[:, 0] = points[:-1] - points[0]
    cubic[:, 1] = np.diff(points, axis=0)
    return Pieces(points[0], cubic, np.zeros((count, 2, 2)), np.zeros((count, 2)))


def cubic_pieces(points: FloatArray, leaving: FloatArray, arriving: FloatArray) -> Pieces:
    """Return cubics through points `(N, 2)` by the derivatives by u at the start and end of each `(N - 1,
    2)`.
    """
    chord = np.diff(points, axis=0)
    cubic = np.stack(
        [
            points[:-1] - points[0],
            leaving,
            3 * chord - 2 * leaving - arriving,
            leaving + arriving - 2 * chord,
        ],
        axis=1,
    )
    return Pieces(points[0], cubic, np.zeros((len(chord), 2, 2)), np.zeros((len(chord), 2)))


def smooth_pieces(points: FloatArray, closed: bool) -> Pieces:
    """Return the centripetal Catmull-Rom curve through points `(N, 2)`; `closed` joins the last to the first.

    Centripetal (knots apart by the square root of the distance) because it is the one Catmull-Rom curve that
    is proven to have no cusp and no loop within a piece, and it lies close to its points (Yuksel, Schaefer,
    Keyser: Parameterization and applications of Catmull-Rom curves, Computer-Aided Design 43, 2011, 747-755).
    An open curve leaves its ends along the first and last chord: the missing neighbour is the mirror image of
    the next one.
    """
    if closed:
        ring = np.concatenate([points[-1:], points, points[:2]])
    else:
        ring = np.concatenate([[2 * points[0] - points[1]], points, [2 * points[-1] - points[-2]]])
    chord = np.diff(ring, axis=0)
    knot = np.hypot(*chord.T)[:, np.newaxis] ** 0.5
    slope = chord / knot
    across = (chord[:-1] + chord[1:]) / (knot[:-1] + knot[1:])
    tangent = slope[:-1] - across + slope[1:]
    inner = knot[1:-1]
    return cubic_pieces(ring[1:-1], tangent[:-1] * inner, tangent[1:] * inner)


def arc_piece(start: FloatArray, through: FloatArray, end: FloatArray) -> Pieces | None:
    """Return the circular arc from `start` by `through` to `end`, each `(2,)`; None if they lie in a line."""
    (bx, by), (cx, cy) = through - start, end - start
    cross = 2 * (bx * cy - by * cx)
    if abs(cross) <= 2e-6 * np.hypot(bx, by) * np.hypot(cx, cy):
        return None
    b2, c2 = bx**2 + by**2, cx**2 + cy**2
    centre = np.array([cy * b2 - by * c2, bx * c2 - cx * b2]) / cross
    radius = np.hypot(*centre)
    first = np.arctan2(-centre[1], -centre[0])
    last = np.arctan2(cy - centre[1], cx - centre[0])
    sweep = (last - first) % (2 * np.pi) if cross > 0 else -((first - last) % (2 * np.pi))
    return arc_pieces(start, centre, np.eye(2) * radius, np.array([first, first + sweep]))


def arc_pieces(origin: FloatArray, centre: FloatArray, axes: FloatArray, angles: FloatArray) -> Pieces:
    """Return arcs of an ellipse between successive `angles` (N,), radians: centre + axes[0] cos + axes[1]
    sin.

    `centre` `(2,)` is taken from `origin`; `axes` `(2, 2)` are the two half axes as vectors, square to each
    other.
    """
    count = len(angles) - 1
    cubic = np.zeros((count, 4, 2))
    cubic[:, 0] = centre
    turn = np.stack([angles[:-1], np.diff(angles)], axis=1)
    return Pieces(origin, cubic, np.tile(axes, (count, 1, 1)), turn)


def join(parts: Sequence[Pieces]) -> Pieces:
    """Return the pieces of all parts in their order, on the origin of the first."""
    origin = parts[0].origin
    cubic = np.concatenate([part.cubic for part in parts])
    cubic[:, 0] += np.concatenate([np.tile(part.origin - origin, (len(part), 1)) for part in parts])
    wave = np.concatenate([part.wave for part in parts])
    return Pieces(origin, cubic, wave, np.concatenate([part.turn for part in parts]))
