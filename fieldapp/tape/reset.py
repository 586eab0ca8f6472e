"""A lost peg set again from distances taped to pegs that stand. Twin: web/phone/geometry/reset.js."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import scipy
from numpy.typing import NDArray

from fieldapp.errors import InputError
from fieldapp.tape.intersection import (
    PARALLEL,
    Intersection,
    crossing_angle_deg,
    intersect,
    point_covariance,
)

FloatArray = NDArray[np.float64]
Kind = Literal["placed", "two sides", "cannot meet"]
Fit = Literal["fits", "does not fit", "no check"]
Side = Literal["left", "right"]

SIGNIFICANCE = 0.01
"""How often distances taped without a blunder are said not to fit."""
MOST_STEPS = 60
STILL_M = 1e-10
BESIDE_M = 0.05
"""How far beside the line of two pegs a search begins where their distances do not meet."""


@dataclass(frozen=True)
class ResetTie:
    """A level distance taped from a peg at `xy`, ground metres; `sigma_m` one sigma of it and of the peg together."""

    xy: tuple[float, float]
    distance_m: float
    sigma_m: float


@dataclass(frozen=True, eq=False)
class Reset:
    """Where a peg is by its ties, ground metres.

    "placed": `xy` `(2,)` with its `covariance` `(2, 2)` and `residuals_m` `(n,)`, taped less computed. "two sides":
    the pegs leave two `candidates` `(2, 2)`, left of the line from the first to the last of them and right of it, and
    nobody said which. "cannot meet": two distances that miss each other by `gap_m`, as `Intersection` says it.

    `fit` is the global test of three and more: the weighted squares `chi_square` against `critical` at the 1 % level
    with `dof` degrees of freedom. `fault` is the one tie without which the others fit, None where there is no one.
    """

    kind: Kind
    candidates: tuple[FloatArray, ...]
    xy: FloatArray | None = None
    covariance: FloatArray | None = None
    residuals_m: FloatArray | None = None
    chi_square: float = 0.0
    critical: float | None = None
    dof: int = 0
    fit: Fit = "no check"
    fault: int | None = None
    gap_m: float = 0.0


def reset_peg(ties: Sequence[ResetTie], side: Side | None = None) -> Reset:
    """Return where a peg is by two or more ties; `side` is that of the line from the first to the last tie's peg.

    Two ties: both places, or the one on the side. Three and more: least squares (Levenberg and Marquardt), from both
    sides of the two pegs that cross best; where the pegs stand in a line, or nearly so, the place on the other side
    fits as well and the side must be said. Raises InputError for fewer than two ties.
    """
    if len(ties) < 2:
        raise InputError("A lost peg needs two taped distances at least; better three.")
    return _from_two(ties, side) if len(ties) == 2 else _from_more(ties, side)


def _from_two(ties: Sequence[ResetTie], side: Side | None) -> Reset:
    one, other = ties
    met = _met(one, other)
    if met.left is None or met.right is None:
        return Reset("cannot meet", (), gap_m=met.gap_m)
    both = (met.left, met.right) if met.kind == "two" else (met.left,)
    if len(both) == 2 and side is None:
        return Reset("two sides", both)
    xy = met.right if side == "right" else met.left
    covariance = point_covariance(xy, one.xy, other.xy, one.sigma_m, other.sigma_m)
    return Reset("placed", both, xy, covariance, np.zeros(2))


def _met(one: ResetTie, other: ResetTie) -> Intersection:
    return intersect(one.xy, other.xy, one.distance_m, other.distance_m)


def _from_more(ties: Sequence[ResetTie], side: Side | None) -> Reset:
    places = _places(ties)
    fits = [_chi_square(ties, xy) <= critical(len(ties) - 2) for xy in places]
    is_double = len(places) == 2 and all(fits)
    if is_double and side is None:
        return Reset("two sides", places)
    chosen = places[1] if is_double and side == "right" else min(places, key=lambda xy: _chi_square(ties, xy))
    return _tested(ties, places if is_double else (chosen,), chosen)


def _places(ties: Sequence[ResetTie]) -> tuple[FloatArray, ...]:
    """Return the one or two places of least squares, left of the line from the first to the last peg first."""
    found = [_least_squares(ties, start) for start in _starts(ties)]
    start, end = np.array(ties[0].xy), np.array(ties[-1].xy)
    found.sort(key=lambda xy: -_cross(end - start, xy - start))
    apart = found[1] - found[0]
    return tuple(found) if apart @ apart > BESIDE_M**2 else (found[0],)


def _starts(ties: Sequence[ResetTie]) -> tuple[FloatArray, FloatArray]:
    """Return a place on either side of the two pegs whose tapes cross best; beside their line where none meet."""
    pairs = [(one, other) for k, one in enumerate(ties) for other in ties[:k]]
    met = [_met(one, other) for one, other in pairs]
    angles = [
        -1.0 if at.left is None else float(crossing_angle_deg(at.left, one.xy, other.xy))
        for at, (one, other) in zip(met, pairs, strict=True)
    ]
    best = max(range(len(pairs)), key=lambda k: angles[k])
    if met[best].kind == "two":
        left, right = met[best].left, met[best].right
        assert left is not None
        assert right is not None
        return left, right
    return _beside(ties)


def _beside(ties: Sequence[ResetTie]) -> tuple[FloatArray, FloatArray]:
    """Return places on both sides of the line from the first to the last peg, near the middle of all pegs."""
    places = np.array([tie.xy for tie in ties])
    way = places[-1] - places[0]
    square = np.array([-way[1], way[0]]) / max(math.sqrt(way @ way), BESIDE_M)
    middle = places.mean(axis=0)
    return middle + BESIDE_M * square, middle - BESIDE_M * square


def _least_squares(ties: Sequence[ResetTie], start: FloatArray) -> FloatArray:
    """Return the place `(2,)` nearest to a start at which the weighted squares are least."""
    xy, damping, cost = start, 1e-6, _chi_square(ties, start)
    for _ in range(MOST_STEPS):
        normal, right = _normal(ties, xy)
        step = np.linalg.solve(normal + damping * np.trace(normal) * np.eye(2), right)
        tried = _chi_square(ties, xy + step)
        if tried <= cost:
            xy, cost, damping = xy + step, tried, max(damping / 10, 1e-12)
        else:
            damping *= 10
        if step @ step < STILL_M**2:
            break
    return xy


def _normal(ties: Sequence[ResetTie], xy: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the normal matrix `(2, 2)` and its right-hand side `(2,)` at a place."""
    ways = xy - np.array([tie.xy for tie in ties])
    lengths = np.maximum(np.sqrt(np.sum(ways * ways, axis=1)), STILL_M)
    weighted = ways / lengths[:, None] / np.array([tie.sigma_m for tie in ties])[:, None]
    return np.asarray(weighted.T @ weighted), np.asarray(weighted.T @ _standardised(ties, xy))


