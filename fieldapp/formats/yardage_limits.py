"""How long the lengths may be that a person asks for, the same on pages and on the command line."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model.units import METRES_PER, GroundUnit, YardageUnit


@dataclass(frozen=True)
class Limits:
    """The least and the most that a length may be, in a unit of the site."""

    least: float
    most: float

    def in_metres(self, unit: YardageUnit | GroundUnit) -> tuple[float, float]:
        """Return both in metres."""
        return self.least * METRES_PER[unit], self.most * METRES_PER[unit]


AIM_ALONG = Limits(1, 1000)
AIM_ASIDE = Limits(0, 300)
"""To either side."""
ALLOWANCE = Limits(0, 100)
