"""Tables poured into the columns of as many sheets as they need: none is cut within a row, each part has its head."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

ROW_MM, TITLE_MM, GAP_MM = 4.2, 6.0, 4.0
WORDS_LINE_MM = 3.7
CHARACTER_MM = 1.55
"""Of running words, on average, at the size of the tables."""
FIGURE_MM, PADDING_MM = 1.6, 2.5
"""The width of a figure, which is wider than most letters, and what parts the cells of a row."""
LEAST_ROWS = 3
"""A table begins a column lower down only where so many rows still follow its head."""


@dataclass(frozen=True)
class Head:
    """The head of a column; figures stand at its right."""

    words: str
    is_figure: bool = True


@dataclass(frozen=True)
class Table:
    """A table to pour. Every row is one line high; the first cell of a row is its name. `notes` stand before it."""

    title: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Part:
    """What of a table stands in one column: its notes with the first part only."""

    title: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    goes_on: bool


Column = tuple[Part, ...]


def width_of(table: Table) -> float:
    """Return the width that a table takes, every cell in one line, millimetres; rather too wide."""
    rows = [tuple(head.words for head in table.heads), *table.rows]
    widest = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    return sum(widest) * FIGURE_MM + PADDING_MM * max(len(widest) - 1, 0)


def pour(tables: Sequence[Table], width_mm: float, height_mm: float) -> tuple[Column, ...]:
    """Return the columns of that size, each full before the next begins."""
    columns: list[list[Part]] = [[]]
    left_mm = height_mm
    for table in tables:
        rows, goes_on = list(table.rows), False
        while rows or not goes_on:
            notes = () if goes_on else table.notes
            gap_mm = GAP_MM if columns[-1] else 0.0
            room = math.floor((left_mm - gap_mm - _before_rows_mm(table, notes, width_mm)) / ROW_MM + 1e-9)
            if columns[-1] and room < min(len(rows), LEAST_ROWS):
                columns.append([])
                left_mm = height_mm
                continue
            taken, rows = rows[: max(room, 1)], rows[max(room, 1) :]
            columns[-1].append(Part(table.title, table.heads, tuple(taken), notes, goes_on))
            left_mm -= gap_mm + _before_rows_mm(table, notes, width_mm) + ROW_MM * len(taken)
            goes_on = True
    return tuple(tuple(column) for column in columns if column)


def pages_of(columns: Sequence[Column], per_page: int) -> Iterator[tuple[Column, ...]]:
    """Yield the columns of each page."""
    for start in range(0, len(columns), per_page):
        yield tuple(columns[start : start + per_page])


def lines_of(words: str, width_mm: float) -> int:
    """Return how many lines running words take in a width, rather one too many."""
    return max(1, math.ceil(len(words) * CHARACTER_MM / width_mm))


def _before_rows_mm(table: Table, notes: Sequence[str], width_mm: float) -> float:
    """Return the height of a table's title, notes and head."""
    words_mm = sum(lines_of(note, width_mm) * WORDS_LINE_MM + 0.5 for note in notes)
    return TITLE_MM + words_mm + (ROW_MM if table.heads else 0.0)
