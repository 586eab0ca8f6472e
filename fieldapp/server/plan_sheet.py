"""The sheet a plan stands on: a turned, scaled window on the course grid, its scale bar, SVG paths on it.

Sheet units are CSS pixels, x right, y down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.model.units import METRES_PER_FOOT

Place = tuple[float, float]
FloatArray = NDArray[np.float64]

BAR_LENGTHS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True)
class Sheet:
    """A rotated, scaled window on the course grid: `up_bearing_deg` (course bearing) points up the sheet."""

    centre: Place
    up_bearing_deg: float
    px_per_m: float
    width: float
    height: float

    def place(self, xy: ArrayLike) -> FloatArray:
        """Turn course coordinates `(..., 2)` into sheet places `(..., 2)`."""
        shift = np.asarray(xy, dtype=float) - np.array(self.centre)
        up = math.radians(self.up_bearing_deg)
        across = shift[..., 0] * math.cos(up) - shift[..., 1] * math.sin(up)
        upward = shift[..., 0] * math.sin(up) + shift[..., 1] * math.cos(up)
        return np.stack(
            [self.width / 2 + across * self.px_per_m, self.height / 2 - upward * self.px_per_m], axis=-1
        )

    def course(self, places: ArrayLike) -> FloatArray:
        """Turn sheet places `(..., 2)` into course coordinates `(..., 2)`."""
        at = np.asarray(places, dtype=float)
        across = (at[..., 0] - self.width / 2) / self.px_per_m
        upward = (self.height / 2 - at[..., 1]) / self.px_per_m
        up = math.radians(self.up_bearing_deg)
        x = across * math.cos(up) + upward * math.sin(up)
        y = upward * math.cos(up) - across * math.sin(up)
        return np.asarray(np.stack([x, y], axis=-1) + np.array(self.centre))

    def holds(self, at: Place) -> bool:
        """Whether a sheet place lies on the sheet."""
        return 0 <= at[0] <= self.width and 0 <= at[1] <= self.height

    def clip(self, ends: FloatArray) -> FloatArray | None:
        """Return the part of a straight line between sheet places `(2, 2)` on the sheet; None where it passes by.

        Liang and Barsky 1984: each edge bounds the share of the way at which the line comes in or goes out.
        """
        (start, end), (first, last) = ends, (0.0, 1.0)
        run = end - start
        for axis, size in enumerate((self.width, self.height)):
            if abs(run[axis]) < 1e-9:
                if not 0 <= start[axis] <= size:
                    return None
                continue
            near, far = sorted((-start[axis] / run[axis], (size - start[axis]) / run[axis]))
            first, last = max(first, near), min(last, far)
        return np.array([start + first * run, start + last * run]) if first < last else None

    def spot(self, x: float, y: float) -> Place:
        """Turn one course place into a sheet place, rounded to a hundredth of a pixel."""
        across, down = self.place((x, y))
        return round(float(across), 2), round(float(down), 2)


@dataclass(frozen=True)
class ScaleBar:
    """A round ground length and how long it is on the sheet."""

    label: str
    px: float


def fit_sheet(
    reach: FloatArray, up_bearing_deg: float, width: float, most_height: float, margin: float
) -> Sheet:
    """Return the sheet of the given width on which all places `reach` (N, 2) fit inside the margin."""
    flat = Sheet((0.0, 0.0), up_bearing_deg, 1.0, 0.0, 0.0).place(reach)
    low, high = flat.min(axis=0), flat.max(axis=0)
    extent = np.maximum(high - low, 1.0)
    px_per_m = float(min((width - 2 * margin) / extent[0], (most_height - 2 * margin) / extent[1]))
    height = float(extent[1]) * px_per_m + 2 * margin
    middle = (low + high) / 2
    up = math.radians(up_bearing_deg)
    across, upward = float(middle[0]), float(-middle[1])
    centre = (
        across * math.cos(up) + upward * math.sin(up),
        upward * math.cos(up) - across * math.sin(up),
    )
    return Sheet(centre, up_bearing_deg, px_per_m, width, round(height, 1))


def scale_bar(sheet: Sheet, ground_scale: float, ground_unit: str, share: float = 0.25) -> ScaleBar:
    """Return the longest round bar of at most a share of the sheet's width, in the site's ground unit."""
    metres_per_unit, unit = (METRES_PER_FOOT, "ft") if ground_unit == "foot" else (1.0, "m")
    px_per_unit = sheet.px_per_m * metres_per_unit / ground_scale
    fitting = [length for length in BAR_LENGTHS if length * px_per_unit <= sheet.width * share]
    length = fitting[-1] if fitting else BAR_LENGTHS[0]
    return ScaleBar(f"{length} {unit}", round(length * px_per_unit, 2))


def svg_path(places: FloatArray) -> str:
    """Return an SVG path through sheet places `(N, 2)`."""
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in places)


def places_along(path: FloatArray, step_px: float = 5.0) -> list[Place]:
    """Return places evenly along a path `(N, 2)`, so that no name stands on it."""
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    at = np.arange(0.0, run[-1], step_px)
    return list(zip(np.interp(at, run, path[:, 0]), np.interp(at, run, path[:, 1]), strict=True))


def rounded(place: FloatArray) -> Place:
    """Return a sheet place `(2,)` to a hundredth of a pixel."""
    return round(float(place[0]), 2), round(float(place[1]), 2)
