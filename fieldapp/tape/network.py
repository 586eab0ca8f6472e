"""Pegs and the distances taped between them, as arrays. Twin: web/phone/geometry/network.js."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import InputError

FloatArray = NDArray[np.float64]

SAME_PLACE_M = 1e-6
LEAST_SIGMA_M = 1e-4
"""Nothing about pegs and tapes is known better; a place said to be is taken as without error."""
FARTHEST_M = 1e5
UNTOLD_SIGMA_M = 0.005
"""The sigma of a peg's place among its neighbours where nobody told: pegs measured in with care; a choice."""
R95_IN_SIGMA = float(np.sqrt(-2 * np.log(1 - 0.95)))


@dataclass(frozen=True)
class NetPeg:
    """A peg of a network: place in ground metres, and the sigma of each of its axes.

    `sigma_m` None says that nothing is known but about where it is; `fixed` takes the place as without error.
    """

    id: str
    xy: tuple[float, float]
    sigma_m: float | None = None
    fixed: bool = False

    @classmethod
    def within(cls, name: str, xy: tuple[float, float], within_m: float | None) -> NetPeg:
        """Return a peg known within a 95 % radius, ground metres; about 0 is without error, None UNTOLD_SIGMA_M."""
        sigma_m = UNTOLD_SIGMA_M if within_m is None else within_m / R95_IN_SIGMA
        is_exact = sigma_m < LEAST_SIGMA_M
        return cls(name, xy, None if is_exact else sigma_m, fixed=is_exact)

    def freed(self) -> NetPeg:
        """Return it as a peg of which nothing is known but about where it was."""
        return replace(self, sigma_m=None, fixed=False)


@dataclass(frozen=True)
class Distance:
    """A level distance taped between two pegs, ground metres, with its one sigma."""

    one: str
    other: str
    level_m: float
    sigma_m: float


@dataclass(frozen=True)
class Position:
    """A place measured for a peg, such as a reading over it: ground metres, with the sigma of each axis."""

    peg: str
    xy: tuple[float, float]
    sigma_m: float


@dataclass(frozen=True, eq=False)
class Network:
    """N pegs, L distances and what is known of K places, as arrays; ground metres from `origin` (2,), the first peg.

    `given` (N, 2) where the pegs were said to be; `free` the coordinates (of 2N) that may change; `one`, `other` (L,)
    the rows of the pegs at the ends; `taped_m`, `sigma_m` (L,); `known_rows` (2K, 2N), `known` (2K,) places over their
    sigmas.
    """

    index: dict[str, int]
    origin: FloatArray
    given: FloatArray
    free: NDArray[np.int64]
    one: NDArray[np.int64]
    other: NDArray[np.int64]
    taped_m: FloatArray
    sigma_m: FloatArray
    known_rows: FloatArray
    known: FloatArray

    def lengths(self, xy: FloatArray) -> FloatArray:
        """Return the distances (L,) between places (N, 2)."""
        way = xy[self.other] - xy[self.one]
        return np.hypot(way[:, 0], way[:, 1])

    def design(self, xy: FloatArray) -> FloatArray:
        """Return how each distance changes with each coordinate (L, 2N)."""
        way = xy[self.other] - xy[self.one]
        unit = way / np.hypot(way[:, 0], way[:, 1]).clip(SAME_PLACE_M)[:, None]
        rows = np.zeros((len(way), xy.size))
        each = np.arange(len(way))
        for axis in (0, 1):
            rows[each, 2 * self.one + axis] = -unit[:, axis]
            rows[each, 2 * self.other + axis] = unit[:, axis]
        return rows


def network_of(
    pegs: Sequence[NetPeg], lines: Sequence[Distance], positions: Sequence[Position] = ()
) -> Network:
    """Return the arrays; raises InputError for a line to a peg that is not there, or without length or sigma."""
    index = {peg.id: at for at, peg in enumerate(pegs)}
    if len(index) != len(pegs):
        raise InputError("Two pegs have the same name; a distance could be to either.")
    for line in lines:
        _check(line, pegs, index)
    places = np.array([peg.xy for peg in pegs], dtype=np.float64).reshape(-1, 2)
    origin = places[:1].sum(axis=0)
    if np.abs(places - origin).max(initial=0.0) > FARTHEST_M:
        raise InputError(
            f"The pegs are more than {FARTHEST_M / 1000:.0f} km apart; see where they are said to be."
        )
    known_rows, known = _known(pegs, positions, index, origin)
    return Network(
        index=index,
        origin=origin,
        given=places - origin,
        free=np.flatnonzero(np.repeat([not peg.fixed for peg in pegs], 2)),
        one=np.array([index[line.one] for line in lines], dtype=np.int64),
        other=np.array([index[line.other] for line in lines], dtype=np.int64),
        taped_m=np.array([line.level_m for line in lines], dtype=np.float64),
        sigma_m=np.array([line.sigma_m for line in lines], dtype=np.float64),
        known_rows=known_rows,
        known=known,
    )


def _check(line: Distance, pegs: Sequence[NetPeg], index: dict[str, int]) -> None:
    name = f"The distance from peg {line.one} to peg {line.other}"
    if line.one == line.other:
        raise InputError(f"{name} is from a peg to itself; tape to another.")
    if line.one not in index or line.other not in index:
        raise InputError(f"{name} is to a peg that is not in the network; name its place first.")
    if not (FARTHEST_M > line.sigma_m >= LEAST_SIGMA_M and FARTHEST_M > line.level_m > 0):
        raise InputError(f"{name} needs a length above 0 and a sigma of {LEAST_SIGMA_M} m or more.")
    if np.hypot(*np.subtract(pegs[index[line.one]].xy, pegs[index[line.other]].xy)) < SAME_PLACE_M:
        raise InputError(f"{name} has no direction: both pegs are said to be at the same place.")


def _known(
    pegs: Sequence[NetPeg], positions: Sequence[Position], index: dict[str, int], origin: FloatArray
) -> tuple[FloatArray, FloatArray]:
    places = [
        (index[peg.id], peg.xy, peg.sigma_m) for peg in pegs if peg.sigma_m is not None and not peg.fixed
    ]
    places += [(index[one.peg], one.xy, one.sigma_m) for one in positions]
    rows, known = np.zeros((2 * len(places), 2 * len(pegs))), np.zeros(2 * len(places))
    for at, (peg, xy, sigma_m) in enumerate(places):
        if not sigma_m >= LEAST_SIGMA_M:
            raise InputError(
                f"The sigma of a place must be {LEAST_SIGMA_M} m or more, not {sigma_m}; fix the peg."
            )
        rows[2 * at, 2 * peg] = rows[2 * at + 1, 2 * peg + 1] = 1 / sigma_m
        known[2 * at : 2 * at + 2] = (np.array(xy) - origin) / sigma_m
    return rows, known
