"""Axes of a drawn section: places turned into spots on a sheet, to scale with heights exaggerated, and round ticks.

Sheet units are CSS pixels, x right, y down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldapp.model.units import METRES_PER
from fieldapp.play.section import Place
from fieldapp.server.sight_words import SightWords

FloatArray = NDArray[np.float64]
Spot = tuple[float, float]

TOP, BOTTOM = 30.0, 50.0
TICK_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200)
TICKS_APART_UP = 30.0


@dataclass(frozen=True)
class SectionSheet:
    """A sheet that a section is drawn on: its width, the room for words left and right, and for a tick's words."""

    name: str
    width: float
    left: float
    right: float
    ticks_apart: float


WIDE = SectionSheet("wide", 900.0, 62.0, 118.0, 70.0)
NARROW = SectionSheet("narrow", 300.0, 54.0, 74.0, 48.0)
"""For a phone: as wide as its screen less the margins, so that words stay 13 px large and nothing scrolls sideways."""


@dataclass(frozen=True)
class Window:
    """What a drawing shows: distances and levels, metres, and how many pixels a metre of each is."""

    near_m: float
    far_m: float
    low_m: float
    px_per_m: float
    factor: int
    height: float
    sheet: SectionSheet

    def spot(self, place: Place) -> Spot:
        """Turn a place of a section into one of the sheet, to a hundredth of a pixel."""
        across = self.sheet.left + (place[0] - self.near_m) * self.px_per_m
        down = self.height - BOTTOM - (place[1] - self.low_m) * self.px_per_m * self.factor
        return round(across, 2), round(down, 2)


@dataclass(frozen=True)
class Tick:
    """A place on an axis and what stands beside it."""

    at: float
    label: str


def fit_window(
    sheet: SectionSheet,
    between_m: tuple[float, float],
    levels: Sequence[float],
    factors: Sequence[int],
    most_height: float,
) -> Window:
    """Return the window on all levels with the largest factor that keeps them within `most_height`."""
    near_m, far_m = between_m
    px_per_m = (sheet.width - sheet.left - sheet.right) / (far_m - near_m)
    low, high = min(levels), max(levels)
    span = max(high - low, 0.01)
    factor = max((each for each in factors if span * px_per_m * each <= most_height), default=factors[0])
    height = round(TOP + BOTTOM + span * px_per_m * factor, 1)
    return Window(near_m, far_m, low, px_per_m, factor, height, sheet)


def clipped(places: FloatArray, near_m: float, far_m: float) -> FloatArray:
    """Return a run of places between two distances, cut where it is."""
    inside = places[(places[:, 0] >= near_m) & (places[:, 0] <= far_m)]
    if places[0, 0] < near_m < places[-1, 0]:
        inside = np.vstack([(near_m, np.interp(near_m, places[:, 0], places[:, 1])), inside])
    if places[0, 0] < far_m < places[-1, 0]:
        inside = np.vstack([inside, (far_m, np.interp(far_m, places[:, 0], places[:, 1]))])
    return inside


def paths_of(window: Window, chains: Sequence[FloatArray]) -> str:
    """Return what a window shows of chains of places as one SVG path."""
    shown = (clipped(chain, window.near_m, window.far_m) for chain in chains)
    return "".join(
        path_of([window.spot((x, z)) for x, z in chain.tolist()]) for chain in shown if len(chain) > 1
    )


def path_of(spots: Sequence[Spot]) -> str:
    """Return spots joined by straight lines as an SVG path."""
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in spots)


def distance_ticks(window: Window, words: SightWords) -> tuple[Tick, ...]:
    """Return round distances in the yardage unit along the foot of a window."""
    unit_m = METRES_PER[words.yardage.unit]
    return tuple(
        Tick(window.spot((at, 0.0))[0], label)
        for at, label in _round_places(
            window.near_m, window.far_m, unit_m, window.sheet.ticks_apart / window.px_per_m
        )
    )


def level_ticks(window: Window, words: SightWords) -> tuple[Tick, ...]:
    """Return round levels in the ground unit up the side of a window."""
    px_per_m = window.px_per_m * window.factor
    high_m = window.low_m + (window.height - TOP - BOTTOM) / px_per_m
    places = _round_places(window.low_m, high_m, METRES_PER[words.ground], TICKS_APART_UP / px_per_m)
    return tuple(Tick(window.spot((window.near_m, at))[1], label) for at, label in places)


def _round_places(low_m: float, high_m: float, unit_m: float, apart_m: float) -> list[tuple[float, str]]:
    """Return round figures of a unit between two lengths, metres, with their labels, at least so far apart."""
    step = next((step for step in TICK_STEPS if step * unit_m >= apart_m), TICK_STEPS[-1])
    first, last = math.ceil(low_m / unit_m / step - 1e-9), math.floor(high_m / unit_m / step + 1e-9)
    decimals = 1 if step < 1 else 0
    return [(count * step * unit_m, f"{count * step:.{decimals}f}") for count in range(first, last + 1)]
