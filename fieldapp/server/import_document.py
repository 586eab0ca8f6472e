"""Imports as JSON: how far one has come, what was found in it, what it comes to."""

from __future__ import annotations

from typing import Any

from fieldapp.formats.draft import point_document
from fieldapp.formats.drawing import Drawing
from fieldapp.model import DrawnShape, Outline
from fieldapp.server.import_asking import reading_document
from fieldapp.workflow.drawing_placing import PlacedLine
from fieldapp.workflow.importing import ImportPreview
from fieldapp.workflow.imports import ImportState

MOST_LINES = 500


def state_document(found: ImportState) -> dict[str, Any]:
    """Return how far an import has come."""
    return {key: value for key, value in vars(found).items() if key != "site_id"}


def found_document(drawing: Drawing, looked: ImportPreview) -> dict[str, Any]:
    """Return what was found in a drawing, and how it is best read, with the reasons."""
    guess = looked.guess
    return {
        "kind": drawing.kind,
        "layers": [vars(layer) for layer in looked.layers],
        "says": list(drawing.reasons),
        "remarks": list(drawing.remarks),
        "reading": reading_document(guess.reading),
        "why": {"unit": guess.unit_why, "order": guess.order_why, "system": guess.system_why},
    }


def preview_document(looked: ImportPreview) -> dict[str, Any]:
    """Return what an import comes to; the nearest lines first where there are very many."""
    placed, made = looked.placed, looked.made
    lines = [] if placed is None else sorted(placed.lines, key=lambda line: (line.away_m, line.index))
    return {
        "reading": reading_document(looked.reading),
        "lines": [_line(line) for line in lines[:MOST_LINES]],
        "lines_in_all": len(lines),
        "away_m": None if placed is None else round(placed.away_m, 3),
        "outlines": [] if made is None else [_outline(outline) for outline in made.outlines],
        "keep_clear": [] if made is None else [vars(thing) for thing in made.things],
        "told": list(looked.told),
        "faults": list(looked.faults),
    }


def _line(line: PlacedLine) -> dict[str, Any]:
    told = {"index": line.index, "layer": line.layer, "name": line.name, "away_m": round(line.away_m, 2)}
    return told | _shape(line.shape)


def _outline(outline: Outline) -> dict[str, Any]:
    assert isinstance(outline.shape, DrawnShape)
    return {"id": outline.id, "part": outline.part} | _shape(outline.shape)


def _shape(shape: DrawnShape) -> dict[str, Any]:
    points = [point_document(point) for point in shape.points]
    return {"curve": shape.curve, "closed": shape.closed, "points": points}
