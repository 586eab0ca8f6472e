"""Whether the GNSS positions of pegs agree with their course coordinates, on a grid not made from them."""

from __future__ import annotations

from fieldapp.formats.site_mistakes import Findings
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.geodesy.peg_agreement import away_m
from fieldapp.model import FittedGrid, Site

FARTHEST_M = 50.0
"""A peg's position may be a phone's; farther from its course coordinates it is a slip. Nearer, it gets a note."""


def check_peg_positions(site: Site, findings: Findings, grid: CourseGrid) -> None:
    """Note pegs whose two places are far apart; the fit itself judges the pegs of a fitted grid."""
    if isinstance(site.grid, FittedGrid):
        return
    for peg in site.pegs:
        if peg.position is None:
            continue
        lat, lon = peg.position.lat_deg, peg.position.lon_deg
        apart_m = away_m(grid, peg, lat, lon)
        if apart_m <= FARTHEST_M:
            continue
        swapped = abs(lon) <= 90 and away_m(grid, peg, lon, lat) <= FARTHEST_M
        findings.add(
            findings.path_of(peg),
            f"by its GNSS position it lies {_distance(apart_m)} from its course coordinates",
            "its latitude and longitude look swapped"
            if swapped
            else "check both, and that latitude and longitude are not swapped in it or in the grid's origin",
        )


def _distance(apart_m: float) -> str:
    if apart_m == float("inf"):
        return "beyond all reach"
    return f"{apart_m:.0f} m" if apart_m < 10_000 else f"{apart_m / 1000:,.0f} km"
