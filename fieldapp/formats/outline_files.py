"""Points of an outline as a person gives them: lists, CSV, GeoJSON, TOML. Course coordinates.

Everything is read to the end; what is wrong comes back as faults beside what could be read. GeoJSON here
carries course coordinates, not longitude and latitude as RFC 7946 has it: drawing programs write it that way.
"""

from __future__ import annotations

import csv
import io
import json
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import Any, cast, get_args

from fieldapp.formats.lengths import to_metres
from fieldapp.formats.site_mistakes import did_you_mean, shown
from fieldapp.formats.site_table import number_fault
from fieldapp.model import ControlPoint
from fieldapp.model.site import Role

ROLES: tuple[str, ...] = get_args(Role)
OUTLINE_ENDINGS = (".csv", ".geojson", ".json", ".toml")
_POINT = "write it as [x, y]"


@dataclass(frozen=True)
class Fault:
    """What is wrong at one place: a point of a list by its `index`, or a `line` of a file."""

    what: str
    remedy: str
    index: int | None = None
    line: int | None = None

    @property
    def where(self) -> str:
        """The place in a file in words; empty for the whole file."""
        if self.line is not None:
            return f"line {self.line}"
        return "" if self.index is None else f"point {self.index + 1}"


@dataclass(frozen=True)
class OutlineFile:
    """What an outline file came to; `closed` is None where the file does not say."""

    points: tuple[ControlPoint, ...]
    faults: tuple[Fault, ...]
    closed: bool | None = None


class UnreadableError(Exception):
    """The file cannot be read at all."""

    def __init__(self, what: str, remedy: str, line: int | None = None) -> None:
        super().__init__(what)
        self.fault = Fault(what, remedy, line=line)


def points_of(values: Sequence[Any], factor: Fraction) -> tuple[list[ControlPoint], list[Fault]]:
    """Read points `[x, y]` or `[x, y, role]`; `factor` is metres per unit."""
    points, faults = [], []
    for index, value in enumerate(values):
        fault = _point_fault(value)
        if fault:
            faults.append(Fault(*fault, index=index))
        else:
            role = cast(Role, value[2] if len(value) == 3 else "plain")
            points.append(ControlPoint(to_metres(value[0], factor), to_metres(value[1], factor), role))
    return points, faults


def read_outline_file(name: str, content: bytes, factor: Fraction) -> OutlineFile:
    """Read the points of an outline from a file whose name ends in .csv, .geojson, .json or .toml."""
    readers = {".csv": _csv_outline, ".toml": _toml_outline}
    try:
        return readers.get(_ending(name), _geojson_outline)(decoded(content), factor)
    except UnreadableError as refusal:
        return OutlineFile((), (refusal.fault,))


def _point_fault(value: Any) -> tuple[str, str] | None:
    if not isinstance(value, list) or not value or isinstance(value[0], list):
        return f"the point is {shown(value)}", _POINT
    if len(value) not in (2, 3):
        return f"the point has {len(value)} values", f"{_POINT}, heights stand elsewhere"
    if len(value) == 3 and not isinstance(value[2], str):
        return f"its third value is {shown(value[2])}", f"{_POINT}; heights stand elsewhere"
    if len(value) == 3 and value[2] not in ROLES:
        meant = did_you_mean(value[2], ROLES)
        return f"{shown(value[2])} is no kind of point", (
            f"did you mean '{meant}'?" if meant else "write 'corner' or 'through', or nothing"
        )
    return first_fault(value[:2])


def first_fault(numbers: Iterable[Any]) -> tuple[str, str] | None:
    """Return what is wrong with the first of some numbers that is none, and what to do; None where all are sound."""
    return next((fault for fault in map(number_fault, numbers) if fault), None)


def _ending(name: str) -> str:
    return name[name.rfind(".") :].lower() if "." in name else ""


