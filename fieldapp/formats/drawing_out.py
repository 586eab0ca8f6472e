"""A drawing to be taken out: a bunker's outlines and what lies near them, ready for a file of any kind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldapp.formats.drawing_columns import COURSE_WORDS
from fieldapp.model import DrawnShape

FloatArray = NDArray[np.float64]
Coordinates = Literal["course", "lonlat"]
DECIMALS: dict[Coordinates, int] = {"course": 6, "lonlat": 10}
"""A thousandth of a millimetre of course metres; about a hundredth of a millimetre of degrees."""


@dataclass(frozen=True, eq=False)
class LineOut:
    """A line in the coordinates of the file: by the points it is drawn through, and by a fine trace `(M, 2)` of it.

    A closed trace runs clockwise and ends where it begins. `words` says what else is to be known of it.
    """

    layer: str
    name: str
    shape: DrawnShape
    trace: FloatArray
    words: str = ""


@dataclass(frozen=True)
class SpotOut:
    """A place in the coordinates of the file."""

    layer: str
    name: str
    x: float
    y: float
    words: str = ""


@dataclass(frozen=True)
class DrawingOut:
    """All that goes into a file. `facts` are names with values, `notes` are sentences a reader must see.

    `system` is the system's own text for a .prj file, empty where it has none.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    coordinates: Coordinates
    lines: tuple[LineOut, ...]
    spots: tuple[SpotOut, ...]
    system: str = ""

    @property
    def told(self) -> tuple[str, ...]:
        """Facts and notes, a line each."""
        return (*(f"{name}: {value}" for name, value in self.facts), *self.notes)

    def written(self, number: float) -> str:
        """Return a coordinate in figures, without an exponent."""
        return f"{number:.{DECIMALS[self.coordinates]}f}"

    def rounded(self, number: float) -> float:
        """Return a coordinate rounded to as many decimals."""
        return round(float(number), DECIMALS[self.coordinates])


def course_system_words(grid_words: str) -> str:
    """Return how a file says that its coordinates are of the course grid, so that it is read so again."""
    return f"{COURSE_WORDS}, x then y; {grid_words}"
