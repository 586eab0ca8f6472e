"""The shot along the line of play itself, round its turning points."""

from __future__ import annotations

import numpy as np

from fieldapp.outline.crossings import TOUCH_M, Stretch, ray_crossings, stretches
from fieldapp.outline.curve import Curve
from fieldapp.play.line_of_play import LineOfPlay


def stretches_on_line(curve: Curve, line: LineOfPlay) -> tuple[Stretch, ...]:
    """Return the ways over a closed curve's inside along a line of play, course metres from the tee.

    Each leg is crossed by itself, from its start to its end, the last one on beyond the green; a stretch that goes
    round a turning point is one.
    """
    legs, length = np.diff(line.vertices, axis=0), line.legs_m
    found = ray_crossings(curve, line.vertices[:-1], np.rad2deg(np.arctan2(*legs.T)))
    begins, ends = np.cumsum(length) - length, np.append(length[:-1], np.inf)
    joined: list[list[float]] = []
    for leg, (begin, end) in enumerate(zip(begins, ends, strict=True)):
        for first, last in stretches(found.of(leg)):
            if min(last, end) > first + TOUCH_M:
                _join(joined, begin + first, begin + min(last, end))
    return tuple((begin, end) for begin, end in joined)


def _join(joined: list[list[float]], begin: float, end: float) -> None:
    if joined and begin <= joined[-1][1] + TOUCH_M:
        joined[-1][1] = float(end)
    else:
        joined.append([float(begin), float(end)])
