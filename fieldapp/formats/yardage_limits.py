"""How long the lengths may be that a person asks a yardage table for, the same on pages and on the command line."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.model.units import METRES_PER, YardageUnit


@dataclass(frozen=True)
class Limits:
    """The least and the most that a length may be, in the site's yardage unit."""

    least: int
    most: int

    def in_metres(self, unit: YardageUnit) -> tuple[float, float]:
        """Return both in metres."""
        return self.least * METRES_PER[unit], self.most * METRES_PER[unit]


AIM_ALONG = Limits(1, 1000)
AIM_ASIDE = Limits(0, 300)
"""To either side."""
ALLOWANCE = Limits(0, 100)
