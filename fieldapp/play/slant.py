"""Slant: how a bunker's long axis lies to the line of play, as an angle and in plain words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fieldapp.outline.measure import OutlineMeasures, angle_to_play_deg

Side = Literal["left", "right"]

ALONG_DEG, ACROSS_DEG = 10.0, 80.0


@dataclass(frozen=True)
class Slant:
    """The angle from 0 (along play) to 90 (square across), which end is the far one, and the words for both.

    `far_end` is None where the bunker is nearly round, or lies within 10 degrees of along or of across.
    """

    angle_deg: float
    far_end: Side | None
    words: str


def slant(axes: OutlineMeasures, play_bearing_deg: float) -> Slant:
    """Return how a bunker of these axes lies to play on a course bearing."""
    turned = (axes.long_axis_bearing_deg - play_bearing_deg) % 180.0
    angle = angle_to_play_deg(axes.long_axis_bearing_deg, play_bearing_deg)
    if axes.is_nearly_round:
        return Slant(angle, None, "is nearly round")
    if angle < ALONG_DEG:
        return Slant(angle, None, "runs along play")
    if angle > ACROSS_DEG:
        return Slant(angle, None, "lies square across")
    far_end: Side = "right" if turned < 90.0 else "left"
    return Slant(angle, far_end, f"at a slant, far end {far_end}")
