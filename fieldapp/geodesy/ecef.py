"""Earth-centred coordinates: geodetic, geocentric (ECEF) and topocentric (ENU), and the radii of the
ellipsoid.

Formulas: IOGP Guidance Note 373-7-2, methods 9602 (geographic/geocentric) and 9836 (geocentric/topocentric).
They are exact; only rounding is left out (about 1 nm).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
_LATITUDE_STEPS = 6


@dataclass(frozen=True)
class Ellipsoid:
    """An ellipsoid of revolution: semi-major axis in metres and inverse flattening."""

    semi_major_m: float
    inverse_flattening: float

    @property
    def eccentricity2(self) -> float:
        """First eccentricity squared."""
        flattening = 1 / self.inverse_flattening
        return flattening * (2 - flattening)


WGS84 = Ellipsoid(6378137.0, 298.257223563)


def meridian_radius_m(lat_deg: ArrayLike, ellipsoid: Ellipsoid = WGS84) -> Floats:
    """Return the radius of curvature along the meridian (rho), metres."""
    e2 = ellipsoid.eccentricity2
    sine = np.sin(np.radians(lat_deg))
    return np.asarray(ellipsoid.semi_major_m * (1 - e2) / (1 - e2 * sine**2) ** 1.5)


def normal_radius_m(lat_deg: ArrayLike, ellipsoid: Ellipsoid = WGS84) -> Floats:
    """Return the radius of curvature across the meridian (nu), metres."""
    sine = np.sin(np.radians(lat_deg))
    return np.asarray(ellipsoid.semi_major_m / np.sqrt(1 - ellipsoid.eccentricity2 * sine**2))


def mean_radius_m(lat_deg: float) -> float:
    """Return the Gaussian mean radius sqrt(rho nu) of WGS 84 at a latitude, metres.

    Taking it for the radius in every direction is wrong by up to 0.34 %: at 500 m above the ellipsoid that is
    0.3 mm in 1 km.
    """
    return float(np.sqrt(meridian_radius_m(lat_deg) * normal_radius_m(lat_deg)))


def height_scale(lat_deg: float, height_m: float) -> float:
    """Return ground metres per metre on the WGS 84 ellipsoid, 1 + h / R with the Gaussian mean radius."""
    return 1 + height_m / mean_radius_m(lat_deg)


def geodetic_to_ecef(
    lat_deg: ArrayLike, lon_deg: ArrayLike, height_m: ArrayLike, ellipsoid: Ellipsoid = WGS84
) -> Floats:
    """Return X, Y, Z `(..., 3)` in metres; height is above the ellipsoid."""
    lat, lon, height = np.broadcast_arrays(
        np.radians(lat_deg), np.radians(lon_deg), np.asarray(height_m, float)
    )
    nu = normal_radius_m(np.degrees(lat), ellipsoid)
    across = (nu + height) * np.cos(lat)
    up = ((1 - ellipsoid.eccentricity2) * nu + height) * np.sin(lat)
    return np.stack((across * np.cos(lon), across * np.sin(lon), up), axis=-1)


def ecef_to_geodetic(xyz: ArrayLike, ellipsoid: Ellipsoid = WGS84) -> Floats:
    """Return latitude, longitude in degrees and height in metres `(..., 3)` of X, Y, Z `(..., 3)`.

    Fixed-point steps on the latitude; near the ground each shrinks the error some 300 times, so six leave
    nothing.
    """
    x, y, z = np.moveaxis(np.asarray(xyz, dtype=float), -1, 0)
    across = np.hypot(x, y)
    e2 = ellipsoid.eccentricity2
    lat = np.arctan2(z, across * (1 - e2))
    for _ in range(_LATITUDE_STEPS):
        lat = np.arctan2(z + e2 * normal_radius_m(np.degrees(lat), ellipsoid) * np.sin(lat), across)
    root = np.sqrt(1 - e2 * np.sin(lat) ** 2)
    height = across * np.cos(lat) + z * np.sin(lat) - ellipsoid.semi_major_m * root
    return np.stack((np.degrees(lat), np.degrees(np.arctan2(y, x)), height), axis=-1)


def ecef_to_enu(
    xyz: ArrayLike,
    origin_lat_deg: float,
    origin_lon_deg: float,
    origin_height_m: float,
    ellipsoid: Ellipsoid = WGS84,
) -> Floats:
    """Return east, north, up `(..., 3)` in metres about an origin.

    Up is no level: the plane leaves the earth by s^2 / 2R, 78 mm in 1 km.
    """
    origin = geodetic_to_ecef(origin_lat_deg, origin_lon_deg, origin_height_m, ellipsoid)
    dx, dy, dz = np.moveaxis(np.asarray(xyz, dtype=float) - origin, -1, 0)
    lat, lon = np.radians(origin_lat_deg), np.radians(origin_lon_deg)
    outward = np.cos(lon) * dx + np.sin(lon) * dy
    east = -np.sin(lon) * dx + np.cos(lon) * dy
    north = -np.sin(lat) * outward + np.cos(lat) * dz
    up = np.cos(lat) * outward + np.sin(lat) * dz
    return np.stack((east, north, up), axis=-1)
