"""What stands on a page of a PDF, and where: read from its text and from the paths of its content."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from pypdf import PageObject
from pypdf.generic import ContentStream

MM_PER_PT = 25.4 / 72
Path = list[tuple[str, np.ndarray]]


@dataclass(frozen=True)
class PageText:
    """The words of a page, where its pieces of text begin in millimetres from its foot and left, heights of type."""

    words: str
    places_mm: np.ndarray
    sizes_pt: tuple[float, ...]


def read_text(page: PageObject) -> PageText:
    """Read a page once."""
    places: list[tuple[float, float]] = []
    sizes: set[float] = set()

    def visit(text, at, of_text, _font, size) -> None:
        if text.strip():
            x, y = of_text[4], of_text[5]
            places.append((at[0] * x + at[2] * y + at[4], at[1] * x + at[3] * y + at[5]))
            turn = np.array([of_text[:2], of_text[2:4]]) @ np.array([at[:2], at[2:4]])
            sizes.add(round(abs(float(np.linalg.det(turn))) ** 0.5 * size, 2))

    words = page.extract_text(visitor_text=visit)
    return PageText(re.sub(r"\s+", " ", words), np.array(places) * MM_PER_PT, tuple(sorted(sizes)))


def painted_paths(page: PageObject) -> Iterator[Path]:
    """Every path that is painted: its steps with the places they go to, points on the page; a curve with its end."""
    stack, matrix = [], np.eye(3)
    path: Path = []
    for operands, operator in ContentStream(page["/Contents"].get_object(), page.pdf).operations:
        name = operator.decode()
        if name == "q":
            stack.append(matrix)
        elif name == "Q":
            matrix = stack.pop()
        elif name == "cm":
            a, b, c, d, e, f = map(float, operands)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif name in ("m", "l", "c", "v", "y", "re"):
            end = operands[:2] if name == "re" else operands[-2:]
            path.append((name, (np.array([float(end[0]), float(end[1]), 1.0]) @ matrix)[:2]))
        elif name in ("S", "s", "f", "F", "f*", "B", "B*", "n"):
            yield path
            path = []


def scale_bars_mm(page: PageObject) -> list[float]:
    """Lengths of what is drawn as a scale bar: an upright, a level line, an upright, as one path."""
    return [length for path in painted_paths(page) for length in _bar(path)]


def circles_mm(page: PageObject, radius_mm: float) -> np.ndarray:
    """Middles of the circles of a radius, in the order they are painted, each once: millimetres `(N, 2)`."""
    found: list[np.ndarray] = []
    for path in painted_paths(page):
        if len(path) > 4 and {name for name, _ in path[1:]} == {"c"}:
            ends = np.array([place for _, place in path]) * MM_PER_PT
            low, high = ends.min(axis=0), ends.max(axis=0)
            is_new = not found or np.abs(found[-1] - (low + high) / 2).max() > 1e-6
            if np.abs((high - low) / 2 - radius_mm).max() < 0.02 and is_new:
                found.append((low + high) / 2)
    return np.array(found).reshape(-1, 2)


def _bar(path: Path) -> list[float]:
    if "".join(name for name, _ in path) != "mlmlml":
        return []
    first, level, last = (path[at + 1][1] - path[at][1] for at in (0, 2, 4))
    is_bar = abs(first[0]) < 1e-3 and abs(level[1]) < 1e-3 and abs(last[0]) < 1e-3 and abs(level[0]) > 1
    return [float(abs(level[0])) * MM_PER_PT] if is_bar else []
