"""Drawings as DXF, R12 to now, ascii and binary: the lines, curves and points of model space, blocks taken apart."""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import BINARY_DXF, Drawing, DrawingLimits
from fieldapp.formats.drawing_chains import Run, joined
from fieldapp.formats.drawing_columns import COURSE_WORDS
from fieldapp.formats.drawing_dxf_shapes import (
    NotDrawableError,
    bulged,
    circle,
    ellipse,
    round_arc,
    spline,
)
from fieldapp.formats.drawing_found import Found, clean, plain
from fieldapp.formats.drawing_system import system_of_numbers
from fieldapp.model import ControlPoint

UNITS = {
    1: (0.0254, "inches"),
    2: (0.3048, "feet"),
    3: (1609.344, "miles"),
    4: (0.001, "millimetres"),
    5: (0.01, "centimetres"),
    6: (1.0, "metres"),
    7: (1000.0, "kilometres"),
    10: (0.9144, "yards"),
    14: (0.1, "decimetres"),
    21: (1200 / 3937, "US survey feet"),
}
"""What $INSUNITS means: metres per unit, and its name (Autodesk, DXF Reference, HEADER variables)."""
TEXTS = ("TEXT", "MTEXT", "ATTRIB")
HEAD, MENDED = 200_000, 4_000_000
"""Bytes in which the header is sought, and of the largest file that is mended where it is broken."""
_UNITS = re.compile(rb"\$INSUNITS\s+70\s+(\d{1,4})\s")
logging.getLogger("ezdxf").setLevel(logging.CRITICAL)


