"""Invented pegs round a bunker, what truly became of them, and distances taped between them, for simulations."""

import itertools

import numpy as np

from fieldapp.tape.network import Distance, NetPeg

TAPE_M = 0.010
REACH_M = 30.0


class Ring:
    """Pegs r0, r1, … 8 to 14 m round a middle, each truly off by `sigma_m` on each axis; r0 may have moved."""

    def __init__(self, rng, count, sigma_m, moved_m=0.0):
        angle = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * 2 * np.pi / count
        self.rng, self.xy = rng, (rng.uniform(8, 14, count) * [np.cos(angle), np.sin(angle)]).T
        self.true = self.xy + rng.normal(0, sigma_m, self.xy.shape)
        way = rng.uniform(0, 2 * np.pi)
        self.true[0] += moved_m * np.array([np.cos(way), np.sin(way)])
        self.pegs = [NetPeg(f"r{at}", (float(x), float(y)), sigma_m) for at, (x, y) in enumerate(self.xy)]

    def tape(self, one, other, off_m=0.0):
        """A distance as the tape shows it, misread by `off_m`."""
        length = float(np.hypot(*(self.true[int(one[1:])] - self.true[int(other[1:])])))
        return Distance(one, other, length + off_m + self.rng.normal(0, TAPE_M), TAPE_M)

    def tape_all(self):
        """Every distance that the tape spans, once."""
        pairs = itertools.combinations(self.pegs, 2)
        return [self.tape(a.id, b.id) for a, b in pairs if np.hypot(*np.subtract(a.xy, b.xy)) <= REACH_M]
