"""Grids of all three kinds, north and south of the equator."""

from __future__ import annotations

import numpy as np
import pytest

from fieldapp.geodesy.distance import geodesic_end
from fieldapp.geodesy.ecef import height_scale
from fieldapp.geodesy.grid import CourseGrid, build_grid
from fieldapp.model import FittedGrid, GnssPosition, LocalGrid, Peg, ProjectedGrid

REACH_M = 1500.0


def pegs_about(lon_deg: float, lat_deg: float, height_m: float, turn_deg: float = 0.0) -> tuple[Peg, ...]:
    """Four pegs 100 to 300 m about a place whose course coordinates are 5000, 8000, true on the ground."""
    pegs = []
    for name, bearing_deg, ground_m in (("A", 10, 100), ("B", 95, 240), ("C", 200, 300), ("D", 300, 180)):
        lon, lat = geodesic_end((lon_deg, lat_deg), bearing_deg, ground_m / height_scale(lat_deg, height_m))
        angle = np.radians(bearing_deg - turn_deg)
        x, y = 5000 + ground_m * np.sin(angle), 8000 + ground_m * np.cos(angle)
        pegs.append(Peg(name, "control", float(x), float(y), None, GnssPosition(float(lat), float(lon))))
    return tuple(pegs)


DEFINITIONS = {
    "local north": (LocalGrid(53.6, -5.0, 60.0, 1000.0, 2000.0, 27.5), ()),
    "local south": (LocalGrid(-37.6, 175.2, 310.0, 0.0, 0.0, -101.0), ()),
    "projected metres north": (ProjectedGrid("EPSG:3006", 80.0), ()),
    "projected metres south": (ProjectedGrid("EPSG:2193", 40.0), ()),
    "projected feet": (ProjectedGrid("EPSG:6539", 20.0), ()),
    "projected with a datum step": (ProjectedGrid("EPSG:2056", 450.0), ()),
    "projected west and south": (ProjectedGrid("EPSG:2053", 1500.0), ()),
    "fitted north": (FittedGrid("fixed", 60.0), pegs_about(-5.0, 53.6, 60.0, 33.0)),
    "fitted south": (FittedGrid("free", 310.0), pegs_about(175.2, -37.6, 310.0, 250.0)),
}
MIDDLES = {
    "projected metres north": (16.2, 59.3),
    "projected metres south": (170.1, -44.9),
    "projected feet": (-73.1, 40.85),
    "projected with a datum step": (8.9, 47.4),
    "projected west and south": (29.6, -29.8),
}
GRIDS = {name: build_grid(definition, pegs) for name, (definition, pegs) in DEFINITIONS.items()}


def middle_of(name: str) -> np.ndarray:
    """Course coordinates of a believable middle of the site."""
    grid = GRIDS[name]
    return grid.to_course(MIDDLES[name]) if name in MIDDLES else np.array(grid.centre_xy)


@pytest.fixture(params=list(GRIDS))
def named_grid(request: pytest.FixtureRequest) -> tuple[str, CourseGrid, np.ndarray]:
    """Each grid with its name and the course coordinates of the middle of its site."""
    return request.param, GRIDS[request.param], middle_of(request.param)
