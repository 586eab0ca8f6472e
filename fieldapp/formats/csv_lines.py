"""Lines of CSV that a spreadsheet opens without running anything in them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

Cell = str | int | float | bool | None
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def safe_text(text: str) -> str:
    """Return a text cell; one that a spreadsheet might run gets a ' before it."""
    return "'" + text if text.startswith(FORMULA_STARTS) else text


def csv_line(cells: Iterable[str]) -> str:
    """Return one line, its end included."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()
