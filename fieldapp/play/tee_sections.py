"""Sections from a tee plate through a bunker, built from a site's spot levels and the levels of its outlines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model import Bunker, Outline, Tee
from fieldapp.outline.crossings import ray_crossings, stretches
from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline
from fieldapp.play.ground import LONGEST_SIDE_M, FloatArray, Ground
from fieldapp.play.ground_runs import GroundRuns
from fieldapp.play.section import Place, Pocket, Section

SHAPED_M = 2.0
"""Ground metres before a front edge over which the ground is taken as shaped to the edge's own level: a choice."""
SCALLOP_REACH_M = 5.0
"""A scallop crossed no further than this from the front edge lowers the edge there to its own level: a choice."""
STEP_TOLD_M = 0.05
"""How far the ground may lie off the front edge's level before the shaping is told as assumed."""

FACE_MAY_BE_TURF = (
    "The far face counts as sand right up to its edge; where it is built of turf, what shows there is turf."
)
GRASS_IS_SHORT = (
    "Grass, trees and flags hide nothing; between levels less than 40 m apart the ground is straight."
)


@dataclass(frozen=True, eq=False)
class Lines:
    """N lines from a tee plate: course bearings `(N,)`, and what every section of it is built from."""

    tee: Tee
    bearing_deg: FloatArray
    bunker: LaidOutBunker
    others: tuple[LaidOutBunker, ...]
    ground: Ground
    ground_scale: float

    def sections(self) -> tuple[Section, ...]:
        """Return the section of each line."""
        of_sand = self._crossed(self.bunker.sand)
        of_outlines = [
            (bunker, outline, given, self._crossed(outline))
            for bunker in (self.bunker, *self.others)
            for outline, given in zip(bunker.outlines, bunker.bunker.outlines, strict=True)
            if outline is not self.bunker.sand
        ]
        return tuple(
            _SectionMaker(
                self,
                float(bearing),
                of_sand[index],
                [
                    _Crossed(bunker.bunker, outline, given, at[index])
                    for bunker, outline, given, at in of_outlines
                ],
            ).section()
            for index, bearing in enumerate(self.bearing_deg)
        )

    def _crossed(self, outline: LaidOutOutline) -> list[FloatArray]:
        """Return where each line crosses an outline, ground metres."""
        found = ray_crossings(outline.curve, (self.tee.x, self.tee.y), self.bearing_deg)
        return [found.of(index) * self.ground_scale for index in range(len(self.bearing_deg))]


@dataclass(frozen=True, eq=False)
class _Crossed:
    """An outline, and where one line crosses it, ground metres."""

    bunker: Bunker
    outline: LaidOutOutline
    given: Outline
    at_m: FloatArray


