"""Where the pixels of a picture lie: six numbers that take a pixel's centre to a plane, as a world file has them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import FitError
from fieldapp.geodesy.fit import Similarity, fit_similarity

Floats = NDArray[np.float64]
PROBES = 9
"""So many places a side are taken through a coordinate system when a picture is."""
LEAST_APART_PX = 20.0
NO_PICTURE = "The six numbers put all of the picture in one line or in no place at all; check them."


@dataclass(frozen=True)
class PictureWorld:
    """x = a column + b row + c, y = d column + e row + f at pixel centres; the first pixel is column 0, row 0.

    The order of the six is that of an ESRI world file: A, D, B, E, C, F.
    """

    a: float
    d: float
    b: float
    e: float
    c: float
    f: float

    @property
    def six(self) -> tuple[float, float, float, float, float, float]:
        """The numbers in the order of a world file."""
        return self.a, self.d, self.b, self.e, self.c, self.f

    @property
    def is_sound(self) -> bool:
        """Whether it spreads a picture over a plane at all."""
        size = max(abs(self.a), abs(self.b), abs(self.d), abs(self.e))
        sound = bool(np.isfinite(self.six).all()) and max(map(abs, self.six)) < 1e12
        return sound and abs(self.a * self.e - self.b * self.d) > 1e-9 * size**2 > 0

    def apply(self, pixels: ArrayLike) -> Floats:
        """Take pixels `(..., 2)` (column, row) to the plane `(..., 2)`."""
        column, row = np.moveaxis(np.asarray(pixels, dtype=float), -1, 0)
        return np.stack(
            [self.a * column + self.b * row + self.c, self.d * column + self.e * row + self.f], axis=-1
        )

    def of_sized(self, came: tuple[int, int], now: tuple[int, int]) -> PictureWorld:
        """Return that of the same picture drawn in another size; both sizes are width and height in pixels.

        The edges stay where they are: a centre at column k lies k + 1/2 pixels from the left edge.
        """
        across, down = came[0] / now[0], came[1] / now[1]
        shift = np.array([across / 2 - 0.5, down / 2 - 0.5])
        c, f = self.apply(shift)
        return PictureWorld(
            self.a * across, self.d * across, self.b * down, self.e * down, float(c), float(f)
        )


@dataclass(frozen=True)
class FittedWorld:
    """Where a picture lies, by a fit: `off_m` `(N,)` is how far each place of the fit is off, metres."""

    world: PictureWorld
    off_m: Floats


def through(world: PictureWorld, size: tuple[int, int], to_course: Callable[[Floats], Floats]) -> FittedWorld:
    """Take a picture through a coordinate system: the best six numbers for places all over it, and what they miss.

    `to_course` takes places `(N, 2)` of the picture's plane to course metres. Raises whatever that raises.
    """
    across, down = (np.linspace(0, side - 1, PROBES) for side in size)
    pixels = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    wanted = to_course(world.apply(pixels))
    middle = pixels.mean(axis=0)
    terms = np.column_stack([pixels - middle, np.ones(len(pixels))])
    (a, d), (b, e), at = np.linalg.lstsq(terms, wanted, rcond=None)[0]
    c, f = at - np.array([[a, b], [d, e]]) @ middle
    found = PictureWorld(*(float(number) for number in (a, d, b, e, c, f)))
    return FittedWorld(found, np.hypot(*(found.apply(pixels) - wanted).T))


def by_places(pixels: ArrayLike, places: ArrayLike) -> FittedWorld:
    """Fit a picture by pixels `(N, 2)` whose places `(N, 2)`, course metres, are known; raises FitError.

    It is shifted, turned and scaled alike in both directions, seen from above.
    """
    given, wanted = (
        np.asarray(pixels, dtype=float).reshape(-1, 2),
        np.asarray(places, dtype=float).reshape(-1, 2),
    )
    if len(given) < 2:
        raise FitError(f"The picture is fitted by {len(given)} place; click two at least, well apart.")
    apart = float(np.hypot(*(given[:, None, :] - given[None, :, :]).reshape(-1, 2).T).max())
    if apart < LEAST_APART_PX:
        raise FitError(f"The places clicked are {apart:.0f} pixels apart; click places that are well apart.")
    fit = fit_similarity(given * (1.0, -1.0), wanted)
    return FittedWorld(_seen_from_above(fit.similarity), np.hypot(*fit.residuals.T))


def _seen_from_above(similarity: Similarity) -> PictureWorld:
    """Return a similarity of columns and upward rows as one of columns and rows, which run down."""
    a, b = similarity.a, similarity.b
    return PictureWorld(a, b, b, -a, similarity.tx, similarity.ty)
