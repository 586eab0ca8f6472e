"""Drawings as CSV: a row for each point, the columns guessed by their names, with the reason in words."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Literal, cast

from fieldapp.errors import FormatError
from fieldapp.formats.csv_lines import csv_line, safe_text
from fieldapp.formats.drawing import Drawing, DrawingLimits
from fieldapp.formats.drawing_columns import (
    COURSE_WORDS,
    SEPARATORS,
    Columns,
    columns_of,
    number_of,
    separator_of,
)
from fieldapp.formats.drawing_found import ROLES, Found
from fieldapp.formats.drawing_out import DrawingOut
from fieldapp.formats.drawing_system import system_of_numbers
from fieldapp.formats.drawing_text import text_of
from fieldapp.model import ControlPoint
from fieldapp.model.site import Role

NOT_READ = "rows without two numbers"
Row = list[str]
Point = tuple[str, str, ControlPoint, Row]


def read_csv_drawing(content: bytes, limits: DrawingLimits) -> Drawing:
    """Read the points of a CSV text; raises FormatError.

    Rows of one layer and name that follow each other make a line, a row by itself a spot. Where every row has a name of
    its own these are names of points, and the layers make the lines.
    """
    text, encoding = text_of(content)
    lines = [line for line in text.splitlines() if line.strip()]
    ahead = [line for line in lines if line.lstrip().startswith("#")]
    body = [line for line in lines if not line.lstrip().startswith("#")]
    separator = separator_of(body)
    rows = _rows(body, separator)
    found = Found("csv", limits)
    found.reasons.append(f"Columns are parted by {SEPARATORS[separator]}.")
    columns, reasons = columns_of(rows)
    found.reasons += [*reasons, *([encoding] if encoding else [])]
    _add(found, _points(found, rows[1:] if columns.has_header else rows, columns), columns)
    if columns.system is None and any(COURSE_WORDS in line for line in ahead):
        found.reasons.append("The file says that its coordinates are course metres.")
        return found.drawing(1.0, "course")
    system, reason = (columns.system, "") if columns.system else system_of_numbers(found.lines, found.spots)
    found.reasons += [reason] if reason else []
    return found.drawing(None, system)


def _rows(body: Sequence[str], separator: str) -> list[Row]:
    try:
        blank = separator == " "
        return [
            [cell.strip() for cell in row]
            for row in csv.reader(io.StringIO("\n".join(body)), delimiter=separator, skipinitialspace=blank)
        ]
    except csv.Error as error:
        raise FormatError(f"It is no CSV that can be read ({error}).") from error


def _points(found: Found, rows: Sequence[Row], columns: Columns) -> list[Point]:
    points = []
    for row in rows:
        x, y = (number_of(columns.cell(row, key), columns.decimal_comma) for key in ("x", "y"))
        if x is None or y is None:
            found.leave_out(NOT_READ)
            continue
        role = columns.cell(row, "role").lower()
        point = ControlPoint(x, y, cast(Role, role) if role in ROLES else "plain")
        points.append((columns.cell(row, "layer"), columns.cell(row, "name"), point, row))
    return points


def _add(found: Found, points: list[Point], columns: Columns) -> None:
    names = [name for _, name, _, _ in points]
    if len(points) > 1 and all(names) and len(set(names)) == len(names):
        found.reasons.append("Every row has a name of its own, so the names are those of points.")
        if columns.layer is None:
            for layer, name, point, _ in points:
                found.add_spot(layer, name, point.x, point.y)
            return
        points = [(layer, "", point, row) for layer, _, point, row in points]
    for (layer, name), group in groupby(points, key=lambda one: one[:2]):
        members = list(group)
        point, row = members[0][2:]
        if len(members) == 1:
            found.add_spot(layer, name, point.x, point.y)
            continue
        closed = columns.cell(row, "closed").lower() in ("yes", "true", "1", "closed")
        curve: Literal["smooth", "straight"] = (
            "smooth" if columns.cell(row, "curve").lower() == "smooth" else "straight"
        )
        found.add_line(layer, name, [one[2] for one in members], closed, curve)


def csv_of(drawing: DrawingOut) -> Iterator[str]:
    """Write a drawing as CSV, line by line: what is told of it after '#', then a row for each point."""
    names = ("x", "y") if drawing.coordinates == "course" else ("lon", "lat")
    for words in drawing.told:
        yield f"# {' '.join(words.split())}\n"
    yield csv_line(["layer", "name", "point", *names, "role", "curve", "closed", "note"])
    for line in drawing.lines:
        shape = line.shape
        ends = shape.curve, "yes" if shape.closed else "no", safe_text(line.words)
        for number, at in enumerate(shape.points, 1):
            places = drawing.written(at.x), drawing.written(at.y)
            yield csv_line(
                [safe_text(line.layer), safe_text(line.name), str(number), *places, at.role, *ends]
            )
    for spot in drawing.spots:
        places = drawing.written(spot.x), drawing.written(spot.y)
        words = safe_text(spot.words)
        yield csv_line([safe_text(spot.layer), safe_text(spot.name), "1", *places, "spot", "", "", words])
