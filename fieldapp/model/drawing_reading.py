"""How the numbers of a drawing are read: its unit, the order of its axes, its system."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

AxisOrder = Literal["xy", "yx"]
AXIS_ORDERS: tuple[str, ...] = ("xy", "yx")
COURSE, LONLAT, BY_PEGS = "course", "lonlat", "pegs"
UNKNOWN_UNIT = "unknown"
METRES_PER_DRAWING_UNIT: dict[str, float] = {
    "metre": 1.0,
    "foot": 0.3048,
    "us-survey-foot": 1200 / 3937,
    "yard": 0.9144,
    "centimetre": 0.01,
    "millimetre": 0.001,
    "inch": 0.0254,
    "kilometre": 1000.0,
}
SAME_UNIT = 1e-9
DRAWING_UNITS: tuple[str, ...] = (*METRES_PER_DRAWING_UNIT, UNKNOWN_UNIT)


@dataclass(frozen=True)
class Tie:
    """A place in the drawing, in its own numbers, and the peg or tee plate that it is."""

    x: float
    y: float
    mark: str


@dataclass(frozen=True)
class DrawingReading:
    """How a drawing is read.

    `system` is "course", "lonlat" (degrees), "EPSG:n", or "pegs" for one that the `ties` fit to the course. `unit` is
    one of DRAWING_UNITS; "unknown" is for a fit by pegs, which then finds it. `order` "yx" has the northing first, or
    the latitude.
    """

    system: str = COURSE
    unit: str = "metre"
    order: AxisOrder = "xy"
    ties: tuple[Tie, ...] = ()

    @property
    def unit_m(self) -> float | None:
        """Metres per unit; None where it is unknown."""
        return METRES_PER_DRAWING_UNIT.get(self.unit)


def unit_named(unit_m: float | None) -> str | None:
    """Return the name of a unit of so many metres; None where it is none of DRAWING_UNITS."""
    if unit_m is None:
        return None
    near = (name for name, metres in METRES_PER_DRAWING_UNIT.items() if abs(metres / unit_m - 1) < SAME_UNIT)
    return next(near, None)
