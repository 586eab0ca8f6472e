"""GeoJSON (RFC 7946) as text: Point features whose coordinates always carry ten decimals, about 0.01 mm."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping

DECIMALS = 10


def point_feature(lon_deg: float, lat_deg: float, properties: Mapping[str, object]) -> str:
    """Return one Point feature; longitude comes first, as in every array."""
    return (
        '{"type":"Feature","geometry":{"type":"Point","coordinates":'
        f"[{lon_deg:.{DECIMALS}f},{lat_deg:.{DECIMALS}f}]}},"
        f'"properties":{json.dumps(properties, allow_nan=False)}}}'
    )


def feature_collection(features: Iterable[str], **members: object) -> Iterator[str]:
    """Yield a FeatureCollection piece by piece; `members` are written before the features."""
    yield '{"type":"FeatureCollection",'
    for name, value in members.items():
        yield f"{json.dumps(name)}:{json.dumps(value, allow_nan=False)},"
    yield '"features":['
    between = "\n"
    for feature in features:
        yield between + feature
        between = ",\n"
    yield "\n]}\n"
