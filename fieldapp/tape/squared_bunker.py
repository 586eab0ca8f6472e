"""A bunker by the string between two pegs: its outlines as chainages and square offsets."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fieldapp.errors import InputError
from fieldapp.tape.baseline import BaselineRow, baseline_table, point_at, squares_to
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
    """A bunker by chainage and offset from the string between two pegs; `every_m` is None for its paint points."""

    points: BunkerPoints
    start: TiePeg
    end: TiePeg
    tape: Tape
    every_m: float | None
    places: tuple[SquaredPlace, ...]

    @property
    def length_m(self) -> float:
        """How far apart the pegs are, level."""
        return math.dist(self.start.xy, self.end.xy)


def squared_bunker(
    points: BunkerPoints, start: TiePeg, end: TiePeg, tape: Tape, every_m: float | None = None
) -> SquaredBunker:
    """Return a bunker by the string from one peg to another: its paint points, or a place every so many metres.

    Raises InputError where the pegs are the same or the spacing is none.
    """
    if start.id == end.id:
        raise InputError(f"A string needs two pegs; '{start.id}' is named for both of its ends.")
    places = (
        _points_by_string(points, start, end, tape)
        if every_m is None
        else _squares_by_string(points, start, end, tape, every_m)
    )
    return SquaredBunker(points, start, end, tape, every_m, places)


def _points_by_string(
    points: BunkerPoints, start: TiePeg, end: TiePeg, tape: Tape
) -> tuple[SquaredPlace, ...]:
    rows = baseline_table(points.xy, start, end, tape)
    return tuple(
        SquaredPlace(name.outline, name.part, name.number, row)
        for name, row in zip(points.names, rows, strict=True)
    )


def _squares_by_string(
    points: BunkerPoints, start: TiePeg, end: TiePeg, tape: Tape, every_m: float
) -> tuple[SquaredPlace, ...]:
    found: list[SquaredPlace] = []
    for outline in points.laid_out.outlines:
        trace = outline.curve.trace(TRACE_M / points.scale) * points.scale
        squares = squares_to(trace, every_m, start.xy, end.xy)
        xy = point_at(squares[:, 0], squares[:, 1], start.xy, end.xy)
        rows = baseline_table(xy, start, end, tape)
        found += [SquaredPlace(outline.id, outline.part, None, row) for row in rows]
    return tuple(found)
