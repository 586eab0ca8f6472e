"""The course grid on a plan: crosses where its lines meet, and their coordinates round the edge."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from fieldapp.server.labels import LINE_PX, LabelRoom, half_size
from fieldapp.server.plan_sheet import FloatArray, Place, Sheet

APART_PX = 115.0
"""Lines of the grid are at least so far apart on the sheet."""
CROSS_PX, TICK_PX = 9.0, 6.0
LABEL_OFF_PX = TICK_PX + LINE_PX / 2
STEPS = tuple(each * 10**power for power in range(5) for each in (1, 2, 5))
CORNER_PX = 2.0


@dataclass(frozen=True)
class GridLabel:
    """A coordinate at the edge of a sheet, by its middle; `turn_deg` turns it along an upright edge."""

    words: str
    at: Place
    turn_deg: int


@dataclass(frozen=True)
class CoordinateFrame:
    """The grid on a sheet: where its lines meet, the ticks beyond its edge, and how far the lines are apart."""

    places: tuple[Place, ...]
    ticks: str
    labels: tuple[GridLabel, ...]
    step: int


def coordinate_frame(sheet: Sheet, metres_per_unit: float) -> CoordinateFrame:
    """Return the grid of course coordinates, in units of so many metres, on a sheet."""
    corners = sheet.course([(0, 0), (sheet.width, 0), (sheet.width, sheet.height), (0, sheet.height)])
    apart = APART_PX / sheet.px_per_m / metres_per_unit
    step = next((one for one in STEPS if one >= apart), STEPS[-1])
    low, high = corners.min(axis=0) / metres_per_unit, corners.max(axis=0) / metres_per_unit
    values = [range(math.ceil(low[axis] / step) * step, math.floor(high[axis]) + 1, step) for axis in (0, 1)]
    ends = [
        (f"{name} {value}", line)
        for axis, name in enumerate("xy")
        for value in values[axis]
        if (line := sheet.clip(sheet.place(_line(axis, value, low, high) * metres_per_unit))) is not None
    ]
    meets = sheet.place(
        np.array(list(itertools.product(*values)), dtype=float).reshape(-1, 2) * metres_per_unit
    )
    inside = tuple((float(x), float(y)) for x, y in meets if _is_well_inside(sheet, (x, y)))
    labels, ticks = _at_edges(sheet, ends)
    return CoordinateFrame(inside, "".join(ticks), tuple(labels), step)


def clear_crosses(sheet: Sheet, frame: CoordinateFrame, room: LabelRoom) -> str:
    """Return a path of the crosses that stand on nothing, and keep words off them."""
    clear = [at for at in frame.places if room.is_clear([at], CROSS_PX)]
    room.take(clear, CROSS_PX)
    return "".join(_cross(sheet, at) for at in clear)


def _line(axis: int, value: int, low: FloatArray, high: FloatArray) -> FloatArray:
    """Return the two ends of a line of the grid, beyond the sheet, in coordinate units."""
    ends = np.array([low - 1.0, high + 1.0])
    ends[:, axis] = value
    return ends


def _at_edges(sheet: Sheet, ends: list[tuple[str, FloatArray]]) -> tuple[list[GridLabel], list[str]]:
    """Return labels and ticks at the edges; a label that would stand on another or past a corner is left out."""
    labels, ticks, taken = list[GridLabel](), list[str](), dict[str, list[tuple[float, float]]]()
    for words, line in ends:
        out = (line[1] - line[0]) / np.hypot(*(line[1] - line[0]))
        for at, way in ((line[0], -out), (line[1], out)):
            edge, along, length, middle, turn = _edge(sheet, at)
            tip = at + way * TICK_PX
            ticks.append(f"M{at[0]:.2f} {at[1]:.2f}L{tip[0]:.2f} {tip[1]:.2f}")
            half = half_size(words)[0] + CORNER_PX
            span = (along - half, along + half)
            others = taken.setdefault(edge, [])
            if span[0] < 0 or span[1] > length or any(span[0] < b and a < span[1] for a, b in others):
                continue
            others.append(span)
            labels.append(GridLabel(words, middle, turn))
    return labels, ticks


def _edge(sheet: Sheet, at: FloatArray) -> tuple[str, float, float, Place, int]:
    """Return the edge that a place lies on: its name, how far along it, its length, where a label stands, its turn."""
    x, y = float(at[0]), float(at[1])
    ways = {
        "left": (abs(x), y, sheet.height, (-LABEL_OFF_PX, y), -90),
        "right": (abs(x - sheet.width), y, sheet.height, (sheet.width + LABEL_OFF_PX, y), -90),
        "top": (abs(y), x, sheet.width, (x, -LABEL_OFF_PX), 0),
        "bottom": (abs(y - sheet.height), x, sheet.width, (x, sheet.height + LABEL_OFF_PX), 0),
    }
    name = min(ways, key=lambda one: ways[one][0])
    _, along, length, middle, turn = ways[name]
    return name, along, length, (round(middle[0], 2), round(middle[1], 2)), turn


def _is_well_inside(sheet: Sheet, at: Place) -> bool:
    return all(
        CROSS_PX <= at[axis] <= size - CROSS_PX for axis, size in enumerate((sheet.width, sheet.height))
    )


def _cross(sheet: Sheet, at: Place) -> str:
    return "".join(f"M{a[0]:.2f} {a[1]:.2f}L{b[0]:.2f} {b[1]:.2f}" for a, b in _arms(sheet, at))


def _arms(sheet: Sheet, at: Place) -> Iterator[tuple[FloatArray, FloatArray]]:
    middle, origin = np.array(at), sheet.place(sheet.centre)
    for ahead in ((1.0, 0.0), (0.0, 1.0)):
        way = sheet.place(np.array(sheet.centre) + ahead) - origin
        arm = way / np.hypot(*way) * CROSS_PX
        yield middle - arm, middle + arm
