"""Which column of a CSV drawing holds what, guessed with the reason in words."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from fieldapp.errors import FormatError
from fieldapp.formats.drawing_found import clean

SEPARATORS = {";": "semicolons", "\t": "tabs", ",": "commas", "|": "bars", " ": "blanks"}
COURSE_WORDS = "course metres"
"""A line of notes ahead of the columns that holds these words says that the coordinates are the course's own."""
PAIRS: tuple[tuple[tuple[str, ...], tuple[str, ...], str | None], ...] = (
    (("lon", "long", "longitude", "lng", "lon_deg"), ("lat", "latitude", "lat_deg"), "lonlat"),
    (("easting", "eastings", "east", "e"), ("northing", "northings", "north", "n"), None),
    (("x", "x_m", "xcoord", "x_coord", "point_x"), ("y", "y_m", "ycoord", "y_coord", "point_y"), None),
)
WORDS = {
    "layer": ("layer", "part", "kind", "code", "class", "feature"),
    "name": ("name", "outline", "line", "group", "id", "point"),
    "role": ("role",),
    "curve": ("curve",),
    "closed": ("closed",),
}
LOOKED_AT = 40
_NUMBER = re.compile(r"[+-]?(\d{1,18}(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?")
_WITH_COMMA = re.compile(r"[+-]?\d{1,18},\d+")


@dataclass(frozen=True)
class Columns:
    """The index of each column; None where there is none. `has_header` tells whether the first row names them."""

    x: int
    y: int
    system: str | None = None
    layer: int | None = None
    name: int | None = None
    role: int | None = None
    curve: int | None = None
    closed: int | None = None
    has_header: bool = True
    decimal_comma: bool = False

    def cell(self, row: Sequence[str], key: str) -> str:
        """Return the text of a column in a row; empty where there is none."""
        index = getattr(self, key)
        return row[index] if index is not None and index < len(row) else ""


def separator_of(lines: Sequence[str]) -> str:
    """Return what parts the columns: what gives most of the first lines two columns or more; raises FormatError."""
    looked_at = lines[:LOOKED_AT]
    best, most = "", 0
    for separator in SEPARATORS:
        try:
            counts = [len(row) for row in csv.reader(looked_at, delimiter=separator, skipinitialspace=True)]
        except csv.Error:
            continue
        alike = sum(count > 1 for count in counts) if counts and counts[0] > 1 else 0
        if alike > most:
            best, most = separator, alike
    if most * 2 < len(looked_at) or not best:
        raise FormatError(
            "It is no drawing that is known here: bring in GeoJSON, CSV, DXF, GPX, KML, KMZ or a zipped shapefile."
        )
    return best


def columns_of(rows: Sequence[Sequence[str]]) -> tuple[Columns, list[str]]:
    """Return the columns and why they are taken so; raises FormatError where no two of them are coordinates."""
    header = [cell.lower().lstrip("\ufeff") for cell in rows[0]]
    numbers = [cell for row in rows[1:LOOKED_AT] for cell in row]
    comma = any(map(_WITH_COMMA.fullmatch, numbers or header))
    told = ["Numbers are written with a decimal comma."] if comma else []
    for xs, ys, system in PAIRS:
        x, y = _index(header, xs), _index(header, ys)
        if x is not None and y is not None:
            others = {key: _index(header, words) for key, words in WORDS.items()}
            reason = f"'{clean(header[x])}' is taken for x and '{clean(header[y])}' for y, by their names."
            return Columns(x, y, system, **others, has_header=True, decimal_comma=comma), [reason, *told]
    columns, reason = _without_names(rows, header, comma)
    return columns, [reason, *told]


def _without_names(rows: Sequence[Sequence[str]], header: list[str], comma: bool) -> tuple[Columns, str]:
    numeric = [number_of(cell, comma) is not None for cell in header]
    if numeric[:2] == [True, True] and len(header) == 2:
        return Columns(0, 1, has_header=False, decimal_comma=comma), (
            "No column has a name; the first is taken for x, the second for y."
        )
    if len(header) >= 3 and numeric[1] and numeric[2]:
        last = len(header) - 1
        layer = last if last > 2 and number_of(header[last], comma) is None else None
        reason = "No column has a name; the first is taken for the point's name, the second for x, the third for y."
        return Columns(1, 2, name=0, layer=layer, has_header=False, decimal_comma=comma), reason
    raise FormatError(
        f"Its first line is '{clean(' '.join(rows[0]))[:60]}'; it must name two columns x and y, easting and northing, "
        "or lon and lat."
    )


def _index(header: Sequence[str], words: Sequence[str]) -> int | None:
    """Return the column that a word names, also with its unit behind: 'x', 'x (m)', 'x [m]'."""
    bare = [re.split(r"\s*[(\[]", cell, maxsplit=1)[0].strip() for cell in header]
    return next((bare.index(word) for word in words if word in bare), None)


def number_of(cell: str, decimal_comma: bool) -> float | None:
    """Return a cell's number; None for what is none."""
    text = cell.replace(",", ".") if decimal_comma else cell
    return float(text) if _NUMBER.fullmatch(text) else None
