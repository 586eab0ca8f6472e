"""Drawings written as DXF: straight lines and arcs as polylines with bulges, smooth curves as splines, exactly.

Centripetal Catmull-Rom pieces are cubics, so a spline of degree 3 whose knots are threefold holds them as they are. R12
has no splines; there they are traced.
"""

from __future__ import annotations

import io
import logging
import math
import re
from collections.abc import Iterator, Sequence
from typing import Any, Literal

import numpy as np

from fieldapp.formats.drawing_out import DrawingOut, LineOut
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.model.keep_clear import SERVICES
from fieldapp.outline.curve import drawn_runs
from fieldapp.outline.pieces import FloatArray, Pieces, join, smooth_pieces

logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
Version = Literal["R2010", "R12"]
METRES, RED, PLAIN = 6, 1, 7
NOTES = "notes"
TEXT_HEIGHT_M, TEXT_GAP_M, FROM_DRAWING_M = 0.4, 0.8, 5.0
POINT_TEXT_M = 0.2
_NOT_IN_A_NAME = re.compile(r"[<>/\\\":;?*|=,'`\s]+")
_NOT_IN_AN_R12_NAME = re.compile(r"[^A-Za-z0-9_$-]+")
Vertex = tuple[float, float, float]


def dxf_of(drawing: DrawingOut, version: Version = "R2010") -> bytes:
    """Write a drawing in course metres as ascii DXF, a layer for each part, what is told of it as texts beside it."""
    from ezdxf.filemanagement import new

    document = new(version)
    if version != "R12":
        document.header["$INSUNITS"] = METRES
        document.header["$MEASUREMENT"] = 1
    space = document.modelspace()
    layers = [*(line.layer for line in drawing.lines), *(spot.layer for spot in drawing.spots), NOTES]
    for layer in dict.fromkeys(layers):
        document.layers.add(_layer(layer, version), color=RED if layer in SERVICES else PLAIN)
    for line in drawing.lines:
        _add_line(space, line, version)
    for spot in drawing.spots:
        attributes = {"layer": _layer(spot.layer, version)}
        space.add_point((spot.x, spot.y), dxfattribs=attributes)
        if spot.name:
            _add_text(space, spot.name, (spot.x + POINT_TEXT_M, spot.y), attributes["layer"])
    x, y = _beside(drawing)
    for number, words in enumerate(drawing.told):
        _add_text(space, words, (x, y - TEXT_GAP_M * number), NOTES)
    written = io.StringIO()
    document.write(written)
    return written.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _layer(name: str, version: Version) -> str:
    if version == "R12":
        return _NOT_IN_AN_R12_NAME.sub("_", name)[:31] or "0"
    return _NOT_IN_A_NAME.sub(" ", name).strip()[:200] or "0"


def _add_text(space: Any, words: str, place: tuple[float, float], layer: str) -> None:
    attributes = {"layer": layer, "height": TEXT_HEIGHT_M, "insert": place}
    space.add_text(" ".join(words.split())[:250], dxfattribs=attributes)


def _beside(drawing: DrawingOut) -> tuple[float, float]:
    """Return where the texts begin: to the right of the drawing, at its top."""
    places = [(x, y) for line in drawing.lines for x, y in line.trace]
    places += [(spot.x, spot.y) for spot in drawing.spots]
    if not places:
        return 0.0, 0.0
    return max(x for x, _ in places) + FROM_DRAWING_M, max(y for _, y in places)


def _add_line(space: Any, line: LineOut, version: Version) -> None:
    shape, attributes = line.shape, {"layer": _layer(line.layer, version)}
    if shape.curve == "straight":
        _add_bulged(space, _vertices(shape), shape.closed, version, attributes)
    elif version == "R12":
        places = line.trace[:-1] if shape.closed else line.trace
        _add_bulged(space, [(x, y, 0.0) for x, y in places.tolist()], shape.closed, version, attributes)
    else:
        for pieces in _drawn(shape):
            if isinstance(pieces, Pieces):
                _add_spline(space, pieces, attributes)
            else:
                _add_bulged(space, pieces, False, version, attributes)


def _add_bulged(
    space: Any, vertices: Sequence[Vertex], closed: bool, version: Version, attributes: dict[str, str]
) -> None:
    if version == "R12":
        space.add_polyline2d(vertices, format="xyb", close=closed, dxfattribs=attributes)
    else:
        space.add_lwpolyline(vertices, format="xyb", close=closed, dxfattribs=attributes)


def _vertices(shape: DrawnShape) -> list[Vertex]:
    """Return the vertices of straight lines and arcs; an arc has a vertex at its 'through' point too."""
    runs = drawn_runs(shape)
    vertices = [vertex for run in runs for vertex in _run_vertices(run)[:-1]]
    return vertices if shape.closed else [*vertices, (runs[-1][-1].x, runs[-1][-1].y, 0.0)]


def _run_vertices(run: Sequence[ControlPoint]) -> list[Vertex]:
    if len(run) == 3 and run[1].role == "through":
        bulges = [bulge_of(run[0], run[1], run[2]), bulge_of(run[1], run[2], run[0]), 0.0]
    else:
        bulges = [0.0] * len(run)
    return [(at.x, at.y, bulge) for at, bulge in zip(run, bulges, strict=True)]


def bulge_of(start: ControlPoint, end: ControlPoint, beyond: ControlPoint) -> float:
    """Return the bulge of the arc from `start` to `end` whose circle goes on through `beyond`.

    The angle at `beyond` is half of the one that the arc sweeps (inscribed angle), so its half is the quarter wanted.
    """
    to_start = start.x - beyond.x, start.y - beyond.y
    to_end = end.x - beyond.x, end.y - beyond.y
    cross = to_start[0] * to_end[1] - to_start[1] * to_end[0]
    angle = math.atan2(cross, to_start[0] * to_end[0] + to_start[1] * to_end[1])
    return math.tan(angle / 2)


def _drawn(shape: DrawnShape) -> Iterator[Pieces | list[Vertex]]:
    """Yield the cubics of smooth stretches, as many as lie between two arcs together, and the vertices of arcs."""
    runs = drawn_runs(shape)
    if shape.closed and len(runs) == 1 and runs[0][0].role != "corner":
        yield smooth_pieces(_xy(runs[0][:-1]), closed=True)
        return
    smooth: list[Pieces] = []
    for run in runs:
        if run[1].role != "through":
            smooth.append(smooth_pieces(_xy(run), closed=False))
            continue
        if smooth:
            yield join(smooth)
            smooth = []
        yield _run_vertices(run)
    if smooth:
        yield join(smooth)


def _add_spline(space: Any, pieces: Pieces, attributes: dict[str, str]) -> None:
    """Add cubics as one spline; the controls of a piece follow from its powers of u."""
    first, second, third, fourth = pieces.cubic.transpose(1, 0, 2)
    controls = np.stack([first, first + second / 3, first + 2 * second / 3 + third / 3], axis=1).reshape(
        -1, 2
    )
    last = first[-1] + second[-1] + third[-1] + fourth[-1]
    places = np.concatenate([controls, [last]]) + pieces.origin
    count = len(pieces)
    knots = [0.0, *(float(knot) for knot in range(count + 1) for _ in range(3)), float(count)]
    space.add_open_spline(
        [(x, y, 0.0) for x, y in places.tolist()], degree=3, knots=knots, dxfattribs=attributes
    )


def _xy(points: Sequence[ControlPoint]) -> FloatArray:
    return np.array([(point.x, point.y) for point in points])
