"""A section: the ground and the sand along one straight line from a tee plate, as far as levels are known.

Places are `(distance, level)`: ground metres from the plate, level, and metres above the site's datum.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Place = tuple[float, float]
RunKind = Literal["ground", "floor", "far face"]
SAND: tuple[RunKind, ...] = ("floor", "far face")

EARTH_RADIUS_M = 6_370_000.0
REFRACTION = 0.13
"""How much of the earth's curvature the bending of light takes off, as surveyors take it by day."""
SAME_PLACE_M = 1e-6
NOT_KNOWN = "levels not known"


def curvature_drop_m(distance_m: FloatArray | float, refraction: float = REFRACTION) -> FloatArray:
    """Return by how much a level at a distance `(...)` lies lower for the eye: d^2 (1 - k) / 2 R.

    Levels fall away from the straight line of sight with the earth's curvature; k is what refraction gives back. At 250
    yards it is 3.6 mm, at 1 km 68 mm. Between two places of a section the drop is taken to grow straight, which leaves
    out 0.03 mm over 40 m.
    """
    return np.asarray(np.square(distance_m) * (1.0 - refraction) / (2.0 * EARTH_RADIUS_M))


@dataclass(frozen=True, eq=False)
class Run:
    """A run of ground or sand without a gap: straight between its `places` `(K, 2)`, in order of distance."""

    kind: RunKind
    places: FloatArray

    @property
    def start(self) -> Place:
        """Its first place."""
        return float(self.places[0, 0]), float(self.places[0, 1])

    @property
    def end(self) -> Place:
        """Its last place."""
        return float(self.places[-1, 0]), float(self.places[-1, 1])


@dataclass(frozen=True)
class Unknown:
    """A stretch of ground between two known places that nothing is known of, and why in a few words."""

    start: Place
    end: Place
    why: str = NOT_KNOWN


@dataclass(frozen=True)
class Pocket:
    """One stretch of sand on the line: its front edge, floor, foot of the far face and far edge.

    The floor lies level from the front edge on. Where its level is None the sand runs straight from the front edge to
    the foot, and without a foot to the far edge. Without a foot the face stands upright at the far edge.
    """

    front: Place
    far: Place
    floor_level_m: float | None = None
    foot: Place | None = None

    @property
    def face(self) -> tuple[Place, Place] | None:
        """Foot and top of the far face; None where neither foot nor floor is known."""
        if self.foot is not None:
            return self.foot, self.far
        return None if self.floor_level_m is None else ((self.far[0], self.floor_level_m), self.far)

    @property
    def face_height_m(self) -> float | None:
        """How high the far face rises from its foot; 0 or less where there is none, None where that is not known."""
        return None if self.face is None else self.face[1][1] - self.face[0][1]

    def runs(self) -> tuple[Run, ...]:
        """Return its sand from the tee's side to the far edge."""
        foot = self.foot or self.far
        floor = self.floor_level_m
        if floor is None:
            bottom = Run("floor", np.array([self.front, foot]))
            return (bottom,) if self.foot is None else (bottom, Run("far face", np.array([foot, self.far])))
        bottom = Run("floor", np.array([(self.front[0], floor), (foot[0], floor)]))
        rise = [(foot[0], floor), foot, self.far] if self.foot else [(foot[0], floor), self.far]
        return bottom, Run("far face", np.array(rise))


@dataclass(frozen=True, eq=False)
class Section:
    """What is known along one line from a tee plate to a bunker's sand and through it.

    `ground` are the runs of known ground before the sand, in order; the last ends in the front edge where that has a
    level. `pockets` are the stretches of sand on the line; empty where their edges have no level. `unknown` are the
    gaps between the runs. `front_m` and `far_m` are where the sand begins and ends, None where the line misses it.
    `plate_level_m` is None where the height of the eye cannot be told. `lacks` and `assumed` are plain sentences.
    """

    plate_level_m: float | None
    ground: tuple[Run, ...] = ()
    pockets: tuple[Pocket, ...] = ()
    unknown: tuple[Unknown, ...] = ()
    front_m: float | None = None
    far_m: float | None = None
    lacks: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    def runs(self) -> tuple[Run, ...]:
        """Return all runs in order of distance; between two pockets the ground runs straight."""
        sand: list[Run] = []
        for index, pocket in enumerate(self.pockets):
            before = [self.pockets[index - 1].far] if index else []
            sand.append(Run("ground", np.array([*before, pocket.front])))
            sand += pocket.runs()
        return (*self.ground, *sand)


def gaps_between(runs: tuple[Run, ...], why: dict[float, str] | None = None) -> tuple[Unknown, ...]:
    """Return the gaps between runs; `why` has other words for those that begin at a distance."""
    reasons = why or {}
    return tuple(
        Unknown(one.end, other.start, reasons.get(one.end[0], NOT_KNOWN))
        for one, other in pairwise(runs)
        if other.start[0] > one.end[0] + SAME_PLACE_M
    )
