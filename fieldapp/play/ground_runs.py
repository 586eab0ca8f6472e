"""Runs of known ground along one line: the profile of the surface, and what outlines and plates tell put into it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from fieldapp.play.ground import FloatArray
from fieldapp.play.section import SAME_PLACE_M, Place, Run, Unknown, gaps_between


@dataclass(frozen=True, eq=False)
class GroundRuns:
    """Runs `(K, 2)` of places without a gap, in order of distance.

    `owners` tells the bunker of places that an outline gave, by distance; `why` says why nothing is known in the gaps
    that begin at a distance.
    """

    chains: tuple[FloatArray, ...]
    owners: Mapping[float, str] = field(default_factory=dict)
    why: Mapping[float, str] = field(default_factory=dict)

    @staticmethod
    def of_profile(distance_m: FloatArray, level_m: FloatArray) -> GroundRuns:
        """Return the runs of a profile with NaN in its gaps."""
        places = np.stack([distance_m, level_m], axis=1)
        breaks = np.flatnonzero(np.isnan(level_m))
        pieces = np.split(places, breaks)
        kept = [piece[~np.isnan(piece[:, 1])] for piece in pieces]
        return GroundRuns(tuple(piece for piece in kept if len(piece)))

    @property
    def runs(self) -> tuple[Run, ...]:
        """The runs of a section."""
        return tuple(Run("ground", chain) for chain in self.chains)

    @property
    def unknown(self) -> tuple[Unknown, ...]:
        """The gaps between them."""
        return gaps_between(self.runs, dict(self.why))

    def with_place(self, place: Place, owner: str) -> GroundRuns:
        """Put a place in; it stands for what was known at its distance."""
        distance = place[0]
        chains = list(self.chains)
        for index, chain in enumerate(chains):
            if chain[0, 0] - SAME_PLACE_M <= distance <= chain[-1, 0] + SAME_PLACE_M:
                others = chain[np.abs(chain[:, 0] - distance) > SAME_PLACE_M]
                chains[index] = np.insert(others, np.searchsorted(others[:, 0], distance), place, axis=0)
                break
        else:
            chains.append(np.array([place]))
        owners = {**self.owners, distance: owner} if owner else self.owners
        return replace(self, chains=_ordered(chains), owners=owners)

    def straight_to(self, end: Place, over_m: float) -> GroundRuns:
        """Let the ground run straight to a place over the last `over_m` before it, where it is known so far before."""
        begin = end[0] - over_m
        chains = _cut(self.chains, begin, np.inf)
        if chains and abs(chains[-1][-1, 0] - begin) <= SAME_PLACE_M:
            chains[-1] = np.vstack([chains[-1], end])
        return replace(self, chains=tuple(chains))

    def instead(self, begin: Place, between: Sequence[Place], end: Place, owner: str) -> GroundRuns:
        """Let the ground run straight from place to place of a bunker's work, and not as it was there."""
        chains = _cut(self.chains, begin[0], end[0])
        built = [begin, *sorted(between), end]
        owners = {**self.owners, **{place[0]: owner for place in built}}
        return replace(self, chains=_ordered([*chains, np.array(built)]), owners=owners)

    def without(self, begin_m: float, end_m: float, known: Sequence[Place], why: str) -> GroundRuns:
        """Take away what was known between two distances, but for the places `known` at them."""
        runs = replace(self, chains=tuple(_cut(self.chains, begin_m, end_m)), why={**self.why, begin_m: why})
        for place in known:
            runs = runs.with_place(place, "")
        return runs

    def joined(self, longest_m: float) -> GroundRuns:
        """Join runs that touch, and those that end and begin with the same bunker's work at most so far apart."""
        chains: list[FloatArray] = []
        for chain in self.chains:
            if chains and self._goes_on(float(chains[-1][-1, 0]), float(chain[0, 0]), longest_m):
                chains[-1] = np.vstack([chains[-1], chain])
            else:
                chains.append(chain)
        return replace(self, chains=tuple(chains))

    def _goes_on(self, end_m: float, start_m: float, longest_m: float) -> bool:
        if start_m - end_m <= SAME_PLACE_M:
            return True
        owner = self.owners.get(end_m)
        same = owner is not None and owner == self.owners.get(start_m)
        return same and start_m - end_m <= longest_m and end_m not in self.why


def _ordered(chains: Sequence[FloatArray]) -> tuple[FloatArray, ...]:
    return tuple(sorted(chains, key=lambda chain: (chain[0, 0], chain[-1, 0])))


def _cut(chains: Sequence[FloatArray], begin_m: float, end_m: float) -> list[FloatArray]:
    """Return runs without what lies between two distances; a run is cut where it is, with its level there."""
    left: list[FloatArray] = []
    for chain in chains:
        before, after = chain[chain[:, 0] < begin_m], chain[chain[:, 0] > end_m]
        if len(before) and chain[-1, 0] >= begin_m:
            before = np.vstack([before, _on(chain, begin_m)])
        if len(after) and chain[0, 0] <= end_m:
            after = np.vstack([_on(chain, end_m), after])
        left += [piece for piece in (before, after) if len(piece)]
    return left


def _on(chain: FloatArray, distance_m: float) -> Place:
    return distance_m, float(np.interp(distance_m, chain[:, 0], chain[:, 1]))
