"""A bunker by the string between two pegs: its outlines as chainages and square offsets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from fieldapp.errors import InputError
from fieldapp.tape.baseline import (
    SQUARE_UNIT_M,
    BaselineRow,
    FloatArray,
    baseline_table,
    point_at,
    squares_to,
)
from fieldapp.tape.bunker_points import BunkerPoints
from fieldapp.tape.ties import Tape, TiePeg

TRACE_M = 0.002
"""How far the trace that squares are measured to may leave the true outline, ground metres."""


@dataclass(frozen=True)
class SquaredPlace:
    """A place by the string: a paint point (`number`), or where the square at a round chainage meets the outline."""

    outline: str
    part: str
    number: int | None
    row: BaselineRow


@dataclass(frozen=True, eq=False)
class SquaredBunker:
    """A bunker by chainage and offset from the string between two pegs; `every_m` is None for its paint points.

    `square_unit_m` is that of the 3-4-5 its squares are set with.
    """

    points: BunkerPoints
    start: TiePeg
    end: TiePeg
    tape: Tape
    every_m: float | None
    square_unit_m: float
    places: tuple[SquaredPlace, ...]

    @property
    def worst_m(self) -> float:
        """The longest half axis of the 95 % ellipses of its places."""
        return max((place.row.ellipse.major_m for place in self.places), default=0.0)

    @property
    def crosses(self) -> bool:
        """Whether the string runs over the bunker: places lie to both sides of it between the pegs."""
        sides = {place.row.offset_m > 0 for place in self.places if place.row.is_on_string}
        return len(sides) > 1

    @property
    def length_m(self) -> float:
        """How far apart the pegs are, level."""
        return math.dist(self.start.xy, self.end.xy)


def squared_bunker(
    points: BunkerPoints,
    start: TiePeg,
    end: TiePeg,
    tape: Tape,
    every_m: float | None = None,
    square_unit_m: float = SQUARE_UNIT_M,
) -> SquaredBunker:
    """Return a bunker by the string from one peg to another: its paint points, or a place every so many metres.

    Raises InputError where the pegs are the same or the spacing is none.
    """
    if start.id == end.id:
        raise InputError(f"A string needs two pegs; '{start.id}' is named for both of its ends.")
    string = _String(start, end, tape, square_unit_m)
    places = _points_by(string, points) if every_m is None else _squares_by(string, points, every_m)
    return SquaredBunker(points, start, end, tape, every_m, square_unit_m, places)


def usual_string(
    points: BunkerPoints, pegs: Sequence[TiePeg], tape: Tape, square_unit_m: float = SQUARE_UNIT_M
) -> SquaredBunker | None:
    """Return the string that does best by its worst paint point, beside the bunker where it can be.

    None where no two pegs stand. Twin: `usualEnds` in web/phone/session/line_model.js.
    """
    strings = [squared_bunker(points, *ends, tape, None, square_unit_m) for ends in combinations(pegs, 2)]
    return min(strings, key=lambda one: (one.crosses, one.worst_m), default=None)


@dataclass(frozen=True)
class _String:
    start: TiePeg
    end: TiePeg
    tape: Tape
    square_unit_m: float

    def rows(self, xy: FloatArray) -> tuple[BaselineRow, ...]:
        return baseline_table(xy, self.start, self.end, self.tape, self.square_unit_m)


def _points_by(string: _String, points: BunkerPoints) -> tuple[SquaredPlace, ...]:
    return tuple(
        SquaredPlace(name.outline, name.part, name.number, row)
        for name, row in zip(points.names, string.rows(points.xy), strict=True)
    )


def _squares_by(string: _String, points: BunkerPoints, every_m: float) -> tuple[SquaredPlace, ...]:
    found: list[SquaredPlace] = []
    for outline in points.laid_out.outlines:
        trace = outline.curve.trace(TRACE_M / points.scale) * points.scale
        squares = squares_to(trace, every_m, string.start.xy, string.end.xy)
        xy = point_at(squares[:, 0], squares[:, 1], string.start.xy, string.end.xy)
        rows = sorted(string.rows(xy), key=lambda row: (round(row.chainage_m, 6), abs(row.offset_m)))
        found += [SquaredPlace(outline.id, outline.part, None, row) for row in rows]
    return tuple(found)
