"""Drawings as GPX 1.0 and 1.1: tracks and routes are lines, waypoints are spots, in longitude and latitude."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_found import Found, plain
from fieldapp.formats.drawing_out import DrawingOut, LineOut, SpotOut
from fieldapp.formats.drawing_text import text_of
from fieldapp.formats.drawing_xml import xml_root, xml_text

TRACKS, ROUTES, WAYPOINTS = "tracks", "routes", "waypoints"


def read_gpx_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read a GPX; each segment of a track is a line of its own. Raises FormatError."""
    xml_root(content, limits)
    found = Found("gpx", limits)
    gpx = _parsed(text_of(content)[0])
    for track in gpx.tracks:
        for segment in track.segments:
            _add_line(found, track.type or TRACKS, track.name, segment.points)
    for route in gpx.routes:
        _add_line(found, route.type or ROUTES, route.name, route.points)
    for point in gpx.waypoints:
        found.add_spot(point.type or WAYPOINTS, point.name or "", point.longitude, point.latitude)
    found.reasons.append("GPX is always in longitude and latitude (WGS 84).")
    found.remarks.append("Heights and times of a GPX are not taken.")
    return found.drawing(None, "lonlat")


def _parsed(text: str) -> Any:
    import gpxpy

    try:
        return gpxpy.parse(text)
    except Exception as fault:
        # gpxpy lets errors of every kind through where a value is broken
        raise FormatError(
            "Its GPX is broken; write it anew from the receiver or program that made it."
        ) from fault


def _add_line(found: Found, layer: str, name: str | None, points: Iterable[Any]) -> None:
    found.add_line(
        layer, name or "", plain((point.longitude, point.latitude) for point in points), closed=False
    )


def gpx_of(drawing: DrawingOut) -> Iterator[str]:
    """Write a drawing in longitude and latitude as GPX 1.1, piece by piece: lines as tracks, spots as waypoints."""
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield '<gpx version="1.1" creator="fieldapp" xmlns="http://www.topografix.com/GPX/1/1">\n'
    yield f"<metadata>{_element('name', drawing.title)}{_element('desc', '; '.join(drawing.told))}</metadata>\n"
    for spot in drawing.spots:
        yield f"<wpt {_place(drawing, spot.x, spot.y)}>{_named(spot)}</wpt>\n"
    for line in drawing.lines:
        yield f"<trk>{_named(line)}<trkseg>\n"
        for x, y in line.trace:
            yield f"<trkpt {_place(drawing, x, y)}/>\n"
        yield "</trkseg></trk>\n"
    yield "</gpx>\n"


def _place(drawing: DrawingOut, x: float, y: float) -> str:
    return f'lat="{drawing.written(y)}" lon="{drawing.written(x)}"'


def _named(thing: LineOut | SpotOut) -> str:
    words = _element("desc", thing.words) if thing.words else ""
    return f"{_element('name', thing.name)}{words}{_element('type', thing.layer)}"


def _element(name: str, text: str) -> str:
    return f"<{name}>{xml_text(text)}</{name}>"
