"""Yardages in figures and words, in a site's yardage unit, one decimal."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.formats.lengths import SUFFIX_OF
from fieldapp.formats.sentences import listed as listed
from fieldapp.model.units import METRES_PER, YardageUnit
from fieldapp.play.carry import Shot

SIGNS = SUFFIX_OF
"""A unit as it is written after a figure on every page: as it may be typed behind one."""
DASH = "–"
BEHIND = "behind the tee"
"""In the place of a reach and a carry where no sand lies ahead of the plate."""
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
        """Write a length, with a minus where it is one backward, or a dash where there is none."""
        if length_m is None:
            return DASH
        text = self._rounded(length_m)
        return f"{MINUS}{text}" if self._is_backward(length_m) else text

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
        text = self._rounded(change_m)
        if float(text) == 0.0:
            return text
        return f"{'+' if change_m > 0 else MINUS}{text}"

    def side(self, offset_m: float) -> str:
        """Write an offset with the side it lies on; none beside 0.0."""
        text = self._rounded(offset_m)
        if float(text) == 0.0:
            return text
        return f"{text} {'right' if offset_m > 0 else 'left'}"

    def side_with_unit(self, offset_m: float) -> str:
        """Write an offset with its unit and the side it lies on."""
        figure, space, side = self.side(offset_m).partition(" ")
        return f"{figure}{UNBROKEN}{self.sign}{space}{side}"

    def to_the(self, aside_m: float) -> str:
        """Write how far aside something lies, the side first, so that figures of either side stand in line."""
        text = self._rounded(aside_m)
        return text if float(text) == 0.0 else f"{'right' if aside_m > 0 else 'left'} {text}"

    def between(self, from_m: float, to_m: float) -> str:
        """Write a stretch by its two ends; where it begins behind the tee a dash would be read as its minus."""
        joint = " to " if self._is_backward(from_m) else DASH
        return f"{self.figure(from_m)}{joint}{self.figure(to_m)}"

    def sand_on(self, shot: Shot | None) -> tuple[str, ...]:
        """Write every stretch of sand that a shot crosses; one that meets none, how far beside it goes."""
        if shot is None or not shot.stretches_m:
            return (self.beside(shot),)
        return tuple(self.between(begin_m, end_m) for begin_m, end_m in shot.stretches_m)

    def beside(self, shot: Shot | None) -> str:
        """Write how far on which side of the sand a shot passes that misses it."""
        if shot is None or shot.passes_m is None:
            return DASH
        side = "left of" if shot.passes_m > 0 else "right of"
        beside = "beside" if float(self._rounded(shot.passes_m)) == 0.0 else side
        return f"passes {self.with_unit(abs(shot.passes_m))} {beside} the sand"

    def _rounded(self, length_m: float) -> str:
        """Write a length without its sign."""
        return f"{abs(length_m) / METRES_PER[self.unit]:.1f}"

    def _is_backward(self, length_m: float) -> bool:
        """Whether a length is written with a minus."""
        return length_m < 0 and float(self._rounded(length_m)) != 0.0


def degrees_aside(angle_deg: float) -> str:
    """Write an aim's angle off the middle, the side first."""
    text = f"{abs(angle_deg):.1f}°"
    return text if text == "0.0°" else f"{'right' if angle_deg > 0 else 'left'} {text}"
