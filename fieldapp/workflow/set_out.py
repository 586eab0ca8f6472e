"""Setting out: the bundle of a hole, the paint points of a site, the yardage at a place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np

from fieldapp.errors import PositionError
from fieldapp.formats.bundle import build_bundle
from fieldapp.formats.points_geojson import PlacedPoint
from fieldapp.geodesy.distance import check_position, geodesic, ground_distance_m
from fieldapp.geodesy.grid import CourseGrid
from fieldapp.model import Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.line_of_play import line_of_play
from fieldapp.play.yardage import yardage
from fieldapp.store.engine import Store
from fieldapp.workflow.records import standing_marks
from fieldapp.workflow.sites import hole_description, laid_out, standing_site
from fieldapp.workflow.standing_pegs import pegs_of

FARTHEST_M = 20_000.0


@dataclass(frozen=True)
class YardageAt:
    """How far a place is from a tee, ground metres; offset is right positive."""

    straight_m: float
    along_m: float
    offset_m: float


def bundle_of_hole(store: Store, site_id: str, hole: int, now: datetime) -> dict[str, Any]:
    """Return everything a phone needs to set out a hole; raises NotFoundError."""
    standing = standing_site(store, site_id)
    description = hole_description(standing, hole, now.astimezone(UTC).date())
    pegs = pegs_of(store, standing.site)
    return build_bundle(description, standing_marks(store, site_id, hole), now, pegs)


def points_of_site(site: Site, grid: CourseGrid, bunker_id: str | None = None) -> Iterator[PlacedPoint]:
    """Yield the paint points of a site, or of one bunker, in the order of the site; raises NotFoundError."""
    bunkers = site.bunkers if bunker_id is None else (site.bunker(bunker_id),)
    drawn = [laid_out(site, grid, bunker) for bunker in bunkers]
    positions = grid.outlines_to_gnss([outline.points.xy for bunker in drawn for outline in bunker.outlines])
    return _placed(drawn, positions)


def _placed(drawn: list[LaidOutBunker], positions: list[Any]) -> Iterator[PlacedPoint]:
    outlines = ((bunker.bunker, outline) for bunker in drawn for outline in bunker.outlines)
    for (bunker, outline), lonlat in zip(outlines, positions, strict=True):
        points = zip(outline.points.xy, outline.points.chainage_m, lonlat, strict=True)
        for number, ((x, y), chainage, (lon, lat)) in enumerate(points, 1):
            yield PlacedPoint(
                bunker=bunker.id,
                revision=bunker.revision,
                outline=outline.id,
                part=outline.part,
                number=number,
                x=float(x),
                y=float(y),
                chainage_m=float(chainage),
                lon_deg=float(lon),
                lat_deg=float(lat),
            )


def yardage_at(site: Site, grid: CourseGrid, tee_id: str, lat_deg: float, lon_deg: float) -> YardageAt:
    """Return the yardage of a place from a tee.

    The straight distance is the geodesic at ground level between the tee's own position and the place. Raises
    NotFoundError and, for a place that cannot be right, PositionError.
    """
    tee = site.tee(tee_id)
    check_position(lat_deg, lon_deg)
    straight = _ground_distance(grid, tee, lat_deg, lon_deg)
    if straight > FARTHEST_M:
        raise PositionError(_far_away(grid, tee, lat_deg, lon_deg, straight))
    xy = grid.to_course(np.array([lon_deg, lat_deg]))
    scale = float(grid.ground_scale_at((xy + np.array([tee.x, tee.y])) / 2))
    found = yardage(line_of_play(site, tee), xy, scale)
    return YardageAt(straight, float(found.along_m), float(found.offset_m))


def _ground_distance(grid: CourseGrid, tee: Tee, lat_deg: float, lon_deg: float) -> float:
    tee_lonlat = grid.to_gnss(np.array([tee.x, tee.y]))
    along_ellipsoid_m = geodesic(tee_lonlat, np.array([lon_deg, lat_deg])).distance_m
    return float(ground_distance_m(along_ellipsoid_m, grid.ground_height_m, float(tee_lonlat[1])))


def _far_away(grid: CourseGrid, tee: Tee, lat_deg: float, lon_deg: float, straight_m: float) -> str:
    what = f"The place {lat_deg:g}, {lon_deg:g} is {straight_m / 1000:,.0f} km from tee '{tee.id}'"
    if abs(lon_deg) <= 90 and _ground_distance(grid, tee, lon_deg, lat_deg) <= FARTHEST_M:
        return f"{what}; latitude and longitude look swapped, so give latitude first."
    return f"{what}, too far to be on this course; check the place (latitude first) and the site."