class _SectionMaker:
    """Puts one section together, keeping what it lacks and assumes."""

    def __init__(
        self, lines: Lines, bearing_deg: float, sand_m: FloatArray, crossed: Sequence[_Crossed]
    ) -> None:
        self._lines, self._sand_m, self._crossed = lines, sand_m, crossed
        bearing = np.deg2rad(bearing_deg)
        self._start = np.array([lines.tee.x, lines.tee.y])
        self._forward = np.array([np.sin(bearing), np.cos(bearing)]) / lines.ground_scale
        self._lacks: list[str] = []
        self._assumed: list[str] = []

    def section(self) -> Section:
        """Return the section as far as it is known."""
        plate = self._plate_level()
        ways = stretches(self._sand_m) if self._lines.bunker.sand.curve.closed else ()
        if not ways:
            self._lacks.append("The line from this tee does not cross the bunker's sand.")
            return Section(plate, lacks=tuple(self._lacks))
        if ways[0][0] == 0.0:
            self._lacks.append(
                "The tee plate lies in the bunker's sand, so there is no front edge to look over."
            )
            return Section(plate, lacks=tuple(self._lacks))
        pockets = self._pockets(ways)
        runs = self._ground_runs(plate, ways[0][0], pockets)
        self._assumed.append(GRASS_IS_SHORT)
        return Section(
            plate_level_m=plate,
            ground=runs.runs,
            pockets=pockets,
            unknown=runs.unknown,
            front_m=ways[0][0],
            far_m=ways[-1][1],
            lacks=tuple(dict.fromkeys(self._lacks)),
            assumed=tuple(dict.fromkeys(self._assumed)),
        )

    def _surface_at(self, distance_m: float) -> float | None:
        level = float(self._lines.ground.level_at([self._start + distance_m * self._forward])[0])
        return None if np.isnan(level) else level

    def _plate_level(self) -> float | None:
        tee = self._lines.tee
        if tee.level_m is not None:
            return tee.level_m
        level = self._surface_at(0.0)
        if level is None:
            self._lacks.append(
                f"The level of the plate of {tee.name} is not given and no ground levels are known there, "
                "so the height of the eye cannot be told."
            )
        else:
            self._assumed.append(f"The plate of {tee.name} lies at the level of the ground there.")
        return level

    def _level_of(self, outline: Outline, distance_m: float) -> float | None:
        """Return the level of an outline where the line crosses it; None where it is not known."""
        if outline.level_m is not None or outline.above_ground_m is None:
            return outline.level_m
        surface = self._surface_at(distance_m)
        return None if surface is None else surface + outline.above_ground_m

    def _pockets(self, ways: Sequence[tuple[float, float]]) -> tuple[Pocket, ...]:
        made = [self._pocket(index, front_m, far_m) for index, (front_m, far_m) in enumerate(ways)]
        known = tuple(pocket for pocket in made if pocket is not None)
        if len(known) < len(made):
            return ()
        if len(known) > 1:
            self._assumed.append("Between two stretches of sand on the line the ground runs straight.")
        return known

    def _pocket(self, index: int, front_m: float, far_m: float) -> Pocket | None:
        front = self._edge_level("front", front_m)
        far = self._edge_level("far", far_m)
        if front is None or far is None:
            return None
        if index == 0:
            front = self._scalloped(front, front_m)
        floor = self._lines.bunker.bunker.floor_level_m
        foot = self._foot(front_m, far_m, floor)
        self._tell_floor(floor, foot)
        if foot is not None and foot[1] > far:
            self._lacks.append(
                "The foot of the face lies higher than the sand edge behind it; one level is wrong."
            )
        return Pocket((front_m, front), (far_m, far), floor, foot)

    def _edge_level(self, which: str, distance_m: float) -> float | None:
        edge = self._lines.bunker.bunker.outline(self._lines.bunker.sand.id)
        level = self._level_of(edge, distance_m)
        if level is None and edge.above_ground_m is None:
            level = self._surface_at(distance_m)
            if level is not None:
                self._assumed.append(
                    f"The {which} edge has no level of its own and lies on the ground there."
                )
        if level is None:
            self._lacks.append(
                f"The level of the {which} edge is not known: the sand edge has none and no ground levels reach there."
            )
        return level

    def _scalloped(self, edge_level: float, front_m: float) -> float:
        levels = [
            self._level_of(crossed.given, float(at))
            for crossed in self._crossed
            if crossed.outline.part == "scallop" and crossed.bunker is self._lines.bunker.bunker
            for at in crossed.at_m
            if abs(at - front_m) <= SCALLOP_REACH_M
        ]
        lowest = min((level for level in levels if level is not None), default=edge_level)
        if lowest < edge_level:
            self._assumed.append(
                "The front edge lies at the level of the scallop that the line runs through."
            )
        return min(lowest, edge_level)

    def _foot(self, front_m: float, far_m: float, floor: float | None) -> Place | None:
        found = [
            (float(at), crossed)
            for crossed in self._crossed
            if crossed.outline.part == "face foot" and crossed.bunker is self._lines.bunker.bunker
            for at in crossed.at_m
            if front_m < at <= far_m
        ]
        if not found:
            return None
        at, crossed = max(found, key=lambda item: item[0])
        level = self._level_of(crossed.given, at)
        if level is None and floor is not None:
            self._assumed.append("The foot of the face lies at the level of the floor.")
            level = floor
        return None if level is None else (at, level)

    def _tell_floor(self, floor: float | None, foot: Place | None) -> None:
        if floor is None:
            self._lacks.append("The level of the bunker's floor is not given.")
            end = "the far edge" if foot is None else "the foot of the face"
            self._assumed.append(f"The sand runs straight from the front edge to {end}.")
        else:
            self._assumed.append("The floor lies level.")
        if foot is None and floor is not None:
            self._assumed.append(
                "The far face stands upright at the far edge: no foot of a face crosses the line."
            )
        if foot is not None or floor is not None:
            self._assumed.append(FACE_MAY_BE_TURF)

    def _ground_runs(self, plate: float | None, front_m: float, pockets: tuple[Pocket, ...]) -> GroundRuns:
        end = self._start + front_m * self._forward
        distances, levels = self._lines.ground.profile(self._start, end)
        runs = GroundRuns.of_profile(distances * self._lines.ground_scale, levels)
        if pockets:
            runs = self._shaped(runs, pockets[0].front)
        for crossed in self._crossed:
            runs = self._with_outline(runs, crossed, front_m)
        if plate is not None:
            runs = runs.with_place((0.0, plate), "")
        if pockets:
            runs = runs.with_place(pockets[0].front, self._lines.bunker.bunker.id)
        return runs.joined(LONGEST_SIDE_M)

    def _shaped(self, runs: GroundRuns, front: Place) -> GroundRuns:
        surface = self._surface_at(front[0])
        if surface is None or abs(surface - front[1]) < 1e-9:
            return runs
        if abs(surface - front[1]) > STEP_TOLD_M:
            self._assumed.append(
                f"The ground, which lies {'above' if surface > front[1] else 'below'} the front edge there, is shaped "
                f"straight to the edge over its last {SHAPED_M:.0f} m."
            )
        return runs.straight_to(front, SHAPED_M)

    def _with_outline(self, runs: GroundRuns, crossed: _Crossed, front_m: float) -> GroundRuns:
        """Add what an outline tells of the ground before the sand."""
        at = [float(distance) for distance in crossed.at_m if distance < front_m]
        levels = [self._level_of(crossed.given, distance) for distance in at]
        places = [(distance, level) for distance, level in zip(at, levels, strict=True) if level is not None]
        if crossed.outline.part in ("mound foot", "sand edge") and crossed.outline.curve.closed:
            for begin, end in stretches(crossed.at_m):
                if end < front_m:
                    runs = self._with_feature(runs, crossed, begin, end)
        for place in places:
            runs = runs.with_place(place, crossed.bunker.id)
        return runs

    def _with_feature(self, runs: GroundRuns, crossed: _Crossed, begin: float, end: float) -> GroundRuns:
        """Take the spot levels within a mound or another bunker away: what is built there stands in their place."""
        ends = [(at, self._level_of(crossed.given, at)) for at in (begin, end)]
        tops = self._tops(crossed.bunker, begin, end) if crossed.outline.part == "mound foot" else [()]
        known = [(at, level) for at, level in ends if level is not None]
        if crossed.outline.part == "mound foot" and not tops:
            self._lacks.append(
                f"The height of the mound of {crossed.bunker.name} is not given where the line crosses it."
            )
            return runs.without(begin, end, known, "height of the mound not given")
        if len(known) < len(ends):
            return runs
        return runs.instead(known[0], [top for top in tops if top], known[1], crossed.bunker.id)

    def _tops(self, bunker: Bunker, begin: float, end: float) -> list[Place]:
        tops = [
            (float(at), self._level_of(crossed.given, float(at)))
            for crossed in self._crossed
            if crossed.bunker is bunker and crossed.outline.part == "mound top"
            for at in crossed.at_m
            if begin <= at <= end
        ]
        return [(at, level) for at, level in tops if level is not None]
