"""Outlines as a draft draws them, clockwise where closed: smooth, straight, with corners and with arcs."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

Json = dict[str, Any]
ORIGINS = ((0.0, 0.0), (674_032.4, 6_580_821.9))


def _ring(count: int, along: float, across: float, wave: float = 0.0) -> list[list[Any]]:
    angle = np.linspace(0, 2 * math.pi, count, endpoint=False)
    swell = 1 + wave * np.sin(5 * angle + 0.4)
    return np.stack([along * swell * np.cos(angle), -across * swell * np.sin(angle)], axis=1).tolist()


BLOB = [[0.0, 0.0], [-2.0, 4.0], [1.0, 8.0], [5.0, 6.0], [7.0, 9.0], [12.0, 7.0], [11.0, 1.0], [6.0, -2.0]]
SHAPES: dict[str, tuple[str, bool, list[list[Any]]]] = {
    "smooth": ("smooth", True, BLOB),
    "corners": (
        "smooth",
        True,
        [[0.0, 0.0, "corner"], [-2.0, 4.0], [1.0, 8.0], [5.0, 6.0, "corner"], *BLOB[4:]],
    ),
    "straight": (
        "straight",
        True,
        [[0.0, 0.0], [0.0, 9.0], [4.0, 9.5], [4.5, 4.0], [13.0, 5.0], [12.0, -1.0]],
    ),
    "arcs": (
        "straight",
        True,
        [[0.0, 0.0], [-3.0, 4.0, "through"], [1.0, 9.0], [8.0, 10.0], [9.5, 7.0, "through"], [8.0, 1.0]],
    ),
    "smooth with an arc": (
        "smooth",
        True,
        [[0.0, 0.0], [1.0, 5.0], [4.0, 8.0], [7.0, 6.5, "through"], [10.0, 8.0], [13.0, 3.0], [6.0, -2.0]],
    ),
    "tight ends": ("smooth", True, [[4.61, -1.16, "corner"], [6.53, -2.19, "corner"], [-6.39, -0.14]]),
    "begins with an arc": (
        "straight",
        True,
        [
            [3.5740744610666297, -1.839408252388239, "through"],
            [-3.0901850670343265, -4.939234830439091],
            [-4.734473643999081, -3.4143220353871584],
            [2.065704315493349, 4.203573604114354],
            [5.560639299452305, 2.070112122222781],
        ],
    ),
    "nearly round": ("smooth", True, _ring(17, 5.0, 4.9, 0.004)),
    "many points": ("smooth", True, _ring(200, 11.0, 6.0, 0.06)),
    "open smooth": ("smooth", False, BLOB[:5]),
    "open with an arc": (
        "straight",
        False,
        [[0.0, 0.0], [2.0, 5.0], [5.0, 4.0, "through"], [8.0, 7.0], [15.0, 6.0]],
    ),
    "open, one straight": ("smooth", False, [[0.0, 0.0], [7.0, 4.0]]),
}


def drawn_points(name: str, origin: tuple[float, float]) -> list[list[Any]]:
    """The points of a shape about an origin, as a draft writes them."""
    return [[x + origin[0], y + origin[1], *role] for x, y, *role in SHAPES[name][2]]


def shape_document(name: str, origin: tuple[float, float] = ORIGINS[0]) -> Json:
    """What the twin builds a curve of."""
    curve, closed, _ = SHAPES[name]
    return {"points": drawn_points(name, origin), "curve": curve, "closed": closed}
