"""Which system the coordinates of a drawing are in, guessed from their size, with the reason in words."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.formats.drawing import DrawnLine, DrawnSpot
from fieldapp.formats.drawing_found import clean
from fieldapp.geodesy.known_system import known_system

MOST_SPAN_DEG = 1.0
"""No drawing of a course spans more degrees than this, some 100 km."""


def system_of_numbers(lines: Sequence[DrawnLine], spots: Sequence[DrawnSpot]) -> tuple[str | None, str]:
    """Return "lonlat" or None, and why."""
    places = [(point.x, point.y) for line in lines for point in line.points]
    places += [(spot.x, spot.y) for spot in spots]
    if not places:
        return None, ""
    xs, ys = [place[0] for place in places], [place[1] for place in places]
    low_x, high_x, low_y, high_y = min(xs), max(xs), min(ys), max(ys)
    told = f"x from {low_x:.6g} to {high_x:.6g}, y from {low_y:.6g} to {high_y:.6g}"
    if max(abs(low_x), abs(high_x)) > 180 or max(abs(low_y), abs(high_y)) > 90:
        return None, f"The coordinates ({told}) are no degrees; they are metres or feet of some grid."
    if high_x - low_x > MOST_SPAN_DEG or high_y - low_y > MOST_SPAN_DEG:
        return (
            None,
            f"The coordinates ({told}) span too much for degrees; they look like metres or feet.",
        )
    return "lonlat", f"The coordinates ({told}) can be longitude and latitude and span less than a degree."


def named_system(text: str, who: str) -> tuple[str | None, float | None, str]:
    """Return the system that a text names, metres per unit, and why; `who` begins the reason."""
    known = known_system(text)
    if known is None:
        return None, None, f"{who} as '{clean(text)}', which is not known here."
    if known.is_lonlat:
        return "lonlat", None, f"{who}: {clean(known.name)}, in longitude and latitude."
    told = f"{who}: {clean(known.name)}{f' ({known.code})' if known.code else ', which is in no list known here'}."
    return (f"projected {known.code}" if known.code else None), known.metres_per_unit, told
