"""Yardages in figures and words, in a site's yardage unit, one decimal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldapp.model.units import METRES_PER, YardageUnit
from fieldapp.play.carry import Shot

SIGNS = {"yard": "yd", "metre": "m"}
DASH = "–"
MINUS = "\u2212"
UNBROKEN = "\u00a0"
"""Between a figure and its unit: a space at which no line breaks."""


@dataclass(frozen=True)
class YardageWords:
    """Writes ground metres in the yardage unit. Headings name the unit once, so figures come without it."""

    unit: YardageUnit

    @property
    def sign(self) -> str:
        """The unit as it is written after a figure."""
        return SIGNS[self.unit]

    def figure(self, length_m: float | None) -> str:
        """Write a length, or a dash where there is none."""
        return DASH if length_m is None else self._rounded(abs(length_m))

    def with_unit(self, length_m: float) -> str:
        """Write a length with its unit."""
        return f"{self.figure(length_m)}{UNBROKEN}{self.sign}"

    def whole(self, length_m: float) -> str:
        """Write a length to the whole unit."""
        return f"{length_m / METRES_PER[self.unit]:.0f}"

    def short(self, length_m: float) -> str:
        """Write a length that somebody typed: without a decimal where it needs none."""
        return f"{round(length_m / METRES_PER[self.unit], 2):g}"

    def short_with_unit(self, length_m: float) -> str:
        """Write a length that somebody typed, with its unit."""
        return f"{self.short(length_m)}{UNBROKEN}{self.sign}"

    def change(self, change_m: float | None) -> str:
        """Write a difference with its sign; none before 0.0."""
        if change_m is None:
            return DASH
        text = self._rounded(abs(change_m))
        if float(text) == 0.0:
            return text
        return f"{'+' if change_m > 0 else MINUS}{text}"

    def side(self, offset_m: float) -> str:
        """Write an offset with the side it lies on; none beside 0.0."""
        text = self._rounded(abs(offset_m))
        if float(text) == 0.0:
            return text
        return f"{text} {'right' if offset_m > 0 else 'left'}"

    def to_the(self, aside_m: float) -> str:
        """Write how far aside something lies, the side first, so that figures of either side stand in line."""
        text = self._rounded(abs(aside_m))
        return text if float(text) == 0.0 else f"{'right' if aside_m > 0 else 'left'} {text}"

    def between(self, from_m: float, to_m: float) -> str:
        """Write a stretch by its two ends."""
        return f"{self._rounded(from_m)}{DASH}{self._rounded(to_m)}"

    def sand_on(self, shot: Shot | None, allowance_m: float = 0.0) -> str:
        """Write where a shot crosses sand, or how far beside it the sand lies."""
        if shot is None:
            return DASH
        if shot.reach_m is None or shot.carry_m is None:
            return f"{self.figure(shot.passes_m)} beside"
        return self.between(shot.reach_m, shot.carry_m + allowance_m)

    def _rounded(self, length_m: float) -> str:
        return f"{length_m / METRES_PER[self.unit]:.1f}"


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does: "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def degrees_aside(angle_deg: float) -> str:
    """Write an aim's angle off the middle, the side first."""
    text = f"{abs(angle_deg):.1f}°"
    return text if text == "0.0°" else f"{'right' if angle_deg > 0 else 'left'} {text}"
