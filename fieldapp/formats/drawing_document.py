"""A drawing as JSON, as it is held between being read and being kept. Format fieldapp-drawing, version 1."""

from __future__ import annotations

from typing import Any

from fieldapp.errors import FormatError
from fieldapp.formats.draft import point_document
from fieldapp.formats.drawing import Drawing, DrawnLine, DrawnSpot
from fieldapp.model import ControlPoint

FORMAT, VERSION = "fieldapp-drawing", 1


def drawing_document(drawing: Drawing) -> dict[str, Any]:
    """Return a drawing as a JSON object, its coordinates as they are in the file."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "kind": drawing.kind,
        "unit_m": drawing.unit_m,
        "system": drawing.system,
        "reasons": list(drawing.reasons),
        "remarks": list(drawing.remarks),
        "lines": [
            [line.layer, line.name, line.curve, line.closed, [point_document(point) for point in line.points]]
            for line in drawing.lines
        ],
        "spots": [[spot.layer, spot.name, spot.x, spot.y] for spot in drawing.spots],
    }


def read_drawing_document(document: dict[str, Any]) -> Drawing:
    """Return the drawing that `drawing_document` wrote; raises FormatError for another version."""
    if document.get("format") != FORMAT or document.get("version") != VERSION:
        raise FormatError("This import was read by another version of fieldapp; send the file again.")
    return Drawing(
        kind=document["kind"],
        lines=tuple(
            DrawnLine(layer, name, tuple(ControlPoint(*point) for point in points), curve, closed)
            for layer, name, curve, closed, points in document["lines"]
        ),
        spots=tuple(DrawnSpot(*spot) for spot in document["spots"]),
        unit_m=document["unit_m"],
        system=document["system"],
        reasons=tuple(document["reasons"]),
        remarks=tuple(document["remarks"]),
    )
