"""Drawings as GeoJSON (RFC 7946): longitude first; or other coordinates, where the file or its numbers say so."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, cast

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_found import ROLES, Found
from fieldapp.formats.drawing_out import DrawingOut, LineOut, SpotOut
from fieldapp.formats.drawing_system import named_system, system_of_numbers
from fieldapp.formats.drawing_text import text_of
from fieldapp.model import ControlPoint
from fieldapp.model.site import Role

MEMBER = "fieldapp"
"""Our foreign member (RFC 7946, section 6.1): of a collection {"coordinates": "course" or "lonlat", …}, of a feature
{"curve", "closed", "points": [[x, y], [x, y, role]…]}, the points that the outline is drawn through."""
LAYER_KEYS = ("layer", "part", "kind", "class", "type", "category")
NAME_KEYS = ("name", "outline", "title", "label", "id")
LINES = ("LineString", "MultiLineString", "Polygon", "MultiPolygon")
Feature = tuple[Any, dict[str, Any], Any]


def read_geojson_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read the lines, areas and points of a GeoJSON text; raises FormatError."""
    document = _document(content)
    found = Found("geojson", limits)
    for geometry, properties, own in _features(document):
        layer, name = _first(properties, LAYER_KEYS), _first(properties, NAME_KEYS)
        if isinstance(own, dict) and _add_own(found, layer, name, own):
            continue
        _add(found, layer, name, geometry, limits.most_depth)
    system, unit_m, reason = _system(document, found)
    found.reasons.append(reason)
    return found.drawing(unit_m, system)


def _document(content: bytes) -> dict[str, Any]:
    try:
        document = json.loads(text_of(content)[0])
    except json.JSONDecodeError as error:
        raise FormatError(f"Line {error.lineno} is no JSON ({error.msg}).") from error
    except (ValueError, RecursionError) as error:
        raise FormatError("Its JSON cannot be read; write it again.") from error
    if not isinstance(document, dict) or not isinstance(document.get("type"), str):
        raise FormatError("It is JSON, but no GeoJSON: it has no 'type'.")
    return document


def _features(document: dict[str, Any]) -> Iterator[Feature]:
    """Yield geometry, properties and our own member of every feature."""
    if document["type"] == "FeatureCollection":
        features = document.get("features")
        if not isinstance(features, list):
            raise FormatError("Its 'features' are no list.")
    else:
        features = [document]
    for feature in features:
        if not isinstance(feature, dict):
            raise FormatError("One of its features is no object.")
        if feature.get("type") == "Feature":
            named = feature.get("properties")
            properties = dict(named) if isinstance(named, dict) else {}
            properties.setdefault("id", feature.get("id"))
            yield feature.get("geometry"), properties, feature.get(MEMBER)
        else:
            yield feature, {}, None


def _first(properties: dict[str, Any], keys: tuple[str, ...]) -> str:
    lowered = {str(key).lower(): value for key, value in properties.items()}
    values = (lowered.get(key) for key in keys)
    return next((str(value) for value in values if isinstance(value, str | int | float) and value != ""), "")


def _add(found: Found, layer: str, name: str, geometry: Any, depth: int) -> None:
    if geometry is None:
        found.leave_out("features without a place")
        return
    if not isinstance(geometry, dict):
        raise FormatError("One of its geometries is no object.")
    kind, places = geometry.get("type"), geometry.get("coordinates")
    if kind == "GeometryCollection":
        if depth <= 0:
            raise FormatError("Its collections lie too deep in each other.")
        for one in _list(geometry.get("geometries")):
            _add(found, layer, name, one, depth - 1)
    elif kind in ("Point", "MultiPoint"):
        for place in [places] if kind == "Point" else _list(places):
            point = _point(place)
            found.add_spot(layer, name, point.x, point.y)
    elif kind in LINES:
        for ring in _rings(kind, places):
            found.add_line(layer, name, map(_point, _list(ring)), closed="Polygon" in kind)
    else:
        found.leave_out(f"geometries of the type {kind!r}")


