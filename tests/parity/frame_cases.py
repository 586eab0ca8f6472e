"""Cases for the phone's frame: what the full course grid says, for the JavaScript twin to meet.

Each case makes a frame of the bundle's form and calls one of its methods: `toCourse` and `toGnss` must meet
the course grid to 1 mm, `trueBearingDeg` the geodesic's azimuth to 0.001 degrees. No position lies at the
frame's own height: the ground is taken 60 m too high or too low, as a phone may meet it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from fieldapp.geodesy.distance import geodesic, geodesic_end
from fieldapp.geodesy.frame import LocalFrame, fit_frame
from fieldapp.geodesy.grid import CourseGrid, build_grid
from fieldapp.model import FittedGrid, GnssPosition, LocalGrid, Peg, ProjectedGrid

ONE_MM = 0.001
ONE_MM_IN_DEG = 9e-9
BEARING_TOLERANCE_DEG = 0.001
REACH_M = 1500.0


def pegs_about(lon_deg: float, lat_deg: float) -> tuple[Peg, ...]:
    """Three pegs about a place, their course grid turned by 40 degrees."""
    pegs = []
    for name, bearing_deg, away_m in (("A", 20, 150.0), ("B", 140, 220.0), ("C", 260, 180.0)):
        lon, lat = geodesic_end((lon_deg, lat_deg), bearing_deg, away_m)
        angle = np.radians(bearing_deg - 40)
        x, y = 3000 + away_m * np.sin(angle), 7000 + away_m * np.cos(angle)
        pegs.append(Peg(name, "control", float(x), float(y), None, GnssPosition(float(lat), float(lon))))
    return tuple(pegs)


SITES: tuple[tuple[CourseGrid, tuple[float, float]], ...] = (
    (build_grid(LocalGrid(53.6, -5.0, 60.0, 1000.0, 2000.0, 27.5)), (-5.0, 53.6)),
    (build_grid(LocalGrid(-37.6, 175.2, 310.0, 0.0, 0.0, -101.0)), (175.2, -37.6)),
    (build_grid(ProjectedGrid("EPSG:3006", 80.0)), (16.2, 59.3)),
    (build_grid(ProjectedGrid("EPSG:2193", 40.0)), (170.1, -44.9)),
    (build_grid(ProjectedGrid("EPSG:6539", 20.0)), (-73.1, 40.85)),
    (build_grid(ProjectedGrid("EPSG:2056", 450.0)), (8.9, 47.4)),
    (build_grid(FittedGrid("fixed"), pegs_about(-5.0, 53.6)), (-5.0, 53.6)),
    (build_grid(FittedGrid("free"), pegs_about(175.2, -37.6)), (175.2, -37.6)),
)


def bundled(frame: LocalFrame) -> dict[str, Any]:
    """The frame as a bundle carries it."""
    return {
        "origin": [frame.origin_lat_deg, frame.origin_lon_deg, frame.origin_height_m],
        "degree": frame.degree,
        "x": list(frame.x_coefficients),
        "y": list(frame.y_coefficients),
        "half_width_m": frame.half_width_m,
        "residual_m": frame.residual_m,
    }


def places(middle: np.ndarray, seed: int) -> np.ndarray:
    """The middle, three places at the full reach and two between, `(6, 2)` course metres."""
    rng = np.random.default_rng(seed)
    angles = np.concatenate([np.radians([45, 160, 290]), rng.uniform(0, 2 * np.pi, 2)])
    away = np.concatenate([np.full(3, REACH_M), rng.uniform(0, REACH_M, 2)])
    return np.vstack([middle, middle + away[:, None] * np.column_stack([np.sin(angles), np.cos(angles)])])


def cases_of(
    grid: CourseGrid, lonlat: tuple[float, float], height_error_m: float, seed: int
) -> list[dict[str, Any]]:
    """All the cases of one site whose ground is taken `height_error_m` too high."""
    middle = grid.to_course(lonlat)
    frame = fit_frame(replace(grid, ground_height_m=grid.ground_height_m + height_error_m), middle)
    made = {"make": "createFrame", "make_args": [bundled(frame)]}
    xy = places(middle, seed)
    positions = grid.to_gnss(xy)
    written = []
    for (x, y), (lon, lat), (to_x, to_y) in zip(xy, positions, np.roll(xy, 1, axis=0), strict=True):
        near = np.array([x, y]) + 30.0 * np.array([to_x - x, to_y - y]) / np.hypot(to_x - x, to_y - y)
        bearing = float(geodesic((lon, lat), grid.to_gnss(near)).azimuth_deg)
        start, end, place = [float(x), float(y)], [float(value) for value in near], [float(lat), float(lon)]
        written += [
            {**made, "call": "toCourse", "args": place, "want": start, "tolerance": ONE_MM},
            {**made, "call": "toGnss", "args": start, "want": place, "tolerance": ONE_MM_IN_DEG},
            {
                **made,
                "call": "trueBearingDeg",
                "args": [*start, *end],
                "want": bearing,
                "tolerance": BEARING_TOLERANCE_DEG,
            },
        ]
    return written


def frame_cases() -> list[dict[str, Any]]:
    """Every case, ready for JSON."""
    written = []
    for seed, (grid, lonlat) in enumerate(SITES):
        written += cases_of(grid, lonlat, 60.0 * (-1) ** (seed // 2), seed)
    return written