def decoded(content: bytes) -> str:
    """Return a file's text; raises UnreadableError."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableError("the file is not UTF-8 text", "save it as plain text in UTF-8") from error


def _csv_outline(text: str, factor: Fraction) -> OutlineFile:
    rows, lines, faults = csv_rows(text, ("x", "y"), ("role",))
    points, more = points_of(rows, factor)
    return OutlineFile(tuple(points), tuple(by_line(faults, more, lines)))


def by_line(of_lines: list[Fault], of_rows: Iterable[Fault], lines: Sequence[int]) -> list[Fault]:
    """Return both kinds of faults in the order of the file; `lines` has the line of each row."""
    rows = [Fault(fault.what, fault.remedy, line=lines[fault.index or 0]) for fault in of_rows]
    return sorted([*of_lines, *rows], key=lambda fault: fault.line or 0)


def csv_rows(
    text: str, needed: tuple[str, ...], extra: tuple[str, ...]
) -> tuple[list[list[Any]], list[int], list[Fault]]:
    """Return the rows as lists, numbers in front, and the line of each; what begins with # is left out.

    Raises UnreadableError.
    """
    lines = _csv_lines(text)
    if not lines:
        raise UnreadableError("the file is empty", f"begin it with a line {','.join(needed)}")
    header = _csv_header(*lines.pop(0), needed, extra)
    rows, row_lines, faults = [], [], []
    for line, cells in lines:
        if len(cells) == len(header):
            rows.append(_csv_row(dict(zip(header, cells, strict=True)), needed, extra))
            row_lines.append(line)
        else:
            what = f"the line has {len(cells)} columns and the first has {len(header)}"
            faults.append(Fault(what, "separate columns by commas and write 12.5 with a point", line=line))
    return rows, row_lines, faults


def _csv_lines(text: str) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""))
    try:
        lines = [(reader.line_num, cells) for cells in reader]
    except csv.Error as error:
        what = f"the file is not CSV ({error})"
        raise UnreadableError(what, "write it again", reader.line_num) from error
    return [
        (line, cells)
        for line, cells in lines
        if "".join(cells).strip() and not cells[0].lstrip().startswith("#")
    ]


def _csv_header(line: int, cells: list[str], needed: tuple[str, ...], extra: tuple[str, ...]) -> list[str]:
    header = [cell.strip().lower() for cell in cells]
    if len(set(header)) == len(header) and set(needed) <= set(header) <= {*needed, *extra}:
        return header
    raise UnreadableError(
        f"the first line is '{','.join(cells)[:60]}'",
        f"it must name the columns, separated by commas: {','.join(needed)}",
        line,
    )


def _csv_row(cells: dict[str, str], needed: tuple[str, ...], extra: tuple[str, ...]) -> list[Any]:
    words = [cells[name].strip() for name in extra if cells.get(name, "").strip()]
    return [*(_csv_number(cells[name].strip()) for name in needed), *words]


def _csv_number(cell: str) -> Decimal | str:
    try:
        return Decimal(cell)
    except InvalidOperation:
        return cell


def _toml_outline(text: str, factor: Fraction) -> OutlineFile:
    try:
        content = tomllib.loads(text, parse_float=Decimal)
    except (ValueError, RecursionError) as error:
        raise UnreadableError(f"the file is not TOML ({error})", "correct it there") from error
    values = content.pop("points", None)
    if not isinstance(values, list) or content:
        raise UnreadableError(
            "the file must hold points and nothing else", "write points = [[x, y], …] and take the rest out"
        )
    points, faults = points_of(values, factor)
    return OutlineFile(tuple(points), tuple(faults))


def _geojson_outline(text: str, factor: Fraction) -> OutlineFile:
    try:
        document = json.loads(text, parse_float=Decimal, parse_constant=Decimal)
    except json.JSONDecodeError as error:
        what = f"the file is not JSON ({error.msg})"
        raise UnreadableError(what, "correct it there", error.lineno) from error
    except (ValueError, RecursionError) as error:
        raise UnreadableError("the file is not JSON that can be read", "write it again") from error
    geometry = _only_geometry(document)
    kind, values = geometry.get("type"), geometry.get("coordinates")
    if kind == "Polygon" and isinstance(values, list) and len(values) == 1:
        values = values[0]
    elif kind != "LineString":
        raise UnreadableError(
            f"the file holds {_geometry_words(kind, values)}",
            "an outline is one LineString (open) or one Polygon without holes (closed)",
        )
    if not isinstance(values, list):
        raise UnreadableError("the coordinates are not a list of points", "write the file again")
    points, faults = points_of(values, factor)
    if kind == "Polygon" and len(points) > 1 and points[0] == points[-1]:
        points.pop()
    return OutlineFile(tuple(points), tuple(faults), closed=kind == "Polygon")


def _only_geometry(document: Any) -> dict[str, Any]:
    if isinstance(document, dict) and document.get("type") == "FeatureCollection":
        features = document.get("features")
        count = len(features) if isinstance(features, list) else 0
        if count != 1:
            raise UnreadableError(f"the file holds {count} features", "keep one outline to a file")
        document = document["features"][0]
    if isinstance(document, dict) and document.get("type") == "Feature":
        document = document.get("geometry")
    if not isinstance(document, dict):
        raise UnreadableError("the file is not GeoJSON", "give a Feature with a LineString or a Polygon")
    return document


def _geometry_words(kind: Any, values: Any) -> str:
    if kind == "Polygon" and isinstance(values, list):
        return f"a Polygon with {len(values)} rings"
    return f"a {kind}" if isinstance(kind, str) else "no geometry"