def _rings(kind: str, places: Any) -> Iterator[Any]:
    if kind == "LineString":
        yield places
    elif kind == "MultiPolygon":
        for polygon in _list(places):
            yield from _list(polygon)
    else:
        yield from _list(places)


def _list(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise FormatError("One of its coordinates is no list.")
    return value


def _point(place: Any) -> ControlPoint:
    if not isinstance(place, list) or len(place) < 2 or not all(map(_is_number, place[:2])):
        raise FormatError("One of its places is not written as [number, number].")
    return ControlPoint(_float(place[0]), _float(place[1]))


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _float(value: float) -> float:
    try:
        return float(value)
    except OverflowError:
        return float("inf")


def _add_own(found: Found, layer: str, name: str, own: dict[str, Any]) -> bool:
    """Add an outline by the points it is drawn through; False where they are not there."""
    points, curve = own.get("points"), own.get("curve")
    if not isinstance(points, list) or curve not in ("straight", "smooth"):
        return False
    drawn = []
    for place in points:
        point = _point(place)
        role = place[2] if len(place) > 2 else "plain"
        drawn.append(ControlPoint(point.x, point.y, cast(Role, role) if role in ROLES else "plain"))
    found.add_line(layer, name, drawn, own.get("closed") is True, curve)
    return True


def _system(document: dict[str, Any], found: Found) -> tuple[str | None, float | None, str]:
    own = document.get(MEMBER)
    if isinstance(own, dict) and own.get("coordinates") == "course":
        return "course", 1.0, "The file says that its coordinates are course metres."
    if isinstance(own, dict) and own.get("coordinates") == "lonlat":
        return "lonlat", None, "The file says that its coordinates are longitude and latitude."
    crs = document.get("crs")
    properties = crs.get("properties") if isinstance(crs, dict) else None
    named = properties.get("name") if isinstance(properties, dict) else None
    if isinstance(named, str):
        return named_system(named, "The file names its system")
    system, reason = system_of_numbers(found.lines, found.spots)
    if system == "lonlat":
        reason += " GeoJSON wants just that (RFC 7946)."
    return system, None, reason


def geojson_of(drawing: DrawingOut) -> str:
    """Write a drawing as GeoJSON; in longitude and latitude it is as RFC 7946 has it, areas anticlockwise.

    A feature's foreign member holds the points that its line is drawn through.
    """
    features = [*(_line_feature(drawing, line) for line in drawing.lines), *_spot_features(drawing)]
    document = {
        "type": "FeatureCollection",
        "name": drawing.title,
        MEMBER: {"coordinates": drawing.coordinates, **dict(drawing.facts), "notes": list(drawing.notes)},
        "features": features,
    }
    return json.dumps(document, ensure_ascii=False, allow_nan=False) + "\n"


def _line_feature(drawing: DrawingOut, line: LineOut) -> dict[str, Any]:
    shape = line.shape
    places = [[drawing.rounded(x), drawing.rounded(y)] for x, y in line.trace]
    if shape.closed:
        places[-1] = places[0]
    geometry = {"type": "LineString", "coordinates": places}
    if shape.closed:
        geometry = {"type": "Polygon", "coordinates": [places[::-1]]}
    points = [
        [drawing.rounded(at.x), drawing.rounded(at.y), *([] if at.role == "plain" else [at.role])]
        for at in shape.points
    ]
    own = {"curve": shape.curve, "closed": shape.closed, "points": points}
    return {"type": "Feature", "properties": _properties(line), "geometry": geometry, MEMBER: own}


def _spot_features(drawing: DrawingOut) -> Iterator[dict[str, Any]]:
    for spot in drawing.spots:
        geometry = {"type": "Point", "coordinates": [drawing.rounded(spot.x), drawing.rounded(spot.y)]}
        yield {"type": "Feature", "properties": _properties(spot), "geometry": geometry}


def _properties(thing: LineOut | SpotOut) -> dict[str, str]:
    told = {"layer": thing.layer, "name": thing.name}
    return {**told, "note": thing.words} if thing.words else told
