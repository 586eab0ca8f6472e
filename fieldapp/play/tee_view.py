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
from fieldapp.play.carry import Shot, shot, width_m
from fieldapp.play.line_of_play import LineOfPlay
from fieldapp.play.on_line import stretches_on_line
from fieldapp.play.room import Bound, Room, room_beside

TRACE_SAGITTA_M = 0.0001
"""By how much distances abeam, and what the line of play passes by, may differ from the true curve's, metres."""
STATIONS_APART_M = 0.25
FEWEST_STATIONS = 8
ON_LINE_M = 0.001
"""A bunker whose middle lies no further off the line of play lies on both its sides."""


@dataclass(frozen=True, eq=False)
class Sand:
    """A laid-out bunker with its sand edge, a trace of it `(M, 2)` and its axes: what no tee changes."""

    laid_out: LaidOutBunker
    curve: Curve
    trace: FloatArray
    axes: OutlineMeasures

    @staticmethod
    def of(laid_out: LaidOutBunker) -> Sand:
        """Measure a bunker."""
        curve = laid_out.sand.curve
        return Sand(laid_out, curve, curve.trace(TRACE_SAGITTA_M), measure(curve))


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
    """The bunkers of a hole before one tee. `ground_scale` is ground metres per course metre."""

    tee: Tee
    line: LineOfPlay
    ground_scale: float
    sands: list[Sand]
    fairway: Bound | None

    @property
    def plate(self) -> FloatArray:
        """The place of the tee plate `(2,)`."""
        return np.asarray(self.line.vertices[0])

    @cached_property
    def located(self) -> list[Located]:
        """Where each bunker lies on the line of play, in the order of `sands`."""
        return [self._locate(sand) for sand in self.sands]

    def straight_shot(self, sand: Sand, bearing_deg: float) -> Shot | None:
        """Return the straight shot on a course bearing; None where the sand edge is an open line."""
        if not sand.curve.closed:
            return None
        return shot(sand.curve, self.plate, bearing_deg, self.ground_scale)

    def shot_on_line(self, index: int) -> Shot | None:
        """Return the shot along the line of play over one bunker; None where its sand edge is an open line."""
        sand, at, scale = self.sands[index], self.located[index], self.ground_scale
        if not sand.curve.closed:
            return None
        found = stretches_on_line(sand.curve, self.line)
        return Shot(
            bearing_deg=at.play_bearing_deg,
            stretches_m=tuple((begin * scale, end * scale) for begin, end in found),
            width_m=width_m(sand.curve, at.play_bearing_deg) * scale,
            passes_m=None if found else at.passes * scale,
        )

    def room(self, index: int) -> Room | None:
        """Return the least room beside one bunker, on the side of the line of play that its middle is not on.

        A middle on the line itself has both sides, and the wider counts. Other sand counts where the middle of its
        bunker lies on that side. Stations are at most 0.25 m apart; what lies between them is left out.
        """
        at = self.located[index]
        sides = (-1.0, 1.0) if abs(at.offset) <= ON_LINE_M else (-np.sign(at.offset),)
        found = [room for side in sides if (room := self._room_toward(index, float(side)))]
        return max(found, key=lambda room: room.across_m, default=None)

    def _room_toward(self, index: int, side: float) -> Room | None:
        at = self.located[index]
        bounds = [
            Bound(sand.laid_out.bunker.name, sand.curve)
            for sand, other in zip(self.sands, self.located, strict=True)
            if other is not at and other.offset * side > 0 and other.near < at.far and other.far > at.near
        ]
        bounds += [self.fairway] if self.fairway else []
        if not bounds:
            return None
        apart = STATIONS_APART_M / self.ground_scale
        count = max(FEWEST_STATIONS, int(np.ceil((at.far - at.near) / apart)))
        stations = np.asarray(at.near + (np.arange(count) + 0.5) * ((at.far - at.near) / count))
        return room_beside(self.sands[index].curve, self.line, stations, side, bounds)

    def _locate(self, sand: Sand) -> Located:
        (along, *edge), (offset, *beside) = self.line.locate(np.vstack([sand.laid_out.middle, sand.trace]))
        return Located(
            along=float(along),
            offset=float(offset),
            near=float(np.min(edge)),
            far=float(np.max(edge)),
            passes=float(beside[int(np.argmin(np.abs(beside)))]),
            play_bearing_deg=float(self.line.at(along)[1]),
        )
