"""The phone's own frame: latitude and longitude to course coordinates by a polynomial, without PROJ.

A position is put on a tangent plane at the frame's origin, and a polynomial in east and north takes it to the
course. The JavaScript twin is `web/phone/geometry/frame.js`; both answer to the same vectors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import GridError
from fieldapp.geodesy.course_grid import CourseGrid
from fieldapp.geodesy.distance import check_positions
from fieldapp.geodesy.ecef import ecef_to_enu, geodetic_to_ecef, meridian_radius_m, normal_radius_m

Floats = NDArray[np.float64]
UNIT_M = 1000.0
MOST_RESIDUAL_M = 0.001
TERMS = ((0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2), (3, 0), (2, 1), (1, 2), (0, 3))
"""Powers of east and north in km, in the order of the coefficients: 1, e, n, e2, en, n2, e3, e2n, en2, n3."""
_TERMS_OF_DEGREE = {1: 3, 2: 6, 3: 10}
_NEWTON_STEPS = 8
_FIT_NODES, _CHECK_NODES = 9, 15


@dataclass(frozen=True)
class LocalFrame:
    """Course coordinates as a polynomial of the tangent plane at an origin.

    Every position is taken at the origin's height: the fix's own height is not used, because a browser's
    height may be off by tens of metres. `residual_m` is the largest difference from the course grid within
    `half_width_m`.
    """

    origin_lat_deg: float
    origin_lon_deg: float
    origin_height_m: float
    degree: int
    x_coefficients: tuple[float, ...]
    y_coefficients: tuple[float, ...]
    half_width_m: float
    residual_m: float

    def to_course(self, lonlat: ArrayLike) -> Floats:
        """Turn lon, lat `(..., 2)` degrees into course coordinates `(..., 2)`; raises PositionError."""
        return self._polynomial(self._plane(check_positions(lonlat)))

    def to_gnss(self, xy: ArrayLike) -> Floats:
        """Turn course coordinates `(..., 2)` into lon, lat `(..., 2)` degrees, by Newton's method.

        The slope is that of the polynomial and of the ellipsoid's radii; the turn of the meridian is left out
        of it, so each step shrinks the error about 2000 times within the frame and eight leave nothing.
        """
        wanted = np.asarray(xy, dtype=float)
        lonlat = np.broadcast_to([self.origin_lon_deg, self.origin_lat_deg], wanted.shape).copy()
        for _ in range(_NEWTON_STEPS):
            plane = self._plane(lonlat)
            missing = wanted - self._polynomial(plane)
            step = np.linalg.solve(self._slope(plane), missing[..., None])[..., 0]
            lonlat += step / self._metres_per_degree(lonlat[..., 1])
        return lonlat

    def true_bearing_deg(self, from_xy: ArrayLike, to_xy: ArrayLike) -> Floats:
        """Return the bearing from true north, 0 to 360, of course lines `(..., 2)` at their start.

        The course direction goes back through the polynomial's slope, then through the turn of the meridian,
        difference of longitude times sine of latitude. Left out is the curvature of the line: below 0.001
        degrees within 1.5 km.
        """
        start = np.asarray(from_xy, dtype=float)
        lonlat = self.to_gnss(start)
        along = np.linalg.solve(self._slope(self._plane(lonlat)), (to_xy - start)[..., None])[..., 0]
        turn_deg = (lonlat[..., 0] - self.origin_lon_deg) * np.sin(np.radians(lonlat[..., 1]))
        return np.asarray((np.degrees(np.arctan2(along[..., 0], along[..., 1])) + turn_deg) % 360)

    def _plane(self, lonlat: Floats) -> Floats:
        """Return east, north `(..., 2)` in metres on the tangent plane of the origin."""
        xyz = geodetic_to_ecef(lonlat[..., 1], lonlat[..., 0], self.origin_height_m)
        return ecef_to_enu(xyz, self.origin_lat_deg, self.origin_lon_deg, self.origin_height_m)[..., :2]

    def _polynomial(self, plane: Floats) -> Floats:
        terms = _terms(plane, self.degree)
        return np.stack(
            (terms @ np.array(self.x_coefficients), terms @ np.array(self.y_coefficients)), axis=-1
        )

    def _slope(self, plane: Floats) -> Floats:
        """Return d(x, y) / d(east, north) `(..., 2, 2)`."""
        east, north = np.moveaxis(plane / UNIT_M, -1, 0)
        powers = TERMS[: _TERMS_OF_DEGREE[self.degree]]
        by_east = np.stack([i * east ** max(i - 1, 0) * north**j for i, j in powers], axis=-1) / UNIT_M
        by_north = np.stack([j * east**i * north ** max(j - 1, 0) for i, j in powers], axis=-1) / UNIT_M
        coefficients = np.array([self.x_coefficients, self.y_coefficients])
        return np.stack((by_east @ coefficients.T, by_north @ coefficients.T), axis=-1)

    def _metres_per_degree(self, lat_deg: Floats) -> Floats:
        east = (normal_radius_m(lat_deg) + self.origin_height_m) * np.cos(np.radians(lat_deg))
        north = meridian_radius_m(lat_deg) + self.origin_height_m
        return np.radians(np.stack((east, north), axis=-1))


def fit_frame(
    grid: CourseGrid, centre_xy: ArrayLike, half_width_m: float = 1500.0, degree: int = 3
) -> LocalFrame:
    """Fit the frame of a square of the course grid about `centre_xy` `(2,)`.

    Least squares on a square mesh; the residual is the largest difference on a denser one. Over a 3 km square
    degree 1 leaves up to 15 mm, degree 2 some 0.04 mm, degree 3 below 0.0001 mm. Raises GridError above 1 mm.
    """
    if degree not in _TERMS_OF_DEGREE:
        raise GridError(f"The phone's frame has degree {degree}; it may be 1, 2 or 3.")
    if not (np.isfinite(half_width_m) and half_width_m > 0):
        raise GridError(f"The half width of the phone's frame is {half_width_m} m; give a length above zero.")
    centre = np.asarray(centre_xy, dtype=float).reshape(2)
    lon, lat = grid.to_gnss(centre)
    blank = (0.0,) * _TERMS_OF_DEGREE[degree]
    origin = (float(lat), float(lon), grid.ground_height_m)
    empty = LocalFrame(*origin, degree, blank, blank, half_width_m, 0.0)
    mesh = _mesh(centre, half_width_m, _FIT_NODES)
    terms = _terms(empty._plane(grid.to_gnss(mesh)), degree)
    solution = np.linalg.lstsq(terms, mesh, rcond=None)[0]
    x_coefficients, y_coefficients = (tuple(float(value) for value in column) for column in solution.T)
    frame = LocalFrame(*origin, degree, x_coefficients, y_coefficients, half_width_m, 0.0)
    return _checked(frame, grid, _mesh(centre, half_width_m, _CHECK_NODES))


def _checked(frame: LocalFrame, grid: CourseGrid, mesh: Floats) -> LocalFrame:
    missed = frame.to_course(grid.to_gnss(mesh)) - mesh
    residual_m = float(np.max(np.hypot(missed[:, 0], missed[:, 1])))
    if residual_m > MOST_RESIDUAL_M:
        raise GridError(
            f"The phone's frame of degree {frame.degree} over {2 * frame.half_width_m / 1000:.1f} km misses "
            f"the course grid by {residual_m * 1000:.1f} mm, more than {MOST_RESIDUAL_M * 1000:.0f} mm; keep "
            "the hole smaller."
        )
    return LocalFrame(**{**vars(frame), "residual_m": residual_m})


def _mesh(centre: Floats, half_width_m: float, nodes: int) -> Floats:
    side = np.linspace(-half_width_m, half_width_m, nodes)
    return centre + np.stack(np.meshgrid(side, side), axis=-1).reshape(-1, 2)


def _terms(plane: Floats, degree: int) -> Floats:
    east, north = np.moveaxis(plane / UNIT_M, -1, 0)
    return np.stack([east**i * north**j for i, j in TERMS[: _TERMS_OF_DEGREE[degree]]], axis=-1)
