"""Least squares of taped distances between pegs. Twin: web/phone/geometry/adjust.js.

Observations are the level distances and, where a peg's place is known within a sigma, that place. Gauss-Newton steps
go from the given places; what the observations leave undetermined, a datum defect or a loose peg, is settled by inner
constraints (the least change of all places together) or by holding one peg and the bearing from it to another.
Residuals, redundancy numbers and tests do not depend on which.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fieldapp.errors import InputError
from fieldapp.tape.chi_square import critical
from fieldapp.tape.network import Distance, FloatArray, NetPeg, Network, Position, network_of

SIGNIFICANCE = 0.01
MOST_STEPS = 60
STEP_M = 1e-8
"""Steps shorter than this change nothing that a tape could."""
LONGEST_STEP = 0.5
"""No coordinate steps farther than this part of the shortest line at once."""
UNDETERMINED = 1e-12
"""An eigenvalue of the normal matrix this small beside the largest leaves its direction undetermined."""
NO_REDUNDANCY = 1e-9
DATUM_DEFECT = 3


@dataclass(frozen=True, eq=False)
class Adjustment:
    """What least squares make of a network; arrays go in the order of the pegs (N) and the lines (L).

    `xy` (N, 2) ground metres; `covariance` (2N, 2N) of x, y, x, y, … m², zero for fixed pegs; `residuals_m` (L,)
    adjusted minus taped; `redundancy` (L,) 0 to 1; `standardised` (L,) residual over its sigma, NaN without redundancy
    (Baarda's w). `chi_square` is the weighted sum of squares of all residuals, of `dof` degrees of freedom;
    `chi_critical` what it exceeds with the chosen probability where the sigmas are right. `defect` counts the
    directions that the observations leave undetermined.
    """

    network: Network
    xy: FloatArray
    covariance: FloatArray
    residuals_m: FloatArray
    redundancy: FloatArray
    standardised: FloatArray
    dof: int
    chi_square: float
    chi_critical: float
    defect: int

    @property
    def fits(self) -> bool:
        """Whether the global test finds nothing wrong; without redundancy there is no test."""
        return self.dof == 0 or self.chi_square <= self.chi_critical


@dataclass(frozen=True, eq=False)
class _Step:
    """The linear model at a place: what is left over in sigmas, the change asked for, what is undetermined."""

    left_over: FloatArray
    change: FloatArray
    cofactor: FloatArray
    null: FloatArray


def adjust(
    pegs: Sequence[NetPeg],
    lines: Sequence[Distance],
    positions: Sequence[Position] = (),
    hold: tuple[str, str] | None = None,
    significance: float = SIGNIFICANCE,
) -> Adjustment:
    """Adjust a network of pegs; raises InputError for a line to a peg that is not there, or without length or sigma.

    `hold` names a peg that stays and one toward which the bearing stays (minimum constraints), for a network whose only
    defect is its datum: nothing fixed, no place known.
    """
    network = network_of(pegs, lines, positions)
    xy, last = _solved(network, hold)
    covariance = np.zeros((xy.size, xy.size))
    covariance[np.ix_(network.free, network.free)] = last.cofactor
    residuals = network.lengths(xy) - network.taped_m
    rows = network.design(xy) / network.sigma_m[:, None]
    redundancy = (1 - np.einsum("ij,jk,ik->i", rows, covariance, rows)).clip(0.0, 1.0)
    tested = redundancy > NO_REDUNDANCY
    defect = last.null.shape[1]
    dof = len(last.left_over) - len(network.free) + defect
    return Adjustment(
        network=network,
        xy=xy + network.origin,
        covariance=covariance,
        residuals_m=residuals,
        redundancy=redundancy,
        standardised=residuals / (network.sigma_m * np.sqrt(np.where(tested, redundancy, np.nan))),
        dof=dof,
        chi_square=float(last.left_over @ last.left_over),
        chi_critical=critical(dof, significance),
        defect=defect,
    )


def _solved(network: Network, hold: tuple[str, str] | None) -> tuple[FloatArray, _Step]:
    """Return the adjusted places and the model there, with the covariance under the constraints."""
    total = np.zeros(network.given.size)
    longest = LONGEST_STEP * float(network.lengths(network.given).min(initial=np.inf))
    for _ in range(MOST_STEPS):
        model = _model(network, network.given + total.reshape(-1, 2))
        farthest = float(np.abs(model.change).max(initial=0.0))
        wanted = total[network.free] + model.change * (longest / farthest if farthest > longest else 1.0)
        wanted = _datum(network, model, hold) @ wanted
        moved = float(np.abs(wanted - total[network.free]).max(initial=0.0))
        total[network.free] = wanted
        if moved < STEP_M:
            break
    xy = network.given + total.reshape(-1, 2)
    model = _model(network, xy)
    datum = _datum(network, model, hold)
    return xy, replace(model, cofactor=datum @ model.cofactor @ datum.T)


def _model(network: Network, xy: FloatArray) -> _Step:
    apart = (network.taped_m - network.lengths(xy)) / network.sigma_m
    left_over = np.concatenate([apart, network.known - network.known_rows @ xy.ravel()])
    rows = np.vstack([network.design(xy) / network.sigma_m[:, None], network.known_rows])[:, network.free]
    values, vectors = np.linalg.eigh(rows.T @ rows)
    determined = values > UNDETERMINED * values.max(initial=0.0)
    kept = vectors[:, determined]
    cofactor = kept / values[determined] @ kept.T
    return _Step(left_over, cofactor @ (rows.T @ left_over), cofactor, vectors[:, ~determined])


def _datum(network: Network, model: _Step, hold: tuple[str, str] | None) -> FloatArray:
    """Return what takes out of a change what nothing determines (S-transformation: Baarda 1973, from memory)."""
    bound = model.null.T if hold is None else _held(network, model, hold)
    if not model.null.shape[1]:
        return np.eye(len(network.free))
    return np.eye(len(network.free)) - model.null @ np.linalg.solve(bound @ model.null, bound)


def _held(network: Network, model: _Step, hold: tuple[str, str]) -> FloatArray:
    """Return rows (3, 2N) that a change must be square to, so that a peg and a bearing stay."""
    if model.null.shape[1] != DATUM_DEFECT or len(network.free) != network.given.size:
        raise InputError(
            "A peg and a bearing can be held only where nothing else says where the network lies."
        )
    one, other = network.index[hold[0]], network.index[hold[1]]
    east, north = network.given[other] - network.given[one]
    rows = np.zeros((DATUM_DEFECT, network.given.size))
    rows[0, 2 * one] = rows[1, 2 * one + 1] = 1.0
    rows[2, 2 * other], rows[2, 2 * other + 1] = -north, east
    return rows
