"""Sheets of paper to print on, and what of them is left free."""

from __future__ import annotations

from dataclasses import dataclass

PX_PER_MM = 96 / 25.4
"""CSS pixels, which are 1/96 inch, in a millimetre."""
MARGIN_MM = 10.0
SLACK_MM = 1.0
"""Left free at the foot of the page, so that a rounding up never starts another."""


@dataclass(frozen=True)
class Paper:
    """A sheet of paper: `name` is that of its style sheet."""

    name: str
    words: str
    width_mm: float
    height_mm: float

    @property
    def on_its_side(self) -> Paper:
        """The same sheet with its long side across."""
        return Paper(f"{self.name}-landscape", f"{self.words} landscape", self.height_mm, self.width_mm)

    @property
    def room_mm(self) -> tuple[float, float]:
        """The width and the height between the margins."""
        return self.width_mm - 2 * MARGIN_MM, self.height_mm - 2 * MARGIN_MM - SLACK_MM


A4 = Paper("a4", "A4", 210.0, 297.0)
A3 = Paper("a3", "A3", 297.0, 420.0)
LETTER = Paper("letter", "Letter", 215.9, 279.4)
