"""The course grid: course coordinates to GNSS positions and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pyproj import Transformer
from pyproj.enums import TransformDirection

from fieldapp.errors import GridError, PositionError
from fieldapp.geodesy.distance import check_positions
from fieldapp.geodesy.ecef import height_scale, meridian_radius_m, normal_radius_m
from fieldapp.geodesy.fit import FitReport
from fieldapp.model import GridDefinition, LocalGrid

Floats = NDArray[np.float64]
LOWEST_M, HIGHEST_M = -500.0, 9000.0
WORTH_A_NOTE_M = 0.05
"""Positions and a grid that may differ by this much are a matter to be told of."""
_STEP_M = 100.0
_CROSS = np.array([(-_STEP_M, 0.0), (_STEP_M, 0.0), (0.0, -_STEP_M), (0.0, _STEP_M), (0.0, 0.0)])


def check_ground_height(height_m: float) -> None:
    """Raise GridError for a height above the ellipsoid that no course lies at."""
    if not LOWEST_M <= height_m <= HIGHEST_M:
        raise GridError(
            f"The ground height of the course grid is {height_m} m; give metres above the ellipsoid between "
            f"{LOWEST_M:.0f} and {HIGHEST_M:.0f}."
        )


GridUnknown = Literal["fit", "shift", "origin"]
"""Why nobody can say how far a grid is off: its fit has no check, the receiver's frame may lie aside, or its one origin
was given by hand."""


@dataclass(frozen=True)
class AreaOfUse:
    """Where a projected system is meant for; `bounds_deg` is west, south, east, north."""

    name: str
    bounds_deg: tuple[float, float, float, float]


@dataclass(frozen=True, eq=False)
class CourseGrid:
    """A grid as it computes: `transformer` from lon, lat to a plane, `matrix` and `shift` on to the course.

    `accuracy_m` is the published accuracy of the datum step, None where there is none; `apart_m` is how far the
    frame of the positions and that of the grid may lie apart, None where nobody says; `notes` are sentences
    a user must see; `metres_per_unit` belongs to the projected system, 1 for the other kinds. `centre_xy` is
    the middle of a local or fitted grid. pyproj gives each thread its own copy of a Transformer, so a grid
    may be shared by threads.
    """

    definition: GridDefinition
    ground_height_m: float
    transformer: Transformer = field(repr=False)
    matrix: Floats = field(repr=False)
    shift: Floats = field(repr=False)
    accuracy_m: float | None = None
    apart_m: float | None = None
    notes: tuple[str, ...] = ()
    fit: FitReport | None = None
    metres_per_unit: float = 1.0
    area: AreaOfUse | None = None
    centre_xy: tuple[float, float] | None = None
    epoch: float | None = None

    def to_gnss(self, xy: ArrayLike) -> Floats:
        """Turn course coordinates `(..., 2)` into lon, lat `(..., 2)` degrees.

        This is PROJ's own operation and nothing else. Raises GridError for what is not a number and for what
        has no position on the earth.
        """
        course = np.asarray(xy, dtype=float)
        if not np.isfinite(course).all():
            raise GridError("A course coordinate is not a number; give x and y in metres.")
        to_plane = np.linalg.inv(self.matrix)
        plane = to_plane @ course.reshape(-1, 2).T - (to_plane @ self.shift)[:, None]
        lonlat = self._transform(plane, TransformDirection.INVERSE)
        if not np.isfinite(lonlat).all():
            x, y = course.reshape(-1, 2)[~np.isfinite(lonlat).all(axis=0)][0]
            raise GridError(
                f"The course coordinates {x:.0f}, {y:.0f} lie where this grid has no position on the earth; "
                "check them, their unit and the grid."
            )
        return lonlat.T.reshape(course.shape)

    def to_course(self, lonlat: ArrayLike) -> Floats:
        """Turn lon, lat `(..., 2)` degrees into course coordinates `(..., 2)`, exactly back from `to_gnss`.

        PROJ's two directions of a datum step disagree by up to 1.7 mm in two dimensions (small-angle
        rotations, height dropped), so its answer is corrected once by what it misses; less than 0.001 mm is
        left. Raises PositionError.
        """
        positions = check_positions(lonlat)
        plane = self._transform(positions.reshape(-1, 2).T.copy(), TransformDirection.FORWARD)
        back = self._transform(plane.copy(), TransformDirection.INVERSE)
        plane = 2 * plane - self._transform(back, TransformDirection.FORWARD)
        if not np.isfinite(plane).all():
            lon, lat = positions.reshape(-1, 2)[~np.isfinite(plane).all(axis=0)][0]
            raise PositionError(
                f"The position {lat:.5f}, {lon:.5f} lies outside anything this course grid can hold; check "
                "that latitude comes first and that the position belongs to this site."
            )
        return np.asarray((self.matrix @ plane).T + self.shift).reshape(positions.shape)

    def outlines_to_gnss(self, outlines: Sequence[ArrayLike]) -> list[Floats]:
        """Turn many outlines `(N_i, 2)` into lon, lat `(N_i, 2)` with one call of PROJ."""
        if not outlines:
            return []
        arrays = [np.asarray(outline, dtype=float).reshape(-1, 2) for outline in outlines]
        positions = self.to_gnss(np.concatenate(arrays))
        ends = np.cumsum([len(array) for array in arrays])
        return [positions[end - len(array) : end] for array, end in zip(arrays, ends, strict=True)]

    def ground_scale_at(self, xy: ArrayLike) -> float:
        """Return ground metres per course metre at a place `(2,)`: (1 + h / R) / k, meant over directions."""
        lat_deg, ellipsoid_per_course = self.spread_at(xy)
        inverse_of_k = float(np.sqrt(abs(np.linalg.det(ellipsoid_per_course))))
        return height_scale(lat_deg, self.ground_height_m) * inverse_of_k

    def within95_m(self, xy: ArrayLike) -> float | None:
        """Return the 95 % radius within which the grid gives a place `(2,)`; None where that is not known.

        Of a fit, what its pegs say. Of a projected grid in whose frame the positions come, the published accuracy of
        the step between them, 0 where there is none to take and below 5 cm otherwise.
        """
        if self.fit is not None:
            return self.fit.within95_m(xy)
        return self.apart_m if self.unknown is None else None

    @property
    def unknown(self) -> GridUnknown | None:
        """Why it is not known how far the grid is off; None where it is."""
        if self.fit is not None:
            return "fit" if self.fit.standard_error_m is None else None
        if isinstance(self.definition, LocalGrid):
            return "origin"
        return None if self.apart_m is not None and self.apart_m < WORTH_A_NOTE_M else "shift"

    def convergence_deg(self, xy: ArrayLike) -> float:
        """Return the true bearing of the course y axis at a place `(2,)`, to be added to a course bearing."""
        _, ellipsoid_per_course = self.spread_at(xy)
        east, north = ellipsoid_per_course[:, 1]
        return float(np.degrees(np.arctan2(east, north)))

    def spread_at(self, xy: ArrayLike) -> tuple[float, Floats]:
        """Return the latitude at a place `(2,)` and d(east, north) / d(x, y) `(2, 2)` on the ellipsoid there.

        Central differences over 2 x 100 m: what is left out is below 1e-10.
        """
        lonlat = self.to_gnss(np.asarray(xy, dtype=float).reshape(2) + _CROSS)
        lat_deg = float(lonlat[4, 1])
        change = np.radians((lonlat[[1, 3]] - lonlat[[0, 2]] + 180) % 360 - 180) / (2 * _STEP_M)
        east = change[:, 0] * normal_radius_m(lat_deg) * np.cos(np.radians(lat_deg))
        north = change[:, 1] * meridian_radius_m(lat_deg)
        return lat_deg, np.array([east, north])

    def _transform(self, pair: Floats, direction: TransformDirection) -> Floats:
        """Transform a contiguous `(2, N)` array, which is overwritten."""
        first, second = pair
        if self.epoch is None:
            return np.array(self.transformer.transform(first, second, direction=direction, inplace=True))
        height, moment = np.zeros_like(first), np.full_like(first, self.epoch)
        answer = self.transformer.transform(first, second, height, moment, direction=direction, inplace=True)
        return np.array(answer[:2])