def _inverse(normal: FloatArray) -> FloatArray:
    """Return the covariance of a normal matrix, infinite where all tapes lie in one line."""
    trace = float(np.trace(normal))
    if float(np.linalg.det(normal)) <= PARALLEL * trace * trace:
        return np.full((2, 2), np.inf)
    return np.asarray(np.linalg.inv(normal), dtype=np.float64)


def _residuals(ties: Sequence[ResetTie], xy: FloatArray) -> FloatArray:
    ways = xy - np.array([tie.xy for tie in ties])
    return np.asarray([tie.distance_m for tie in ties] - np.sqrt(np.sum(ways * ways, axis=1)))


def _standardised(ties: Sequence[ResetTie], xy: FloatArray) -> FloatArray:
    return np.asarray(_residuals(ties, xy) / np.array([tie.sigma_m for tie in ties]))


def _chi_square(ties: Sequence[ResetTie], xy: FloatArray) -> float:
    return float(np.sum(_standardised(ties, xy) ** 2))


def _tested(ties: Sequence[ResetTie], places: tuple[FloatArray, ...], xy: FloatArray) -> Reset:
    dof = len(ties) - 2
    chi_square = _chi_square(ties, xy)
    fits = chi_square <= critical(dof)
    return Reset(
        kind="placed",
        candidates=places,
        xy=xy,
        covariance=_inverse(_normal(ties, xy)[0]),
        residuals_m=_residuals(ties, xy),
        chi_square=chi_square,
        critical=critical(dof),
        dof=dof,
        fit="fits" if fits else "does not fit",
        fault=None if fits else _fault(ties),
    )


def _fault(ties: Sequence[ResetTie]) -> int | None:
    """Return the only tie without which the others fit; with three ties any one would do, so none is named."""
    if len(ties) < 4:
        return None
    without = [[*ties[:k], *ties[k + 1 :]] for k in range(len(ties))]
    fits = [
        k
        for k, others in enumerate(without)
        if min(_chi_square(others, xy) for xy in _places(others)) <= critical(len(others) - 2)
    ]
    return fits[0] if len(fits) == 1 else None


def critical(dof: int) -> float:
    """Return the chi-square that distances taped without a blunder exceed in 1 % of cases (scipy.special.chdtri)."""
    return float(scipy.special.chdtri(dof, SIGNIFICANCE))


def _cross(one: FloatArray, other: FloatArray) -> float:
    return float(one[0] * other[1] - one[1] * other[0])
