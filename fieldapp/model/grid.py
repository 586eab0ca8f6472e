"""How a site's course grid is tied to the earth: exactly one of three ways."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ProjectedGrid:
    """A projected coordinate system by EPSG code or PROJ string.

    Course coordinates are that system's eastings and northings turned into metres. `gnss_crs` is the geographic
    system in which the receiver's positions come (EPSG:4326 unless the receiver takes corrections in another);
    `epoch` is the decimal year of those positions where their frame moves. A system whose best transformation is
    worse than `accept_error_m` is refused.
    """

    crs: str
    ground_height_m: float = 0.0
    gnss_crs: str = "EPSG:4326"
    epoch: float | None = None
    accept_error_m: float | None = None


@dataclass(frozen=True)
class LocalGrid:
    """A grid of the course's own, scale true at ground level.

    `origin_height_m` is above the ellipsoid; `origin_x`, `origin_y` are the course coordinates of the origin in
    metres; `north_bearing_deg` is the bearing from true north of the grid's y axis at the origin, clockwise.
    """

    origin_lat_deg: float
    origin_lon_deg: float
    origin_height_m: float = 0.0
    origin_x: float = 0.0
    origin_y: float = 0.0
    north_bearing_deg: float = 0.0


@dataclass(frozen=True)
class FittedGrid:
    """A grid known by pegs that have both course coordinates and GNSS positions.

    `scale` is "fixed" (1 exactly, at ground level) or "free". `max_residual_m` is the largest residual of a peg that
    is still believed.
    """

    scale: str = "fixed"
    ground_height_m: float = 0.0
    max_residual_m: float = 0.10


GridDefinition = ProjectedGrid | LocalGrid | FittedGrid