def read_dxf_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read a DXF; raises FormatError.

    A file over `most_dxf_bytes` is gone through entity by entity, since the whole takes some ten times its size in
    memory: its blocks are left out.
    """
    binary = content.startswith(BINARY_DXF)
    if binary and len(content) > limits.most_dxf_bytes:
        raise FormatError(
            f"A binary DXF may have {limits.most_dxf_bytes / 1e6:,.1f} MB at most; save it as ascii DXF, or keep only "
            "the layers that are needed."
        )
    found = Found("dxf", limits)
    whole = len(content) <= limits.most_dxf_bytes
    try:
        code, entities = _whole(content) if whole else _streamed(content)
        unit_m = _unit(found, code)
        _Reader(found, limits, unit_m).read(entities)
    except (FormatError, MemoryError):
        raise
    except Exception as fault:
        # ezdxf raises errors of every kind at broken tags
        raise FormatError(
            f"Its DXF is broken ({clean(type(fault).__name__)}); save it anew from the program that made it."
        ) from fault
    if not whole:
        found.remarks.append(
            "The file is large, so its blocks were left out; explode them if they are needed."
        )
    system, reason = system_of_numbers(found.lines, found.spots)
    if COURSE_WORDS in found.notes:
        return _of_course(found)
    found.reasons.append(reason)
    return found.drawing(None if system else unit_m, system)


def _of_course(found: Found) -> Drawing:
    found.reasons.append("A text in it says that its coordinates are course metres.")
    return found.drawing(1.0, "course")


def _unit(found: Found, code: int) -> float | None:
    if code in UNITS:
        unit_m, name = UNITS[code]
        found.reasons.append(f"The file says that its unit is {name} ($INSUNITS {code}).")
        return unit_m
    found.reasons.append(f"The file does not say its unit ($INSUNITS {code}).")
    return None


def _whole(content: bytes) -> tuple[int, Iterable[Any]]:
    document = _document(content)
    code = document.header.get("$INSUNITS", 0) if content.startswith(BINARY_DXF) else _code_of_unit(content)
    return code if isinstance(code, int) else 0, document.modelspace()


def _code_of_unit(content: bytes) -> int:
    """Return what the file itself says of its unit; ezdxf takes metres where it says nothing."""
    units = _UNITS.search(content[:HEAD])
    return int(units[1]) if units else 0


def _document(content: bytes) -> Any:
    """Load a DXF as it should be; a small one that is not is mended first, which takes three times as long."""
    from ezdxf import filemanagement, recover
    from ezdxf.document import Drawing as Document
    from ezdxf.lldxf.const import DXFError
    from ezdxf.lldxf.tagger import binary_tags_loader

    if content.startswith(BINARY_DXF):
        return Document.load(binary_tags_loader(content))
    try:
        info = filemanagement.dxf_stream_info(io.StringIO(content[:HEAD].decode("latin-1")))
        return filemanagement.read(
            io.TextIOWrapper(io.BytesIO(content), encoding=info.encoding, errors="surrogateescape")
        )
    except (DXFError, ValueError, LookupError, AttributeError):
        if len(content) > MENDED:
            raise
        return recover.read(io.BytesIO(content))[0]


def _streamed(content: bytes) -> tuple[int, Iterable[Any]]:
    return _code_of_unit(content), _one_by_one(content)


def _one_by_one(content: bytes) -> Iterator[Any]:
    """Yield the entities of model space, each alone in memory; ezdxf wants a file for that."""
    from ezdxf.addons import iterdxf

    with TemporaryDirectory() as folder:
        file = Path(folder) / "drawing.dxf"
        file.write_bytes(content)
        yield from iterdxf.modelspace(str(file))


class _Reader:
    """Reads entities into what is found. Open lines and arcs of a layer are kept and joined at the end."""

    def __init__(self, found: Found, limits: DrawingLimits, unit_m: float | None) -> None:
        self._found, self._limits, self._unit_m = found, limits, unit_m
        self._runs: dict[tuple[str, str], list[Run]] = {}
        self._steps = 0

    def read(self, entities: Iterable[Any]) -> None:
        """Read all entities; raises FormatError."""
        for entity in entities:
            self._one(entity, "", "", self._limits.most_depth)
        for (layer, name), runs in self._runs.items():
            for chain in joined(runs):
                self._found.add_line(layer, name, chain.points, chain.closed, chain.curve)

    def _one(self, entity: Any, layer: str, name: str, depth: int) -> None:
        self._steps += 1
        if self._steps > self._limits.most_points:
            raise FormatError(
                f"It has more than {self._limits.most_points:,} entities, those of its blocks counted."
            )
        own = str(entity.dxf.get("layer", "0"))
        layer = layer if own == "0" and layer else own
        kind = entity.dxftype()
        if kind == "INSERT":
            self._insert(entity, layer, depth)
            return
        reader = getattr(self, f"_{kind.lower()}", None) if kind in READ else None
        if reader is None:
            self._leave_out(entity, kind)
            return
        try:
            reader(entity, layer, name)
        except NotDrawableError as fault:
            self._found.leave_out(str(fault))
        except (FormatError, MemoryError):
            raise
        except Exception:
            # a broken entity does not cost the others
            self._found.leave_out(f"{kind} that is broken")

    def _leave_out(self, entity: Any, kind: str) -> None:
        if kind in TEXTS:
            self._found.note(str(entity.plain_text() if kind == "MTEXT" else entity.dxf.get("text", "")))
        self._found.leave_out(kind)

    def _insert(self, entity: Any, layer: str, depth: int) -> None:
        if depth <= 0:
            raise FormatError("Its blocks lie too deep in each other.")
        if entity.doc is None or entity.block() is None:
            self._found.leave_out("INSERT of a block that is not there")
            return
        name = next((clean(one.dxf.get("text", "")) for one in entity.attribs), "") or clean(entity.dxf.name)
        for placed in entity.multi_insert() if entity.mcount > 1 else (entity,):
            self._found.count_points(1)
            for part in placed.virtual_entities():
                self._one(part, layer, name, depth - 1)

    def _line(self, entity: Any, layer: str, name: str) -> None:
        ends = plain([entity.dxf.start, entity.dxf.end])
        self._add(layer, name, ends, False)

    def _arc(self, entity: Any, layer: str, name: str) -> None:
        self._add(layer, name, round_arc(entity), False)

    def _circle(self, entity: Any, layer: str, name: str) -> None:
        self._add(layer, name, circle(entity), True)

    def _ellipse(self, entity: Any, layer: str, name: str) -> None:
        self._add(layer, name, *ellipse(entity, self._unit_m))

    def _spline(self, entity: Any, layer: str, name: str) -> None:
        self._add(layer, name, *spline(entity, self._unit_m, self._limits.most_points))

    def _lwpolyline(self, entity: Any, layer: str, name: str) -> None:
        self._found.count_points(len(entity))
        flat = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
        self._bulged(entity, flat, bool(entity.closed), layer, name, entity.dxf.get("elevation", 0.0))

    def _polyline(self, entity: Any, layer: str, name: str) -> None:
        if entity.is_poly_face_mesh or entity.is_polygon_mesh:
            raise NotDrawableError("POLYLINE that is a surface")
        vertices = [vertex for vertex in entity.vertices if not vertex.dxf.flags & 16]
        self._found.count_points(len(vertices))
        places = [vertex.dxf.location for vertex in vertices]
        if entity.is_3d_polyline:
            self._add(layer, name, plain(places), bool(entity.is_closed))
            return
        flat = [
            (at.x, at.y, vertex.dxf.get("bulge", 0.0)) for at, vertex in zip(places, vertices, strict=True)
        ]
        self._bulged(entity, flat, bool(entity.is_closed), layer, name, 0.0)

    def _point(self, entity: Any, layer: str, name: str) -> None:
        at = entity.dxf.location
        self._found.add_spot(layer, name, float(at.x), float(at.y))

    def _bulged(
        self,
        entity: Any,
        flat: list[tuple[float, float, float]],
        closed: bool,
        layer: str,
        name: str,
        level: float,
    ) -> None:
        """Add a polyline; where it lies on its back its bulges, seen from above, turn the other way."""
        ocs = entity.ocs()
        if ocs.transform:
            seen = [ocs.to_wcs((x, y, level)) for x, y, _ in flat]
            turned = -1.0 if ocs.uz.z < 0 else 1.0
            flat = [(at.x, at.y, turned * bulge) for at, (_, _, bulge) in zip(seen, flat, strict=True)]
        self._add(layer, name, bulged(flat, closed), closed)

    def _add(
        self, layer: str, name: str, points: list[ControlPoint], closed: bool, smooth: bool = False
    ) -> None:
        curve = "smooth" if smooth else "straight"
        if closed:
            self._found.add_line(layer, name, points, True, curve)  # type: ignore[arg-type]
        else:
            self._found.count_points(len(points))
            self._runs.setdefault((layer, name), []).append(Run(tuple(points), curve))  # type: ignore[arg-type]


READ = ("LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE", "POINT")
