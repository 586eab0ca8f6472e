"""A site as designed: tees, holes, pegs and bunkers, in course coordinates (metres, x east-ish, y north-ish).

Everything here is frozen. Lengths are ground metres, levels are metres above the site's own datum.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeVar

from fieldapp.errors import NotFoundError
from fieldapp.model.grid import GridDefinition
from fieldapp.model.keep_clear import KeepClear
from fieldapp.model.units import METRES_PER_YARD, CoordinateUnit, GroundUnit, YardageUnit

T = TypeVar("T")
PartName = Literal["sand edge", "face foot", "mound foot", "mound top", "swale", "scallop", "transplant area"]
PART_NAMES: tuple[str, ...] = (
    "sand edge", "face foot", "mound foot", "mound top", "swale", "scallop", "transplant area",
)  # fmt: skip
PegKind = Literal["control", "reference", "paint"]
Role = Literal["plain", "corner", "through"]


@dataclass(frozen=True)
class Tee:
    """A tee plate: the permanent mark that yardages of its hole start from.

    `within_m` is the 95 % radius within which its place is known; None takes it as exact.
    """

    id: str
    hole: int
    name: str
    x: float
    y: float
    level_m: float | None = None
    within_m: float | None = None


@dataclass(frozen=True)
class Hole:
    """A hole: its number, the centre of its green and the turning points of its line of play, in order of play.

    `fairway` are the corners of its fairway's edge in order, joined by straight lines; empty where it is not given.
    """

    number: int
    name: str
    green_x: float
    green_y: float
    turning_points: tuple[tuple[float, float], ...] = ()
    green_level_m: float | None = None
    fairway: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class GnssPosition:
    """A position on the earth, degrees; height in metres above the ellipsoid where known."""

    lat_deg: float
    lon_deg: float
    height_m: float | None = None


@dataclass(frozen=True)
class Peg:
    """A physical mark in the ground.

    `within_m` is the 95 % radius within which its place is known among its neighbours; None takes it as exact.
    """

    id: str
    kind: PegKind
    x: float
    y: float
    level_m: float | None = None
    position: GnssPosition | None = None
    note: str = ""
    within_m: float | None = None


@dataclass(frozen=True)
class ControlPoint:
    """A point that an outline is drawn through.

    role "corner" breaks a smooth curve here; "through" makes a circular arc from the point before, through this one,
    to the point after.
    """

    x: float
    y: float
    role: Role = "plain"


@dataclass(frozen=True)
class DrawnShape:
    """A line through control points, straight (with arcs) or smooth, closed or open."""

    points: tuple[ControlPoint, ...]
    curve: Literal["straight", "smooth"] = "smooth"
    closed: bool = True


@dataclass(frozen=True)
class Ellipse:
    """An ellipse: length along the bunker's long axis, width square to it, metres."""

    length_m: float
    width_m: float


@dataclass(frozen=True)
class Kidney:
    """A kidney: an ellipse whose right-hand side (looking along its long axis) is pressed in by `waist_m` metres."""

    length_m: float
    width_m: float
    waist_m: float


Shape = DrawnShape | Ellipse | Kidney


@dataclass(frozen=True)
class Outline:
    """A curve on the ground and what it is. `id` is its own within the bunker.

    It has one level all along, or stands `above_ground_m` above the ground surface (below it where less than 0); of the
    two at most one is given.
    """

    id: str
    part: PartName
    shape: Shape
    level_m: float | None = None
    above_ground_m: float | None = None


@dataclass(frozen=True)
class Placement:
    """Where a bunker's own centre lies, by play.

    `along_m` and `offset_m` (right positive) are measured from `tee` on that tee's line of play; `skew_deg` turns the
    long axis clockwise from the direction of play there: 0 runs along play, 90 lies square across it.
    """

    tee: str
    along_m: float
    offset_m: float
    skew_deg: float = 0.0


