"""Steps: a curve cut so short that a chord of each lies within a millimetre of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fieldapp.outline.pieces import FloatArray, IntArray, Pieces, Projected
from fieldapp.outline.roots import Quantity, bracketed_roots, chord_guess

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

    def __len__(self) -> int:
        return len(self.piece)

    def position(self, step: IntArray, u: FloatArray) -> FloatArray:
        """Return positions `(K, 2)`."""
        return self.pieces.position(self.piece[step], u)

    def toward(self, step: IntArray, direction: FloatArray) -> Projected:
        """Return how far steps reach in directions `(K, 2)`."""
        return self.pieces.toward(self.piece[step], direction)

    def turns(self, step: IntArray, direction: FloatArray) -> tuple[IntArray, FloatArray]:
        """Return which of the steps `(K,)` turn back within, seen in directions `(K, 2)`, and at which u."""
        toward, low, high = self.toward(step, direction), self.low[step], self.high[step]
        before, after = toward.slope_and_change(low)[0], toward.slope_and_change(high)[0]
        turned = np.flatnonzero(before * after < 0)
        ends = low[turned], high[turned], before[turned], after[turned]
        return turned, _nought(toward.only(turned).slope_and_change, *ends)

    def nearest_and_furthest(
        self, centre: FloatArray, nearer_m: float = np.inf, further_m: float = 0.0
    ) -> FloatArray:
        """Return places `(M, 2)`, less a centre `(2,)`, where the steps turn back in their distance from it.

        Those of steps that neither come nearer than one distance nor get further than another are left out.
        """
        away = np.hypot(*(self.vertices - centre).T)
        both, over = away[1:] + away[:-1], self._chords_m + 2 * STEP_SAGITTA_M
        step = np.flatnonzero((both - over <= 2 * nearer_m) | (both + over >= 2 * further_m))
        return self._turned_about(step, centre, np.eye(2))

    def outermost(self, step: IntArray, centre: FloatArray) -> FloatArray:
        """Return places `(M, 2)`, less a centre `(2,)`, where some steps turn back in their bearing from it."""
        return self._turned_about(step, centre, np.array([(0.0, -1.0), (1.0, 0.0)]))

    @cached_property
    def _chords_m(self) -> FloatArray:
        return np.asarray(np.hypot(*np.diff(self.vertices, axis=0).T))

    def _turned_about(self, step: IntArray, centre: FloatArray, turn: FloatArray) -> FloatArray:
        """Return where the way from the centre, turned by a matrix, is square to the curve."""

        def square(some: IntArray) -> Quantity:
            piece = self.piece[some]

            def value_and_slope(u: FloatArray) -> tuple[FloatArray, FloatArray]:
                away = (self.pieces.position(piece, u) - centre) @ turn.T
                velocity = self.pieces.velocity(piece, u)
                bent = np.sum(away * self.pieces.acceleration(piece, u), axis=-1)
                return np.sum(away * velocity, axis=-1), np.sum(
                    (velocity @ turn.T) * velocity, axis=-1
                ) + bent

            return value_and_slope

        low, high = self.low[step], self.high[step]
        before, after = np.split(square(np.tile(step, 2))(np.concatenate([low, high]))[0], 2)
        turned = np.flatnonzero(before * after < 0)
        ends = low[turned], high[turned], before[turned], after[turned]
        u = _nought(square(step[turned]), *ends)
        return self.position(step[turned], u) - centre


def _nought(
    quantity: Quantity, low: FloatArray, high: FloatArray, before: FloatArray, after: FloatArray
) -> FloatArray:
    return bracketed_roots(quantity, low, high, after > 0, chord_guess(low, high, before, after))
