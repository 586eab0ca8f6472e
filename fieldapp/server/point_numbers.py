"""Numbers of paint points on a plan to set out from: none stands on another, on a point or on a line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from fieldapp.server.labels import CHARACTER_PX, GAP_PX, LINE_PX, MARK_PX, LabelRoom
from fieldapp.server.plan_sheet import FloatArray, Place

EVERY = (1, 2, 5, 10, 20)
TURNS_DEG = (0, 35, -35, 70, -70)
FURTHER_PX = (0.0, 7.0)


@dataclass(frozen=True)
class PointNumbers:
    """Where numbers of an outline's points stand, by number: 1 and every n-th; `whole` says that all of those do."""

    labels: dict[int, Place]
    every: int
    whole: bool = True


def set_numbers(room: LabelRoom, at: FloatArray, outward: FloatArray) -> PointNumbers:
    """Number as many points as have room: all, or every second, fifth, tenth or twentieth.

    `at` `(N, 2)` are the points, `outward` `(N, 2)` the unit vectors away from the outline's inside.
    """
    for every in EVERY:
        wanted = _wanted(len(at), every)
        middles = room.set_together([_choices(number, at, outward) for number in wanted])
        if middles is not None:
            return PointNumbers(dict(zip(wanted, middles, strict=True)), every)
    found = {number: room.set_free(*_choices(number, at, outward)) for number in wanted}
    return PointNumbers({number: one for number, one in found.items() if one is not None}, EVERY[-1], False)


def numbers_words(numbers: PointNumbers) -> str:
    """Say which points carry a number on the plan."""
    if numbers.every == 1:
        return "every point"
    ends = {2: "nd"}.get(numbers.every, "th")
    room = "" if numbers.whole else ", where there is room"
    return f"point 1 and every {numbers.every}{ends}{room}"


def _wanted(count: int, every: int) -> list[int]:
    return [number for number in range(1, count + 1) if number == 1 or number % every == 0]


def _choices(number: int, at: FloatArray, outward: FloatArray) -> tuple[str, list[Place]]:
    text = str(number)
    return text, list(_beside(text, at[number - 1], outward[number - 1]))


def _beside(text: str, at: FloatArray, outward: FloatArray) -> Iterator[Place]:
    """Yield middles for a number about its point: outward, then inward; straight off it, then turned aside."""
    for further in FURTHER_PX:
        for side in (1.0, -1.0):
            for turn in TURNS_DEG:
                angle = math.atan2(outward[1] * side, outward[0] * side) + math.radians(turn)
                x, y = math.cos(angle), math.sin(angle)
                across = (MARK_PX + len(text) * CHARACTER_PX / 2) / max(abs(x), 1e-9)
                down = (MARK_PX + LINE_PX / 2) / max(abs(y), 1e-9)
                away = min(across, down) + GAP_PX + further
                yield float(at[0] + x * away), float(at[1] + y * away)
