"""What is read on a tape, as the desk's pages say it, in the site's unit for the ground."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.formats.lengths import SUFFIX_OF
from fieldapp.model.units import METRES_PER, METRES_PER_FOOT, GroundUnit
from fieldapp.tape.ties import PointTies

INCHES_PER_FOOT = 12
WHY = {
    "no peg in reach": "no peg in reach of the tape",
    "one peg in reach": "only one peg in reach of the tape",
    "pegs in line": "the pegs in reach stand in line with it",
}


@dataclass(frozen=True)
class TapeWords:
    """Lengths in metres or feet: tape distances to 0.01, errors in millimetres or inches."""

    unit: GroundUnit

    @property
    def sign(self) -> str:
        """What stands behind a length."""
        return SUFFIX_OF[self.unit]

    def figure(self, length_m: float) -> str:
        """Return a taped length without its unit, to 0.01."""
        return f"{length_m / METRES_PER[self.unit] + 0.0:.2f}"

    def with_unit(self, length_m: float) -> str:
        """Return a taped length with its unit."""
        return f"{self.figure(length_m)} {self.sign}"

    def rough(self, length_m: float) -> str:
        """Return a length to 0.1 with its unit."""
        return f"{self.typed(length_m)} {self.sign}"

    def typed(self, length_m: float) -> str:
        """Return a length to 0.1 as it stands in a field."""
        tenths = round(length_m / METRES_PER[self.unit] * 10)
        return f"{tenths / 10:.1f}"

    def error(self, length_m: float) -> str:
        """Return an expected error with its unit: whole millimetres, or inches to 0.1."""
        if self.unit == "foot":
            return f"{length_m / METRES_PER_FOOT * INCHES_PER_FOOT:.1f} in"
        return f"{length_m * 1000:.0f} mm"

    def offset(self, offset_m: float) -> str:
        """Return a square offset with its side in words; on the line it has none."""
        figure = self.figure(abs(offset_m))
        return figure if float(figure) == 0.0 else f"{figure} {'right' if offset_m > 0 else 'left'}"


def why_words(ties: PointTies) -> str:
    """Say why a point has no ties; "" where it has."""
    return WHY.get(ties.why, "")
