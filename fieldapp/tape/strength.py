"""What taped distances would show of a peg that moved. Twin: web/phone/geometry/strength.js."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fieldapp.tape.adjust import Adjustment
from fieldapp.tape.chi_square import critical, seen_noncentrality
from fieldapp.tape.network import FloatArray

LIMIT_M = 0.10
"""A peg that moved by this must not pass unseen, however much the site tolerates; a site has this tolerance unless it
states its own."""
LEAST_IN_SIGMA = 5.0
"""A move of fewer sigma of one taped distance is not asked of a tape: the best networks see 3.4 of them (a choice)."""
POWER = 0.80
"""How surely it must be seen; a choice, the one usual with Baarda's method (from memory)."""
NAMING_POWER = 0.98
"""How surely a move is seen, and each other explanation ruled out, so that it is named in 95 % of cases in all."""
INVISIBLE = 1e-9
"""A direction that shows this small a part of what the best shows is not seen at all."""


def limit_of(tolerance_m: float, error_m: float) -> float:
    """Return the move, metres, that must not pass unseen where a site tolerates `tolerance_m`.

    No less than a tape of one sigma `error_m` can show; a narrower tolerance is not borne out by tapes.
    """
    return min(LIMIT_M, max(tolerance_m, LEAST_IN_SIGMA * error_m))


@dataclass(frozen=True)
class Strength:
    """What would show of a moved peg, in the direction that shows it least, ground metres.

    Moved by `seen_from_m` it fails the test of the whole with probability POWER; moved by `named_from_m` it does so,
    and the nearest other explanation is ruled out, with NAMING_POWER each. None: a move in some direction is never
    seen, or always has another explanation.
    """

    peg: str
    seen_from_m: float | None
    named_from_m: float | None

    def is_checked(self, limit_m: float) -> bool:
        """Whether a move of this length would be seen, whichever its direction."""
        return self.seen_from_m is not None and self.seen_from_m <= limit_m


def strengths(asis: Adjustment, significance: float) -> tuple[Strength, ...]:
    """Return the strength of every peg that a line goes to; of networks without redundancy all None."""
    network = asis.network
    taped = sorted({*network.one.tolist(), *network.other.tolist()})
    names = list(network.index)
    if not taped or asis.dof == 0:
        return tuple(Strength(names[at], None, None) for at in taped)
    weights = weights_of(asis)
    rows = network.design(asis.xy - network.origin)
    moves = {at: rows[:, 2 * at : 2 * at + 2] for at in taped}
    misreads = list(np.eye(len(rows))[:, :, None])
    scale = float(np.max([np.trace(move.T @ weights @ move) for move in moves.values()]))
    seen = seen_noncentrality(asis.dof, significance, POWER)
    surely = seen_noncentrality(asis.dof, significance, NAMING_POWER)
    named = naming_noncentrality(significance)
    found = []
    for at, move in moves.items():
        shown = least_shown(move, weights)
        apart = _apart(move, weights, [*(moves[other] for other in moves if other != at), *misreads])
        least = min(apart, shown * named / surely)
        found.append(Strength(names[at], _length(seen, shown, scale), _length(named, least, scale)))
    return tuple(found)


def weights_of(asis: Adjustment) -> FloatArray:
    """Return the weights (L, L) by which misclosures of the lines count: P Qvv P, in 1/m²."""
    network = asis.network
    rows = network.design(asis.xy - network.origin)
    inverse = 1 / network.sigma_m**2
    weights: FloatArray = np.diag(inverse) - inverse[:, None] * (rows @ asis.covariance @ rows.T) * inverse
    return weights


def naming_noncentrality(significance: float) -> float:
    """Return how far apart two hypotheses must lie for the wrong one to be ruled out with NAMING_POWER.

    The lead of the right one is about normal with mean m and variance 4m; a peg's must reach the critical value of its
    two unknowns.
    """
    margin, surely = critical(2, significance), critical(1, 2 * (1 - NAMING_POWER))
    return float((np.sqrt(surely) + np.sqrt(surely + margin)) ** 2)


def least_shown(move: FloatArray, weights: FloatArray) -> float:
    """Return the weight, 1/m², of a move (L, 2) in the direction that shows least."""
    return float(np.linalg.eigvalsh(move.T @ weights @ move)[0])


def _apart(move: FloatArray, weights: FloatArray, others: list[FloatArray]) -> float:
    """Return the least weight that is left of a move when another hypothesis takes what it can."""
    return min(least_shown(move, weights - _taken(other, weights)) for other in others)


def _taken(other: FloatArray, weights: FloatArray) -> FloatArray:
    part = weights @ other
    values, vectors = np.linalg.eigh(other.T @ part)
    kept = vectors[:, values > INVISIBLE * values[-1]]
    along = part @ kept / np.sqrt(values[values > INVISIBLE * values[-1]])
    taken: FloatArray = along @ along.T
    return taken


def _length(noncentrality: float, weight: float, scale: float) -> float | None:
    return float(np.sqrt(noncentrality / weight)) if weight > INVISIBLE * scale else None
