"""One straight line from a tee plate over the ground: what it crosses, and how high that lies."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from fieldapp.model import Bunker, Outline, Tee
from fieldapp.outline.curve import Curve
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.ground import FloatArray, Ground


@dataclass(frozen=True, eq=False)
class CrossedOutline:
    """An outline of a bunker, and where a line crosses it, ground metres from the plate `(K,)`."""

    bunker: Bunker
    given: Outline
    curve: Curve
    at_m: FloatArray


@dataclass(frozen=True, eq=False)
class CrossedLine:
    """A line toward a bunker; `sand_m` is where it crosses its sand edge, ground metres from the plate.

    `lacks` and `assumed` gather plain sentences while a section is built from it.
    """

    tee: Tee
    bearing_deg: float
    bunker: LaidOutBunker
    sand_m: FloatArray
    outlines: tuple[CrossedOutline, ...]
    ground: Ground
    ground_scale: float
    lacks: list[str] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)

    def place_at(self, distance_m: float) -> FloatArray:
        """Return the course place `(2,)` at a distance."""
        bearing = np.deg2rad(self.bearing_deg)
        forward = np.array([np.sin(bearing), np.cos(bearing)]) / self.ground_scale
        return np.array([self.tee.x, self.tee.y]) + distance_m * forward

    def surface_at(self, distance_m: float) -> float | None:
        """Return the level of the ground surface at a distance; None where it is not known."""
        level = float(self.ground.level_at(self.place_at(distance_m))[0])
        return None if np.isnan(level) else level

    def level_of(self, outline: Outline, distance_m: float) -> float | None:
        """Return the level of an outline where it is crossed; None where it is not known."""
        if outline.level_m is not None or outline.above_ground_m is None:
            return outline.level_m
        surface = self.surface_at(distance_m)
        return None if surface is None else surface + outline.above_ground_m

    def own(self, part: str) -> tuple[tuple[float, Outline], ...]:
        """Return where an outline of the bunker that is such a part is crossed, and which one."""
        return tuple(
            (float(at), crossed.given)
            for crossed in self.outlines
            if crossed.bunker is self.bunker.bunker and crossed.given.part == part
            for at in crossed.at_m
        )

    def known_places(
        self, crossed: CrossedOutline, begin_m: float, end_m: float
    ) -> list[tuple[float, float]]:
        """Return distance and level where an outline is crossed between two distances and has a level."""
        at = [float(distance) for distance in crossed.at_m if begin_m <= distance <= end_m]
        levels = [self.level_of(crossed.given, distance) for distance in at]
        return [(distance, level) for distance, level in zip(at, levels, strict=True) if level is not None]
