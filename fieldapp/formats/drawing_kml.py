"""Drawings as KML 2.2 and 2.3, and KMZ: lines, areas and points of placemarks, longitude first.

OGC 12-007r2, KML 2.3: a coordinate is longitude, latitude and altitude with commas between and no blank in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from xml.etree.ElementTree import Element

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_found import NOT_A_PLACE, Found
from fieldapp.formats.drawing_out import DrawingOut, LineOut, SpotOut
from fieldapp.formats.drawing_xml import children, tag, text_in, xml_root, xml_text
from fieldapp.formats.drawing_zip import unpacked
from fieldapp.model import ControlPoint

FOLDERS = ("kml", "Document", "Folder")
TOLD = ("GroundOverlay", "ScreenOverlay", "PhotoOverlay", "NetworkLink", "Tour")
LEFT_OUT = ("Model", "Track", "MultiTrack")


def read_kmz_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read the KML in a KMZ: 'doc.kml', or else the first there is; raises FormatError."""
    texts = unpacked(content, (".kml",), limits)
    if not texts:
        raise FormatError("No KML is in it.")
    first = next((name for name in texts if name.lower() == "doc.kml"), next(iter(texts)))
    return read_kml_drawing(texts[first], limits)


def read_kml_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read a KML; raises FormatError. A folder's name is the layer of what is in it."""
    found = Found("kml", limits)
    _Reader(found).read(xml_root(content, limits), "")
    found.reasons.append("KML is always in longitude and latitude (WGS 84).")
    return found.drawing(None, "lonlat")


class _Reader:
    def __init__(self, found: Found) -> None:
        self._found = found
        self._told_heights = False

    def read(self, element: Element, layer: str) -> None:
        """Read what lies in a document or folder."""
        for child in element:
            kind = tag(child)
            if kind in FOLDERS:
                self.read(child, (text_in(child, "name") if kind == "Folder" else "") or layer)
            elif kind == "Placemark":
                name = text_in(child, "name")
                for part in child:
                    self._geometry(part, layer, name)
            elif kind in TOLD:
                self._found.leave_out(kind)

    def _geometry(self, element: Element, layer: str, name: str) -> None:
        kind = tag(element)
        if kind == "MultiGeometry":
            for part in element:
                self._geometry(part, layer, name)
        elif kind == "Polygon":
            edges = [*children(element, "outerBoundaryIs"), *children(element, "innerBoundaryIs")]
            for ring in (ring for edge in edges for ring in children(edge, "LinearRing")):
                self._found.add_line(layer, name, self._places(ring), closed=True)
        elif kind in ("LineString", "LinearRing"):
            self._found.add_line(layer, name, self._places(element), closed=kind == "LinearRing")
        elif kind == "Point":
            for place in self._places(element)[:1]:
                self._found.add_spot(layer, name, place.x, place.y)
        elif kind in LEFT_OUT:
            self._found.leave_out(kind)

    def _places(self, element: Element) -> list[ControlPoint]:
        places = []
        for word in text_in(element, "coordinates").split():
            numbers = word.split(",")
            try:
                places.append(ControlPoint(float(numbers[0]), float(numbers[1])))
                height = float(numbers[2]) if len(numbers) > 2 and numbers[2] else 0.0
            except (ValueError, IndexError):
                self._found.leave_out(NOT_A_PLACE)
                continue
            if height and not self._told_heights:
                self._told_heights = True
                self._found.remarks.append("Heights (altitudes) of a KML are not taken.")
        return places


def kml_of(drawing: DrawingOut) -> Iterator[str]:
    """Write a drawing in longitude and latitude as KML, piece by piece: a folder for each layer."""
    yield '<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2"><Document>\n'
    yield f"<name>{xml_text(drawing.title)}</name><description>{xml_text('; '.join(drawing.told))}</description>\n"
    yield '<Style id="line"><LineStyle><width>2</width></LineStyle><PolyStyle><fill>0</fill></PolyStyle></Style>\n'
    things: list[LineOut | SpotOut] = [*drawing.lines, *drawing.spots]
    for layer in dict.fromkeys(thing.layer for thing in things):
        yield f"<Folder><name>{xml_text(layer)}</name>\n"
        for thing in things:
            if thing.layer == layer:
                yield from _placemark(drawing, thing)
        yield "</Folder>\n"
    yield "</Document></kml>\n"


def _placemark(drawing: DrawingOut, thing: LineOut | SpotOut) -> Iterator[str]:
    words = f"<description>{xml_text(thing.words)}</description>" if thing.words else ""
    yield f"<Placemark><name>{xml_text(thing.name)}</name>{words}<styleUrl>#line</styleUrl>"
    if isinstance(thing, SpotOut):
        yield f"<Point>{_coordinates(drawing, [(thing.x, thing.y)])}</Point>"
    elif thing.shape.closed:
        ring = [*thing.trace[:-1].tolist(), thing.trace[0].tolist()][::-1]
        yield "<Polygon><outerBoundaryIs><LinearRing>"
        yield f"{_coordinates(drawing, ring)}</LinearRing></outerBoundaryIs></Polygon>"
    else:
        yield f"<LineString>{_coordinates(drawing, thing.trace.tolist())}</LineString>"
    yield "</Placemark>\n"


def _coordinates(drawing: DrawingOut, places: Iterable[Sequence[float]]) -> str:
    words = " ".join(f"{drawing.written(x)},{drawing.written(y)}" for x, y in places)
    return f"<coordinates>{words}</coordinates>"
