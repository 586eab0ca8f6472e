"""Every paint point of two revisions as CSV: course metres, moved by ground metres."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fieldapp.formats.csv_lines import csv_line, safe_text
from fieldapp.outline.compared import ComparedOutline, ComparedPoint

COLUMNS = (
    "part", "old_revision", "old_number", "new_revision", "new_number", "fate", "moved_m", "old_x_m", "old_y_m",
    "new_x_m", "new_y_m", "off_line_m",
)  # fmt: skip


def revisions_csv(outlines: Sequence[ComparedOutline], old: str, new: str) -> Iterator[str]:
    """Yield the lines, the headings first; `old` and `new` are the revisions' letters or numbers."""
    yield csv_line(COLUMNS)
    for outline in outlines:
        for point in outline.points:
            yield csv_line(_cells(outline.called, point, old, new))


def _cells(called: str, point: ComparedPoint, old: str, new: str) -> list[str]:
    places = (point.moved_m, *(point.old_at or (None, None)), *(point.new_at or (None, None)), point.off_m)
    return [
        safe_text(called),
        safe_text(old),
        "" if point.old is None else str(point.old),
        safe_text(new),
        "" if point.new is None else str(point.new),
        point.fate,
        *("" if cell is None else f"{cell:.4f}" for cell in places),
    ]
