"""The shaper's answer: how much a front edge must come down, and over what width, for the sand behind it to show.

All by similar triangles on straight lines of sight from the eye, levels taken less the curvature drop.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.play.ground import FloatArray
from fieldapp.play.ground_before import SHAPED_M
from fieldapp.play.section import REFRACTION, Place, Section, curvature_drop_m

USUAL_SHOW_M = 0.30
TOO_HIGH_M = 0.001
"""Ground that stands in the way by less than a millimetre does not."""


@dataclass(frozen=True)
class LineNeed:
    """What one line needs for `show_m` of its far face to show.

    `front` is the front edge; `across_m` how far right of the line to the bunker's middle it lies, square to that line,
    ground metres. `over_m` is how far the edge stands above the line of sight to the target, less than 0 below it.
    `in_the_way` is the ground before the edge that stands highest above that line, and by how much; None where there is
    none, as far as the ground is known, which `all_known` says it is all the way. `raise_m` is how much the far face
    must rise, at its place, for as much of it to show over all that hides it.
    """

    across_m: float
    front: Place
    show_m: float
    over_m: float
    raise_m: float
    in_the_way: tuple[Place, float] | None
    all_known: bool = True

    @property
    def lower_m(self) -> float:
        """How much the front edge must come down; 0 where as much shows already, as far as the edge goes."""
        return max(0.0, self.over_m)

    @property
    def distance_m(self) -> float:
        """How far away the front edge is."""
        return self.front[0]

    @property
    def level_m(self) -> float:
        """The level of the front edge."""
        return self.front[1]

    @property
    def in_the_way_m(self) -> float:
        """By how much ground before the edge stands too high; 0 where none does."""
        return self.in_the_way[1] if self.in_the_way else 0.0


@dataclass(frozen=True)
class EdgeStep:
    """The front edge at one place across: `across_m` right of the line to the middle, its distance and level as it is.

    `lower_m` is how much it must come down, `in_the_way_m` by how much ground before it stands too high as well, as far
    as the ground is known; `all_known` says that it is, all the way from the plate.
    """

    across_m: float
    distance_m: float
    level_m: float
    lower_m: float
    in_the_way_m: float
    all_known: bool


@dataclass(frozen=True)
class Lowering:
    """What a bunker needs along its whole front edge, from the left end to the right one.

    `middle` is on the line to the bunker's middle.
    """

    middle: LineNeed
    lines: tuple[LineNeed, ...]

    @property
    def most_lowered(self) -> LineNeed:
        """The line on which the edge must come down most."""
        return max((self.middle, *self.lines), key=lambda line: line.lower_m)

    @property
    def most_raised(self) -> LineNeed:
        """The line on which the far face must rise most."""
        return max((self.middle, *self.lines), key=lambda line: line.raise_m)

    @property
    def width_m(self) -> float:
        """How much of the edge must come down, square to the line to the middle, its ends to a sixtieth of its width.

        Between two lines `over_m` is taken to change evenly, so it passes 0 at one place.
        """
        across, over = self._across("across_m", "over_m")
        low, high = np.minimum(over[:-1], over[1:]), np.maximum(over[:-1], over[1:])
        above = np.clip(high, 0.0, None) - np.clip(low, 0.0, None)
        share = np.where(low > 0, 1.0, above / np.maximum(high - low, 1e-12))
        return float(np.sum(np.diff(across) * share))

    def at_steps(self, step_m: float) -> tuple[EdgeStep, ...]:
        """Return the edge at even steps from the middle, straight between the lines."""
        across, *figures = self._across(
            "across_m", "distance_m", "level_m", "over_m", "in_the_way_m", "all_known"
        )
        steps = np.arange(math.ceil(across[0] / step_m), math.floor(across[-1] / step_m) + 1) * step_m
        rows = np.stack([steps, *(np.interp(steps, across, figure) for figure in figures)], axis=1)
        return tuple(
            EdgeStep(at, away, level, max(over, 0.0), way, known == 1.0)
            for at, away, level, over, way, known in rows.tolist()
        )

    def _across(self, *names: str) -> FloatArray:
        """Return figures of the lines, `(len(names), N)`, from left to right."""
        lines = sorted(self.lines, key=lambda line: line.across_m)
        return np.array([[getattr(line, name) for line in lines] for name in names])


def lowering(
    middle: Section, fan: Sequence[Section], off_deg: FloatArray, eye_m: float, show_m: float
) -> Lowering | None:
    """Return what a bunker needs for the upper `show_m` of its far face to show.

    `fan` are sections across the bunker, `off_deg` `(N,)` how far right of the middle's line each runs. None where the
    height of the eye, the edges or the height of the far face are not known on the line to the middle; other such lines
    are left out.
    """
    of_middle = line_need(middle, 0.0, eye_m, show_m)
    if of_middle is None:
        return None
    needs = [line_need(section, float(off), eye_m, show_m) for section, off in zip(fan, off_deg, strict=True)]
    return Lowering(of_middle, tuple(need for need in needs if need is not None) or (of_middle,))


def line_need(
    section: Section, off_deg: float, eye_m: float, show_m: float, refraction: float = REFRACTION
) -> LineNeed | None:
    """Return what one line needs. The first stretch of sand on it is looked at, down to its foot at the most."""
    face = section.pockets[0].face if section.pockets else None
    if section.plate_level_m is None or face is None or face[1][1] <= face[0][1]:
        return None
    eye = section.plate_level_m + eye_m
    foot, top = face
    shown = min(show_m, top[1] - foot[1])
    share = shown / (top[1] - foot[1])
    target = _lowered((top[0] - share * (top[0] - foot[0]), top[1] - shown), refraction)
    tangent = (target[1] - eye) / target[0]
    front = section.pockets[0].front
    return LineNeed(
        across_m=front[0] * math.sin(math.radians(off_deg)),
        front=front,
        show_m=shown,
        over_m=_over(_lowered(front, refraction), eye, tangent),
        raise_m=_rise(section, eye, _lowered(foot, refraction), _lowered(top, refraction), shown, refraction),
        in_the_way=_in_the_way(section, eye, tangent, refraction),
        all_known=not section.unknown,
    )


def _lowered(place: Place, refraction: float) -> Place:
    return place[0], place[1] - float(curvature_drop_m(place[0], refraction))


def _over(place: Place, eye_level: float, tangent: float) -> float:
    """How far a place stands above a line of sight."""
    return place[1] - (eye_level + tangent * place[0])


def _before_edge(section: Section) -> list[Place]:
    """Return the places of known ground before the front edge but those that are shaped together with it."""
    last = section.pockets[0].front[0] - SHAPED_M + 1e-6
    return [(float(at), float(level)) for run in section.ground for at, level in run.places if 0 < at <= last]


def _in_the_way(
    section: Section, eye: float, tangent: float, refraction: float
) -> tuple[Place, float] | None:
    over = [(place, _over(_lowered(place, refraction), eye, tangent)) for place in _before_edge(section)]
    worst = max(over, key=lambda item: item[1], default=None)
    return worst if worst is not None and worst[1] > TOO_HIGH_M else None


def _rise(section: Section, eye: float, foot: Place, top: Place, shown: float, refraction: float) -> float:
    """Return how much the top of the face must rise for its upper `shown` metres to show; its foot stays.

    The target slides up the new face: with h its new height, w its depth and t the tangent of the horizon, foot + h -
    shown = eye + t (top's distance - w shown / h), a quadratic in h.
    """
    places = [(float(at), float(level)) for run in section.ground for at, level in run.places if at > 0]
    ahead = [*places, section.pockets[0].front]
    tangent = max((_lowered(place, refraction)[1] - eye) / place[0] for place in ahead)
    now, width = top[1] - foot[1], top[0] - foot[0]
    if _over((top[0] - width * shown / now, top[1] - shown), eye, tangent) >= 0:
        return 0.0
    linear = foot[1] - shown - eye - tangent * top[0]
    return (-linear + math.sqrt(linear * linear - 4.0 * tangent * width * shown)) / 2.0 - now
