"""What is found while a drawing is read, kept within the limits."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal, get_args

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingKind, DrawingLimits, DrawnLine, DrawnSpot
from fieldapp.model import ControlPoint
from fieldapp.model.site import Role

LARGEST = 1e10
"""Coordinates beyond this are taken for a broken file."""
LONGEST_NAME = 120
MOST_NOTES = 20_000
ROLES: tuple[str, ...] = get_args(Role)
NOT_A_PLACE = "points whose coordinates are no sound numbers"


class Found:
    """Lines and spots in the order of the file; what is left out is counted by what it is."""

    def __init__(self, kind: DrawingKind, limits: DrawingLimits) -> None:
        self._kind: DrawingKind = kind
        self._limits = limits
        self._points = 0
        self.lines: list[DrawnLine] = []
        self.spots: list[DrawnSpot] = []
        self.reasons: list[str] = []
        self.remarks: list[str] = []
        self.notes = ""
        self._left_out: Counter[str] = Counter()

    def note(self, text: str) -> None:
        """Keep a text of the drawing for what it says of the drawing itself."""
        if len(self.notes) < MOST_NOTES:
            self.notes += text[:LONGEST_NAME] + "\n"

    def leave_out(self, what: str, count: int = 1) -> None:
        """Count what is not brought in."""
        self._left_out[clean(what) or "things without a kind"] += count

    def add_line(
        self,
        layer: str,
        name: str,
        points: Iterable[ControlPoint],
        closed: bool,
        curve: Literal["straight", "smooth"] = "straight",
    ) -> None:
        """Add a line; places given twice in a row count once. One of fewer than two places is left out.

        Raises FormatError for more points or lines than the limits.
        """
        kept = self._sound(points)
        closed = closed or (len(kept) > 2 and _same(kept[0], kept[-1]))
        if closed and len(kept) > 1 and _same(kept[0], kept[-1]):
            kept.pop()
        if len(kept) < (3 if closed else 2):
            self.leave_out("lines with fewer than two places")
            return
        self.lines.append(DrawnLine(clean(layer), clean(name), _with_sound_arcs(kept, closed), curve, closed))
        self._check_count()

    def add_spot(self, layer: str, name: str, x: float, y: float) -> None:
        """Add a spot; raises FormatError for more than the limits."""
        self.count_points(1)
        if not is_sound(x, y):
            self.leave_out(NOT_A_PLACE)
            return
        self.spots.append(DrawnSpot(clean(layer), clean(name), float(x), float(y)))
        self._check_count()

    def count_points(self, count: int) -> None:
        """Count points that are read; raises FormatError for more than the limits."""
        self._points += count
        if self._points > self._limits.most_points:
            raise FormatError(
                f"It has more than {self._limits.most_points:,} points; keep only the layers that are needed."
            )

    def drawing(self, unit_m: float | None, system: str | None) -> Drawing:
        """Return all that was found; raises FormatError where that is nothing."""
        counted = [f"{count} {what}" for what, count in sorted(self._left_out.items())[:30]]
        if not self.lines and not self.spots:
            what = f" (left out: {', '.join(counted)})" if counted else ""
            raise FormatError(f"No line and no point is in it{what}; check that it is the right file.")
        remarks = [*self.remarks, *([f"Left out: {', '.join(counted)}."] if counted else [])]
        lines, spots = tuple(self.lines), tuple(self.spots)
        return Drawing(self._kind, lines, spots, unit_m, system, tuple(self.reasons), tuple(remarks))

    def _sound(self, points: Iterable[ControlPoint]) -> list[ControlPoint]:
        kept: list[ControlPoint] = []
        for point in points:
            self.count_points(1)
            if not is_sound(point.x, point.y):
                self.leave_out(NOT_A_PLACE)
            elif not kept or not _same(point, kept[-1]):
                kept.append(point)
            elif point.role != "through":
                kept[-1] = point
        return kept

    def _check_count(self) -> None:
        if len(self.lines) + len(self.spots) > self._limits.most_lines:
            raise FormatError(
                f"It has more than {self._limits.most_lines:,} lines and spots; keep only the layers that are needed."
            )


def is_sound(x: float, y: float) -> bool:
    """Tell whether two numbers can be a place."""
    return math.isfinite(x) and math.isfinite(y) and max(abs(x), abs(y)) <= LARGEST


def clean(text: object) -> str:
    """Return a name as it can be shown and stored: printable, not too long, empty for what is no text or number."""
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        return ""
    shown = "".join(letter if letter.isprintable() else " " for letter in str(text)[: 4 * LONGEST_NAME])
    return " ".join(shown.split())[:LONGEST_NAME]


def plain(places: Iterable[Sequence[float]]) -> list[ControlPoint]:
    """Return places as plain points."""
    return [ControlPoint(float(place[0]), float(place[1])) for place in places]


def _same(one: ControlPoint, other: ControlPoint) -> bool:
    return one.x == other.x and one.y == other.y


def _with_sound_arcs(points: list[ControlPoint], closed: bool) -> tuple[ControlPoint, ...]:
    """Return points where every 'through' has a point that is none on both its sides; others become plain."""
    sound: list[ControlPoint] = []
    for index, point in enumerate(points):
        at_end = not closed and index in (0, len(points) - 1)
        follows = bool(sound) and sound[-1].role == "through"
        meets_first = index == len(points) - 1 and closed and sound and sound[0].role == "through"
        if point.role == "through" and (at_end or follows or meets_first):
            point = replace(point, role="plain")
        sound.append(point)
    return tuple(sound)
