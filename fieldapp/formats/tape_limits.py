"""How long the lengths may be that a person types about pegs and tapes: metres, whatever the unit of the site."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.formats.yardage_limits import Limits
from fieldapp.model.units import GroundUnit, YardageUnit


@dataclass(frozen=True)
class GroundLimits(Limits):
    """The least and the most, in metres."""

    def in_metres(self, unit: YardageUnit | GroundUnit) -> tuple[float, float]:  # noqa: ARG002
        """Return both; they are metres already."""
        return self.least, self.most


TAPE_LENGTH = GroundLimits(5.0, 100.0)
EVERY = GroundLimits(0.1, 50.0)
MARGIN = GroundLimits(0.0, 30.0)
PEG_AWAY = GroundLimits(-150.0, 150.0)
"""How far along play or aside of it a planned peg may lie from the middle of its bunker."""
