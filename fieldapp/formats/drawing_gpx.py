"""Drawings as GPX 1.0 and 1.1: tracks and routes are lines, waypoints are spots, in longitude and latitude."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_found import Found, plain
from fieldapp.formats.drawing_text import text_of
from fieldapp.formats.drawing_xml import xml_root

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
