"""Paint points as GeoJSON: positions in the coordinates, course coordinates in the properties."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from fieldapp.formats.geojson import feature_collection, point_feature


@dataclass(frozen=True)
class PlacedPoint:
    """A paint point in course coordinates (metres) and as a GNSS position; chainage in course metres."""

    bunker: str
    revision: str
    outline: str
    part: str
    number: int
    x: float
    y: float
    chainage_m: float
    lon_deg: float
    lat_deg: float


def points_geojson(points: Iterable[PlacedPoint], site_id: str, notes: Sequence[str]) -> Iterator[str]:
    """Yield a FeatureCollection piece by piece, with what its figures are in; `notes` are sentences about the site."""
    units = {"x": "metre", "y": "metre", "chainage_m": "metre", "plane": "course grid"}
    return feature_collection(map(_feature, points), site=site_id, units=units, notes=list(notes))


def _feature(point: PlacedPoint) -> str:
    properties = {
        "bunker": point.bunker,
        "part": point.part,
        "number": point.number,
        "x": round(point.x, 5),
        "y": round(point.y, 5),
        "chainage_m": round(point.chainage_m, 5),
        "outline": point.outline,
        "revision": point.revision,
    }
    return point_feature(point.lon_deg, point.lat_deg, properties)
