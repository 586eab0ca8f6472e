"""Units of length, each by its exact definition in metres.

International yard and foot: 1 yd = 0.9144 m, 1 ft = 0.3048 m (Federal Register, 1 July 1959).
US survey foot: 1200/3937 m (retired after 2022, but older state plane drawings are in it).
"""

from __future__ import annotations

from typing import Literal

METRES_PER_YARD = 0.9144
METRES_PER_FOOT = 0.3048
METRES_PER_US_SURVEY_FOOT = 1200 / 3937

YardageUnit = Literal["yard", "metre"]
GroundUnit = Literal["metre", "foot"]
CoordinateUnit = Literal["metre", "foot", "us-survey-foot", "grid"]
"""Unit of the course coordinates in a site folder; "grid" = the unit of the projected system itself."""

METRES_PER: dict[str, float] = {
    "metre": 1.0,
    "yard": METRES_PER_YARD,
    "foot": METRES_PER_FOOT,
    "us-survey-foot": METRES_PER_US_SURVEY_FOOT,
}
