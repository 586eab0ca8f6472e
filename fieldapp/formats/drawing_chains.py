"""Pieces of lines that meet end to end, joined into one: programs break an outline into lines, arcs and splines."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from fieldapp.model import ControlPoint

MEETS = 1e-7
"""Ends meet where they are no further apart than this share of the drawing's span."""


@dataclass(frozen=True)
class Run:
    """An open piece of a line as it was drawn by itself."""

    points: tuple[ControlPoint, ...]
    curve: Literal["straight", "smooth"]

    def turned(self) -> Run:
        """Return it from its end to its start."""
        return replace(self, points=self.points[::-1])


@dataclass(frozen=True)
class Chain:
    """Runs joined end to end."""

    points: tuple[ControlPoint, ...]
    curve: Literal["straight", "smooth"]
    closed: bool


class _Ends:
    """Which runs end at which place; places that lie close together are one."""

    def __init__(self, runs: list[Run]) -> None:
        ends = [end for run in runs for end in (run.points[0], run.points[-1])]
        xs, ys = [end.x for end in ends], [end.y for end in ends]
        span = max(max(xs) - min(xs), max(ys) - min(ys))
        self._step = max(MEETS * span, 1e-14 * max(map(abs, [*xs, *ys]))) or 1.0
        self._places: dict[tuple[int, int], tuple[int, int]] = {}
        self._at: dict[tuple[int, int], list[int]] = defaultdict(list)
        for index, end in enumerate(ends):
            self._at[self.place(end)].append(index // 2)

    def place(self, end: ControlPoint) -> tuple[int, int]:
        """Return the place an end lies at."""
        column, row = round(end.x / self._step), round(end.y / self._step)
        for cell in ((column + i, row + j) for i in (0, -1, 1) for j in (0, -1, 1)):
            if cell in self._places:
                return self._places[cell]
        self._places[column, row] = column, row
        return column, row

    def at(self, end: ControlPoint) -> list[int]:
        """Return the indices of the runs that end there."""
        return self._at[self.place(end)]


def joined(runs: Iterable[Run]) -> list[Chain]:
    """Return runs joined where just two of them meet, in the order of their first runs."""
    every = [run for run in runs if len(run.points) > 1]
    if not every:
        return []
    ends, taken = _Ends(every), set[int]()
    return [
        _chain(_followed(index, every, ends, taken), ends)
        for index in range(len(every))
        if index not in taken
    ]


def _followed(first: int, runs: list[Run], ends: _Ends, taken: set[int]) -> list[Run]:
    """Return the runs of the chain that one is in, each turned to follow the one before."""
    taken.add(first)
    onward = _onward(runs[first], runs, ends, taken)
    back = _onward(runs[first].turned(), runs, ends, taken)
    return [*(run.turned() for run in reversed(back)), runs[first], *onward]


def _onward(run: Run, runs: list[Run], ends: _Ends, taken: set[int]) -> list[Run]:
    found: list[Run] = []
    while True:
        here = ends.at(run.points[-1])
        following = [index for index in here if index not in taken]
        if len(here) != 2 or len(following) != 1:
            return found
        taken.add(following[0])
        place = ends.place(run.points[-1])
        run = runs[following[0]]
        run = run if ends.place(run.points[0]) == place else run.turned()
        found.append(run)


def _chain(runs: list[Run], ends: _Ends) -> Chain:
    curve: Literal["straight", "smooth"] = (
        "smooth" if any(run.curve == "smooth" for run in runs) else "straight"
    )
    points: list[ControlPoint] = []
    for run in runs:
        inner = _as(curve, run)
        points = [*points[:-1], _meeting(points[-1], inner, curve, points), *inner[1:]] if points else inner
    closed = len(points) > 2 and ends.place(points[0]) == ends.place(points[-1])
    if closed:
        corner = curve == "smooth" and "through" not in (points[1].role, points[-2].role)
        points = [
            replace(points[0], role="corner" if corner and len(runs) > 1 else points[0].role),
            *points[1:-1],
        ]
    return Chain(tuple(points), curve, closed)


def _as(curve: str, run: Run) -> list[ControlPoint]:
    """Return a run's points as part of a chain; straight lines of a smooth chain turn only at corners."""
    if curve == run.curve:
        return list(run.points)
    arcs = {index + by for index, point in enumerate(run.points) if point.role == "through" for by in (-1, 1)}
    return [
        replace(point, role="corner") if point.role == "plain" and index not in arcs and 0 < index < len(run.points) - 1
        else point
        for index, point in enumerate(run.points)
    ]  # fmt: skip


def _meeting(
    end: ControlPoint, inner: list[ControlPoint], curve: str, points: list[ControlPoint]
) -> ControlPoint:
    beside_arc = "through" in (points[-2].role, inner[1].role)
    return replace(end, role="corner" if curve == "smooth" and not beside_arc else "plain")
