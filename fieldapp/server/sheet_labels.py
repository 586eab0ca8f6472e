"""Words on a plan to set out from, each where it covers nothing; one that finds no room is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from fieldapp.server.labels import GAP_PX, SIDES, LabelRoom, half_size
from fieldapp.server.plan_sheet import FloatArray, Place, Sheet, places_along, svg_path

PLACES = 24
FURTHER_PX = (0.0, 6.0, 14.0, 24.0, 36.0)
OFF_PX = (3.0, 12.0, 24.0, 40.0, 60.0)
BEFORE_LINE_PX = 9.0
NARROWER = 0.08
"""Running words are narrower than the room that is kept for them, by this share at least."""
STEEP = 0.5
"""A leader that runs across by more than this share meets the words at their side, else above or below them."""
PATH_STEP_PX = 12.0


@dataclass(frozen=True)
class SheetLabel:
    """Words in lines by their middle; `leader` joins them to what they name, "" where they stand beside a mark."""

    lines: tuple[str, ...]
    at: Place
    kind: str
    leader: str = ""


class SheetLabels:
    """Sets labels in the room that is left; `found` are those that found some."""

    def __init__(self, sheet: Sheet, room: LabelRoom) -> None:
        self._sheet, self._room = sheet, room
        self.found: list[SheetLabel] = []

    def beside(self, words: str, at: Place, kind: str, away: float = 6.0) -> bool:
        """Set words beside a mark; say whether there was room."""
        wide, high = half_size(words)
        middles = [
            (at[0] + x * (away + further + wide), at[1] + y * (away + further + high))
            for further in FURTHER_PX
            for x, y in SIDES
        ]
        return self._set(words, kind, ((middle, None) for middle in middles))

    def along(self, words: str, at: FloatArray, outward: FloatArray) -> bool:
        """Set words off an outline, by points `(N, 2)` and the ways out of it, or into it; near ones first."""
        picked = np.unique(np.linspace(0, len(at) - 1, PLACES).round().astype(int))
        return self._set(words, "outline", self._off(words, at[picked], outward[picked]))

    def by_path(self, words: str, path: FloatArray) -> bool:
        """Set words beside a path, as far as it is seen."""
        places = (
            places_along(path, PATH_STEP_PX) if len(path) > 1 else [(float(path[0][0]), float(path[0][1]))]
        )
        at = np.array([one for one in places if self._sheet.holds(one)])
        if len(at) == 0:
            return False
        run = path[-1] - path[0] if len(path) > 1 else np.array([0.0, 1.0])
        across = np.array([-run[1], run[0]]) / max(float(np.hypot(*run)), 1e-9)
        middle_first = np.argsort(np.abs(np.arange(len(at)) - len(at) / 2))
        return self._set(words, "path", self._off(words, at[middle_first], np.tile(across, (len(at), 1))))

    def _off(self, words: str, at: FloatArray, ways: FloatArray) -> Iterator[tuple[Place, FloatArray]]:
        """Yield middles off some places, each with its leader."""
        wide, high = half_size(words)
        for off in OFF_PX:
            for side in (1.0, -1.0):
                for place, way in zip(at, ways * side, strict=True):
                    end = place + way * (GAP_PX + off)
                    is_beside = abs(float(way[0])) > STEEP
                    half = np.array([wide, 0.0] if is_beside else [0.0, high]) * np.sign(way)
                    middle = end + half
                    start = end + half * (NARROWER if is_beside else 0.0)
                    yield (float(middle[0]), float(middle[1])), np.array([start, place])

    def _set(self, words: str, kind: str, choices: Iterable[tuple[Place, FloatArray | None]]) -> bool:
        for middle, leader in choices:
            if not self._room.fits(words, middle):
                continue
            run = _along(leader)
            if self._room.is_clear(run):
                self._room.take(run, 1.0)
                free = self._room.set_first(words, [middle])
                path = "" if leader is None else svg_path(leader)
                self.found.append(SheetLabel(tuple(words.split("\n")), free, kind, path))
                return True
        return False


def _along(leader: FloatArray | None) -> list[Place]:
    """Return places along a leader, from its words to a little before the line they name."""
    if leader is None:
        return []
    return [place for place in places_along(leader, 2.0) if np.hypot(*(leader[1] - place)) > BEFORE_LINE_PX]
