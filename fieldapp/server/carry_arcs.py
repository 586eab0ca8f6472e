"""Carry arcs on a plan: circles about a tee plate at round yardages, each with its figure where it covers nothing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fieldapp.model import Tee
from fieldapp.server.labels import CHARACTER_PX, LabelRoom
from fieldapp.server.plan_sheet import FloatArray, Place, Sheet, svg_path

HALF_TURN_DEG = 75.0
"""Arcs are drawn so far to either side of the way up the sheet."""
STEP_PX = 2.0
SHORTEST_PX = 40.0
INSET_PX = 4.0


@dataclass(frozen=True)
class DrawnArc:
    """One arc: its figure without unit, its path, and where the figure stands."""

    figure: str
    path: str
    label: Place


@dataclass(frozen=True)
class ArcsAsked:
    """Every `step_m` ground metres from a tee plate to `furthest_m`; `unit_m` metres are the unit of the figures."""

    tee: Tee
    step_m: float
    furthest_m: float
    unit_m: float


def carry_arcs(sheet: Sheet, asked: ArcsAsked, ground_scale: float, room: LabelRoom) -> tuple[DrawnArc, ...]:
    """Draw the arcs that cross the sheet, nearest first."""
    count = math.floor(asked.furthest_m / asked.step_m + 1e-9)
    found = []
    for number in range(1, count + 1):
        radius_m = number * asked.step_m
        figure = f"{radius_m / asked.unit_m:.0f}"
        runs = _on_sheet(sheet, asked.tee, radius_m / ground_scale)
        if runs:
            label = room.set_first(figure, [place for run in runs for place in _ends(figure, run)])
            found.append(DrawnArc(figure, "".join(map(svg_path, runs)), label))
    return tuple(found)


def _on_sheet(sheet: Sheet, tee: Tee, radius_m: float) -> list[FloatArray]:
    """Return the runs of a circle about a tee that lie on the sheet, as places `(N, 2)` from left to right."""
    half_deg = HALF_TURN_DEG
    count = max(int(2 * math.radians(half_deg) * radius_m * sheet.px_per_m / STEP_PX), 16)
    bearing = np.deg2rad(sheet.up_bearing_deg + np.linspace(-half_deg, half_deg, count))
    places = sheet.place(
        np.array([tee.x, tee.y]) + radius_m * np.stack([np.sin(bearing), np.cos(bearing)], axis=1)
    )
    limit = np.array([sheet.width, sheet.height]) - INSET_PX
    inside = np.all((places >= INSET_PX) & (places <= limit), axis=1)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(int), [0]])))
    runs = [places[start:end] for start, end in zip(edges[::2], edges[1::2], strict=True)]
    return [run for run in runs if len(run) * STEP_PX >= SHORTEST_PX]


def _ends(figure: str, run: FloatArray) -> list[Place]:
    """Return places for a figure on an arc: at its right end, at its left end, then inward from either."""
    half = len(figure) * CHARACTER_PX / 2
    found: list[Place] = []
    for steps in range(int(half / STEP_PX), len(run) // 2, 7):
        found += [(float(x), float(y)) for x, y in (run[-1 - steps], run[steps])]
    return found
