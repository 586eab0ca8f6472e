"""Drawings as other programs write them, for every test that brings one in."""

from __future__ import annotations

import io

import ezdxf

BULGES = ((0.0, 0.0, 0.4), (8.0, 0.0, 0.0), (8.0, 5.0, 1.0), (0.0, 5.0, 0.0))
"""A sand edge with two arcs, from its own corner: x, y, bulge (the tangent of a quarter of the arc's angle)."""


def bunker_dxf(x: float, y: float, unit: int = 6, scale: float = 1.0) -> bytes:
    """A DXF of a bunker at a place in metres: sand with two arcs, mound foot, drain, tree; `scale` units to a metre."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = unit
    space = document.modelspace()
    sand = [((x + dx) * scale, (y + dy) * scale, bulge) for dx, dy, bulge in BULGES]
    space.add_lwpolyline(sand, format="xyb", close=True, dxfattribs={"layer": "SAND"})
    foot = [(x - 4, y - 4), (x + 12, y - 4), (x + 12, y + 10), (x - 4, y + 10)]
    space.add_lwpolyline(
        [(a * scale, b * scale) for a, b in foot], close=True, dxfattribs={"layer": "MOUND_FOOT"}
    )
    space.add_line(
        ((x - 9) * scale, y * scale), ((x - 9) * scale, (y + 30) * scale), dxfattribs={"layer": "DRAIN"}
    )
    space.add_point(((x + 20) * scale, y * scale), dxfattribs={"layer": "TREE"})
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def large_dxf(megabytes: float) -> bytes:
    """A DXF of about so many megabytes: very many short lines in the old form that every program reads."""
    line = "0\nLINE\n8\nGRASS\n10\n{x}.5\n20\n2200.25\n11\n{x}.75\n21\n2201.5\n"
    one = len(line.format(x=1000000))
    lines = (line.format(x=1000000 + turn) for turn in range(int(megabytes * 1e6) // one))
    return ("0\nSECTION\n2\nENTITIES\n" + "".join(lines) + "0\nENDSEC\n0\nEOF\n").encode()
