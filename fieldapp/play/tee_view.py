"""A hole's bunkers as they lie before one tee: on its line of play, beside it, and under its shots."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape, Hole, Tee
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.outline.measure import OutlineMeasures, measure
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.steps import Steps
from fieldapp.play.abeam import edge_steps, ends_along, nearest_places
from fieldapp.play.ground import Ground
from fieldapp.play.line_of_play import LineOfPlay
from fieldapp.play.room import Bound, Side

STATIONS_APART_M = 0.25
FEWEST_STATIONS = 8
ROUNDING = 0.01
"""So that a length of so many whole parts is cut into as many, though its ends are known to 0.1 mm only."""
ON_LINE_M = 0.001
"""Ground metres. A bunker whose middle lies no further off the line of play lies on both its sides."""


@dataclass(frozen=True, eq=False)
class Sand:
    """A laid-out bunker with its sand edge, that in short steps and its axes: what no tee changes.

    As a bound it limits the room beside other bunkers.
    """

    laid_out: LaidOutBunker
    curve: Curve
    edge: Steps
    axes: OutlineMeasures
    bound: Bound

    @staticmethod
    def of(laid_out: LaidOutBunker) -> Sand:
        """Measure a bunker."""
        curve = laid_out.sand.curve
        return Sand(laid_out, curve, edge_steps(curve), measure(curve), Bound(laid_out.bunker.name, curve))


@dataclass(frozen=True)
class Located:
    """Where a bunker lies on a line of play, course metres: its middle, the nearest and furthest of its sand edge
    along, the offset of its sand nearest to the line, and the course bearing of play at its middle.
    """

    along: float
    offset: float
    near: float
    far: float
    passes: float
    play_bearing_deg: float


def fairway_edge(hole: Hole) -> Bound | None:
    """Return the edge of a hole's fairway, None where it is not given. Raises OutlineError."""
    if not hole.fairway:
        return None
    shape = DrawnShape(tuple(ControlPoint(x, y) for x, y in hole.fairway), "straight")
    try:
        return Bound("the fairway's edge", build_curve(shape), is_fairway=True)
    except OutlineError as error:
        raise OutlineError(f"Hole {hole.number}, fairway: {error}") from error


@dataclass(frozen=True, eq=False)
class TeeView:
    """The bunkers of a hole before one tee, and the ground. `ground_scale` is ground metres per course metre."""

    tee: Tee
    line: LineOfPlay
    ground_scale: float
    sands: list[Sand]
    fairway: Bound | None
    ground: Ground

    @property
    def plate(self) -> FloatArray:
        """The place of the tee plate `(2,)`."""
        return np.asarray(self.line.vertices[0])

    @cached_property
    def located(self) -> list[Located]:
        """Where each bunker lies on the line of play, in the order of `sands`."""
        if not self.sands:
            return []
        middles = [sand.laid_out.middle for sand in self.sands]
        edges = [sand.edge for sand in self.sands]
        along, offset = self.line.locate(middles)
        ends = ends_along(self.line, edges)
        passes = self.line.locate(nearest_places(self.line, edges))[1]
        bearing = self.line.at(along)[1]
        every = np.column_stack([along, offset, ends, passes, bearing])
        return [Located(*found) for found in every.tolist()]

    def sides(self, index: int) -> list[Side]:
        """Return where room is looked for beside one bunker: on the side of the line of play that its middle is not on.

        A middle on the line itself has both sides. Other sand that is abeam bounds the room where it lies beyond the
        bunker on that side, also short of the line of play. Stations are at most 0.25 m apart; what lies between is
        left out.
        """
        at = self.located[index]
        toward = (
            (-1.0, 1.0) if abs(at.offset) * self.ground_scale <= ON_LINE_M else (-float(np.sign(at.offset)),)
        )
        apart = STATIONS_APART_M / self.ground_scale
        count = max(FEWEST_STATIONS, int(np.ceil((at.far - at.near) / apart - ROUNDING)))
        stations = np.asarray(at.near + (np.arange(count) + 0.5) * ((at.far - at.near) / count))
        found = (Side(self.line, stations, side, self._bounds(at)) for side in toward)
        return [side for side in found if side.bounds]

    def _bounds(self, at: Located) -> list[Bound]:
        others = zip(self.sands, self.located, strict=True)
        sand = [
            other.bound
            for other, there in others
            if there is not at and there.near < at.far and there.far > at.near
        ]
        return [*sand, self.fairway] if self.fairway else sand
