"""Where a line through measured points crosses itself, by the numbers of the points."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from fieldapp.outline.pieces import Pieces, line_pieces, smooth_pieces
from fieldapp.tape.captured import CurveKind, repeats

SAMPLES = 16

Way = tuple[int, int]


def crossing_ways(places: ArrayLike, closed: bool, curve: CurveKind) -> tuple[Way, Way] | None:
    """Return the two ways, from a point to the next by their numbers from 1, that meet first; None where none do.

    `places` `(N, 2)` are joined in their order by the curve, whose pieces are followed in 16 chords each.
    """
    xy = np.asarray(places, dtype=float)
    numbers = np.flatnonzero(~repeats(xy, closed))
    if len(numbers) < 3:
        return None
    pieces = _pieces(xy[numbers], closed, curve)
    steps = np.arange(SAMPLES) / SAMPLES
    trace = pieces.position(np.arange(len(pieces))[:, np.newaxis], steps[np.newaxis, :]).reshape(-1, 2)
    end = pieces.position(np.array([len(pieces) - 1]), np.ones(1))
    first = _first_meeting(np.concatenate([trace, trace[:1] if closed else end]), closed)
    if first is None:
        return None
    return _way(numbers, first[0]), _way(numbers, first[1])


def _way(numbers: NDArray[np.intp], chord: int) -> Way:
    at = chord // SAMPLES
    return int(numbers[at]) + 1, int(numbers[(at + 1) % len(numbers)]) + 1


def _pieces(xy: NDArray[np.float64], closed: bool, curve: CurveKind) -> Pieces:
    if curve == "smooth":
        return smooth_pieces(xy, closed)
    return line_pieces(np.concatenate([xy, xy[:1]]) if closed else xy)


def _first_meeting(trace: NDArray[np.float64], closed: bool) -> tuple[int, int] | None:
    """Return the first two chords of a trace `(M, 2)`, not neighbours, that meet."""
    chords = shapely.linestrings(np.stack([trace[:-1], trace[1:]], axis=1))
    one, other = shapely.STRtree(chords).query(chords, predicate="intersects")
    apart = other - one
    met = np.flatnonzero((apart > 1) & ~(closed & (apart == len(chords) - 1)))
    if len(met) == 0:
        return None
    first = met[np.lexsort((other[met], one[met]))[0]]
    return int(one[first]), int(other[first])