@dataclass(frozen=True)
class Plan:
    """What the bunker is meant to measure from a tee, ground metres; any of the figures may be missing.

    reach: to the near edge; carry: to clear the far edge; along and offset: of the bunker's middle on the line of play.
    """

    tee: str
    reach_m: float | None = None
    carry_m: float | None = None
    along_m: float | None = None
    offset_m: float | None = None
    tolerance_m: float = METRES_PER_YARD


@dataclass(frozen=True)
class Bunker:
    """A bunker in one revision.

    Without `place`, its drawn shapes are in course coordinates. With it, every shape is about the bunker's own centre:
    x along the long axis, y to the right of it, ground metres.
    """

    id: str
    hole: int
    name: str
    revision: str
    outlines: tuple[Outline, ...]
    place: Placement | None = None
    plan: Plan | None = None
    note: str = ""
    floor_level_m: float | None = None
    """Level of the sand on its floor, which lies level."""

    def outline(self, outline_id: str) -> Outline:
        """Return one outline; raises NotFoundError."""
        return _one(self.outlines, "id", outline_id, f"outline of bunker '{self.id}'")

    def called(self, outline: Outline) -> str:
        """Name an outline by its part, and by its id too where the bunker has more of that part."""
        return self.called_as(outline.id, outline.part)

    def called_as(self, outline_id: str, part: str) -> str:
        """Name an outline that a record tells of, alike; by its id too where this bunker has it no more."""
        alike = [one.id for one in self.outlines if one.part == part]
        return part if alike == [outline_id] else f"{part} '{outline_id}'"


@dataclass(frozen=True)
class SpotLevel:
    """A ground level at a point."""

    x: float
    y: float
    level_m: float


@dataclass(frozen=True)
class Units:
    """The units people of this site work in; the program itself works in metres."""

    yardage: YardageUnit = "yard"
    ground: GroundUnit = "metre"
    coordinates: CoordinateUnit = "metre"


@dataclass(frozen=True)
class SetOutRules:
    """How closely paint points follow an outline, how close to one is on the mark, and the tape. Ground metres.

    `tape_length_m` is how far the crew's tape reaches, `tape_error_m` one sigma of a distance taped with it: choices,
    common practice, no source.
    """

    tolerance_m: float = 0.10
    spacing_m: float = 1.0
    sagitta_m: float = 0.02
    tape_length_m: float = 30.0
    tape_error_m: float = 0.010


@dataclass(frozen=True)
class Site:
    """One course or part of it."""

    id: str
    name: str
    grid: GridDefinition
    tees: tuple[Tee, ...] = ()
    holes: tuple[Hole, ...] = ()
    pegs: tuple[Peg, ...] = ()
    bunkers: tuple[Bunker, ...] = ()
    spot_levels: tuple[SpotLevel, ...] = ()
    units: Units = field(default_factory=Units)
    rules: SetOutRules = field(default_factory=SetOutRules)
    note: str = ""
    keep_clear: tuple[KeepClear, ...] = ()

    def tee(self, tee_id: str) -> Tee:
        """Return one tee; raises NotFoundError naming the tees there are."""
        return _one(self.tees, "id", tee_id, f"tee of site '{self.id}'")

    def hole(self, number: int) -> Hole:
        """Return one hole; raises NotFoundError naming the holes there are."""
        return _one(self.holes, "number", number, f"hole of site '{self.id}'")

    def bunker(self, bunker_id: str) -> Bunker:
        """Return one bunker; raises NotFoundError naming the bunkers there are."""
        return _one(self.bunkers, "id", bunker_id, f"bunker of site '{self.id}'")

    def tees_of(self, hole_number: int) -> tuple[Tee, ...]:
        """Return the tees of a hole in the order of the site file; the first is the hole's first tee."""
        return tuple(tee for tee in self.tees if tee.hole == hole_number)


def _one(things: tuple[T, ...], key: str, wanted: object, kind: str) -> T:
    for thing in things:
        if getattr(thing, key) == wanted:
            return thing
    known = ", ".join(str(getattr(thing, key)) for thing in things) or "none"
    raise NotFoundError(f"There is no {kind} called '{wanted}'; there are: {known}.")
