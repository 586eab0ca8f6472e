"""Steps: a curve cut so short that a chord of each lies within a millimetre of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fieldapp.outline.pieces import FloatArray, IntArray, Pieces
from fieldapp.outline.roots import Quantity, bracketed_roots

STEP_SAGITTA_M = 0.001
"""No chord of a step leaves the true curve by more, course metres."""


@dataclass(frozen=True, eq=False)
class Steps:
    """S steps of a curve in their order: on which piece, from which u, to which u, each `(S,)`.

    `vertices` `(S + 1, 2)` are their ends. Places here are course metres less the origin of the pieces; methods take
    the numbers of steps `(K,)` and parameters of the pieces they lie on.
    """

    pieces: Pieces
    piece: IntArray
    low: FloatArray
    high: FloatArray
    vertices: FloatArray

    def position(self, step: IntArray, u: FloatArray) -> FloatArray:
        """Return positions `(K, 2)`."""
        return self.pieces.position(self.piece[step], u)

    def velocity(self, step: IntArray, u: FloatArray) -> FloatArray:
        """Return first derivatives by u `(K, 2)`."""
        return self.pieces.velocity(self.piece[step], u)

    def acceleration(self, step: IntArray, u: FloatArray) -> FloatArray:
        """Return second derivatives by u `(K, 2)`."""
        return self.pieces.acceleration(self.piece[step], u)

    def toward(self, step: IntArray, direction: FloatArray, start: FloatArray) -> Quantity:
        """Return how far the steps have come in unit directions `(K, 2)` from starts `(K, 2)`."""
        from_m = _dot(direction, start)
        return lambda u: (
            _dot(direction, self.position(step, u)) - from_m,
            _dot(direction, self.velocity(step, u)),
        )

    def turns(self, step: IntArray, direction: FloatArray) -> tuple[IntArray, FloatArray]:
        """Return which of the steps `(K,)` turn back within, seen in directions `(K, 2)`, and at which u."""
        return self._nought(step, lambda some: self._turning(step[some], direction[some]))

    def turns_about(self, centre: FloatArray) -> tuple[IntArray, FloatArray]:
        """Return which steps turn back, seen from a place `(2,)`, in distance or in bearing, and at which u."""
        every = np.arange(len(self.piece))
        nearest, u = self._nought(every, lambda some: self._nearing(some, centre))
        outermost, v = self._nought(every, lambda some: self._sweeping(some, centre))
        return np.concatenate([nearest, outermost]), np.concatenate([u, v])

    def _nought(
        self, step: IntArray, quantity: Callable[[IntArray], Quantity]
    ) -> tuple[IntArray, FloatArray]:
        low, high = self.low[step], self.high[step]
        all_steps = quantity(np.arange(len(step)))
        before, after = all_steps(low)[0], all_steps(high)[0]
        crossed = np.flatnonzero(before * after < 0)
        return crossed, bracketed_roots(quantity(crossed), low[crossed], high[crossed], after[crossed] > 0)

    def _turning(self, step: IntArray, direction: FloatArray) -> Quantity:
        return lambda u: (
            _dot(direction, self.velocity(step, u)),
            _dot(direction, self.acceleration(step, u)),
        )

    def _nearing(self, step: IntArray, centre: FloatArray) -> Quantity:
        """Half the slope of the squared distance from a place."""

        def value_and_slope(u: FloatArray) -> tuple[FloatArray, FloatArray]:
            away, velocity = self.position(step, u) - centre, self.velocity(step, u)
            return _dot(away, velocity), _dot(velocity, velocity) + _dot(away, self.acceleration(step, u))

        return value_and_slope

    def _sweeping(self, step: IntArray, centre: FloatArray) -> Quantity:
        """The slope of the bearing from a place, times the squared distance."""

        def value_and_slope(u: FloatArray) -> tuple[FloatArray, FloatArray]:
            away = self.position(step, u) - centre
            left = np.stack([-away[:, 1], away[:, 0]], axis=-1)
            return _dot(left, self.velocity(step, u)), _dot(left, self.acceleration(step, u))

        return value_and_slope


def _dot(one: FloatArray, other: FloatArray) -> FloatArray:
    return np.asarray(np.sum(one * other, axis=-1))
