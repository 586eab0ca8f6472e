"""Sight: what of a bunker's sand an eye above the tee plate can see along a section, and what hides the rest."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from fieldapp.play.section import (
    REFRACTION,
    SAND,
    Place,
    Pocket,
    Run,
    RunKind,
    Section,
    Unknown,
    curvature_drop_m,
)

Answer = Literal["seen", "partly", "hidden", "cannot tell"]

STANDING_EYE_M = 1.65
LEAST_TANGENT = 1e-12
"""Sand that fills less than this in the eye is seen edge-on, that is, not."""
ARC_MINUTES = 60.0 * 180.0 / math.pi


@dataclass(frozen=True)
class SeenSand:
    """A stretch of sand that is seen, from the nearer place to the further one, and what it fills in the eye."""

    kind: RunKind
    start: Place
    end: Place
    angle_arcmin: float


@dataclass(frozen=True)
class Condition:
    """What ground that is not known must keep to, for the sand to be seen as told.

    It must stay below the lowest line of sight to sand, whose levels at both ends of the stretch are `line_from_m` and
    `line_to_m`. `room_from_m` and `room_to_m` are how much higher than the straight line between its known ends it may
    be there; in between the room changes evenly, so the less of the two is the least anywhere.
    """

    unknown: Unknown
    line_from_m: float
    line_to_m: float

    @property
    def room_from_m(self) -> float:
        """Room above the known end nearer to the tee."""
        return self.line_from_m - self.unknown.start[1]

    @property
    def room_to_m(self) -> float:
        """Room above the known end nearer to the sand."""
        return self.line_to_m - self.unknown.end[1]

    @property
    def least_room(self) -> Place:
        """Distance and height of the most critical place."""
        ends = ((self.unknown.start[0], self.room_from_m), (self.unknown.end[0], self.room_to_m))
        return min(ends, key=lambda end: end[1])


@dataclass(frozen=True)
class Sight:
    """What of the sand is seen; lengths in metres.

    `face_m` is the height of far face that shows, `floor_m` the length of floor, `angle_arcmin` what the sand seen
    fills in the eye, upright: all of them over every stretch of sand on the line, so see `of`. `hidden_by` is the place
    over which the eye sees the nearest sand seen, or the one that hides all; None where nothing is hidden. With
    `conditions` the answer holds only if all of them do.
    """

    answer: Answer
    eye_level_m: float | None = None
    seen: tuple[SeenSand, ...] = ()
    hidden_by: Place | None = None
    conditions: tuple[Condition, ...] = ()

    @property
    def face_m(self) -> float:
        """Height of far face seen."""
        return sum(part.end[1] - part.start[1] for part in self.seen if part.kind == "far face")

    @property
    def floor_m(self) -> float:
        """Length of floor seen, level."""
        return sum(part.end[0] - part.start[0] for part in self.seen if part.kind == "floor")

    @property
    def angle_arcmin(self) -> float:
        """What the sand seen fills in the eye, upright."""
        return sum(part.angle_arcmin for part in self.seen)

    def of(self, pocket: Pocket) -> Sight:
        """Return this sight with only what is seen of one stretch of sand."""
        begin, end = pocket.front[0], pocket.far[0]
        return replace(
            self, seen=tuple(part for part in self.seen if begin <= part.start[0] and part.end[0] <= end)
        )


def sight(section: Section, eye_m: float, refraction: float = REFRACTION) -> Sight:
    """Tell what an eye `eye_m` above the plate sees; a `refraction` of 1 takes the earth for flat.

    The horizon is the running maximum of (level - eye) / distance, the tangent of the elevation angle. Along a straight
    piece that grows or falls throughout, so the part seen is one stretch and its end has a closed form. Only known
    ground hides; what is not known becomes a condition, and is none where all sand is hidden by what is known.
    """
    if section.plate_level_m is None or not section.pockets:
        return Sight("cannot tell")
    eye_level = section.plate_level_m + eye_m
    watcher = _Watcher(eye_level, refraction)
    for run in section.runs():
        watcher.look_along(run)
    if not watcher.seen:
        return Sight("hidden", eye_level, hidden_by=watcher.top)
    lowest = min(watcher.tangent(part.start) for part in watcher.seen)
    return Sight(
        answer="partly" if watcher.hides_sand else "seen",
        eye_level_m=eye_level,
        seen=tuple(watcher.seen),
        hidden_by=watcher.seen_over if watcher.hides_sand else None,
        conditions=tuple(
            Condition(gap, watcher.level_on(lowest, gap.start[0]), watcher.level_on(lowest, gap.end[0]))
            for gap in section.unknown
        ),
    )


class _Watcher:
    """The horizon on the way from the eye outward."""

    def __init__(self, eye_level_m: float, refraction: float) -> None:
        self._eye, self._refraction = eye_level_m, refraction
        self._horizon = -math.inf
        self.top: Place | None = None
        self.seen: list[SeenSand] = []
        self.seen_over: Place | None = None
        self.hides_sand = False

    def look_along(self, run: Run) -> None:
        """Take in a run, piece by piece."""
        places = [(float(distance), float(level)) for distance, level in run.places]
        self._rise_to(places[0])
        for start, end in pairwise(places):
            if run.kind in SAND:
                self._look_at(run.kind, start, end)
            self._rise_to(end)

    def tangent(self, place: Place) -> float:
        """Tangent of the elevation of a place; below the eye or above it there is no horizon."""
        distance, level = place
        height = level - float(curvature_drop_m(distance, self._refraction)) - self._eye
        return height / distance if distance > 0 else -math.inf

    def level_on(self, tangent: float, distance_m: float) -> float:
        """Level of a line of sight at a distance."""
        return self._eye + tangent * distance_m + float(curvature_drop_m(distance_m, self._refraction))

    def _rise_to(self, place: Place) -> None:
        tangent = self.tangent(place)
        if tangent > self._horizon:
            self._horizon, self.top = tangent, place

    def _look_at(self, kind: RunKind, start: Place, end: Place) -> None:
        low, high = self.tangent(start), self.tangent(end)
        over = max(low, self._horizon)
        if high - over <= LEAST_TANGENT:
            self.hides_sand |= start != end
            return
        begin = start if over <= low else self._emerges(start, end, over)
        self.hides_sand |= begin != start
        if not self.seen:
            self.seen_over = self.top
        self._add(SeenSand(kind, begin, end, (math.atan(high) - math.atan(over)) * ARC_MINUTES))

    def _emerges(self, start: Place, end: Place, tangent: float) -> Place:
        """Return where a straight piece comes out above a line of sight."""
        below, above = (place[1] - self.level_on(tangent, place[0]) for place in (start, end))
        share = below / (below - above)
        return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])

    def _add(self, part: SeenSand) -> None:
        """Join a part to the one before where it goes on in the same run."""
        last = self.seen[-1] if self.seen else None
        if last is not None and last.kind == part.kind and last.end == part.start:
            angle = last.angle_arcmin + part.angle_arcmin
            self.seen[-1] = replace(last, end=part.end, angle_arcmin=angle)
        else:
            self.seen.append(part)
