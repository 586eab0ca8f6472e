"""The shot along the line of play itself, round its turning points."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldapp.outline.crossings import TOUCH_M, Stretch, ray_crossings, stretches
from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray
from fieldapp.play.line_of_play import LineOfPlay


def stretches_on_lines(curve: Curve, lines: Sequence[LineOfPlay]) -> list[tuple[Stretch, ...]]:
    """Return for each line of play the ways over a closed curve's inside along it, course metres from its tee.

    Each leg is crossed by itself, from its start to its end, the last one on beyond the green; a stretch that goes
    round a turning point is one. The legs of all lines are worked out together.
    """
    legs = np.concatenate([np.diff(line.vertices, axis=0) for line in lines])
    starts = np.concatenate([line.vertices[:-1] for line in lines])
    found = ray_crossings(curve, starts, np.rad2deg(np.arctan2(*legs.T)))
    ways = [stretches(found.of(leg)) for leg in range(len(legs))]
    last = np.cumsum([len(line.vertices) - 1 for line in lines])
    return [
        _joined(line.legs_m, ways[end - len(line.vertices) + 1 : end])
        for line, end in zip(lines, last, strict=True)
    ]


def _joined(length_m: FloatArray, ways: Sequence[tuple[Stretch, ...]]) -> tuple[Stretch, ...]:
    """Return the ways on the legs of one line, cut off at the ends of the legs, as ways along the whole line."""
    begins, ends = np.cumsum(length_m) - length_m, np.append(length_m[:-1], np.inf)
    joined: list[Stretch] = []
    for begin, end, on_leg in zip(begins.tolist(), ends.tolist(), ways, strict=True):
        for first, last in on_leg:
            if min(last, end) <= first + TOUCH_M:
                continue
            way = begin + first, begin + min(last, end)
            if joined and way[0] <= joined[-1][1] + TOUCH_M:
                way = joined.pop()[0], way[1]
            joined.append(way)
    return tuple(joined)
