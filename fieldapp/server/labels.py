"""Room for words on a plan: labels are set one by one where they cover neither a mark nor each other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

Place = tuple[float, float]

CHARACTER_PX = 7.4
LINE_PX = 13.0
MARK_PX = 4.5
GAP_PX = 1.5
SIDES = ((1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0), (0.8, -0.8), (0.8, 0.8), (-0.8, -0.8), (-0.8, 0.8))
"""Where a name may stand beside its mark, best first: right, left, above, below, then the corners."""


def half_size(text: str) -> Place:
    """Return half the width and half the height of a label, whose lines are parted by line breaks."""
    lines = text.split("\n")
    return max(map(len, lines)) * CHARACTER_PX / 2, len(lines) * LINE_PX / 2


class LabelRoom:
    """What is taken on a sheet: boxes as (left, top, right, bottom), sheet pixels."""

    def __init__(self, width: float, height: float, marks: Iterable[Place]) -> None:
        at = np.array(list(marks), dtype=float).reshape(-1, 2)
        self._taken: NDArray[np.float64] = np.hstack([at - MARK_PX, at + MARK_PX])
        self._width, self._height = width, height

    def set_beside(self, text: str, at: Place, away: float) -> Place:
        """Return the middle of a name beside its mark; where every side is taken, to the right all the same."""
        wide, high = half_size(text)
        return self.set_first(
            text, [(at[0] + x * (away + wide), at[1] + y * (away + high)) for x, y in SIDES]
        )

    def set_first(self, text: str, middles: Sequence[Place]) -> Place:
        """Return the first of the middles at which a label covers nothing; else that inside where it covers least."""
        free = self.set_free(text, middles)
        if free is not None:
            return free
        found = self._least_covering(text, middles)
        return round(float(found[0]), 2), round(float(found[1]), 2)

    def set_free(self, text: str, middles: Iterable[Place]) -> Place | None:
        """Return the first of the middles at which a label covers nothing; None where it would everywhere."""
        free = next((middle for middle in middles if self._set(text, middle)), None)
        return None if free is None else (round(float(free[0]), 2), round(float(free[1]), 2))

    def set_together(self, wanted: Sequence[tuple[str, Sequence[Place]]]) -> list[Place] | None:
        """Return a free middle for each label and its middles; None, and nothing taken, where one has none."""
        before, found = self._taken, list[Place]()
        for text, middles in wanted:
            free = self.set_free(text, middles)
            if free is None:
                self._taken = before
                return None
            found.append(free)
        return found

    def is_clear(self, places: Iterable[Place], around: float = 1.0) -> bool:
        """Whether nothing taken lies within so much of any of the places."""
        at = np.array(list(places), dtype=float).reshape(-1, 2)[:, np.newaxis]
        clear = (self._taken[:, :2] >= at + around) | (self._taken[:, 2:] <= at - around)
        return bool(clear.any(axis=2).all())

    def fits(self, text: str, middle: Place) -> bool:
        """Whether a label there lies inside and covers nothing."""
        return self._is_inside(text, middle) and not self._covers(self._box(text, middle)).any()

    def take(self, marks: Iterable[Place], around: float = MARK_PX) -> None:
        """Keep labels off more places, and `around` them."""
        at = np.array(list(marks), dtype=float).reshape(-1, 2)
        self._taken = np.vstack([self._taken, np.hstack([at - around, at + around])])

    def set_off(self, text: str, at: Place, outward: NDArray[np.float64]) -> Place | None:
        """Return the middle of a number just outward of its mark, or inward; None where there is no room."""
        for x, y in (outward, -outward):
            clear_across = (MARK_PX + len(text) * CHARACTER_PX / 2) / max(abs(float(x)), 1e-9)
            clear_down = (MARK_PX + LINE_PX / 2) / max(abs(float(y)), 1e-9)
            away = min(clear_across, clear_down) + GAP_PX
            middle = (at[0] + float(x) * away, at[1] + float(y) * away)
            if self._set(text, middle):
                return round(middle[0], 2), round(middle[1], 2)
        return None

    def _box(self, text: str, middle: Place) -> NDArray[np.float64]:
        wide, high = half_size(text)
        return np.array([middle[0] - wide, middle[1] - high, middle[0] + wide, middle[1] + high])

    def _least_covering(self, text: str, middles: Sequence[Place]) -> Place:
        inside = [middle for middle in middles if self._is_inside(text, middle)] or middles[:1]
        found = min(inside, key=lambda middle: int(self._covers(self._box(text, middle)).sum()))
        self._taken = np.vstack([self._taken, self._box(text, found)])
        return found

    def _covers(self, box: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Tell which of the taken boxes a box lies over."""
        clear = (self._taken[:, :2] >= box[2:]) | (self._taken[:, 2:] <= box[:2])
        return np.asarray(~clear.any(axis=1))

    def _is_inside(self, text: str, middle: Place) -> bool:
        left, top, right, bottom = self._box(text, middle)
        return bool(left >= 0 and top >= 0 and right <= self._width and bottom <= self._height)

    def _set(self, text: str, middle: Place) -> bool:
        if not self.fits(text, middle):
            return False
        self._taken = np.vstack([self._taken, self._box(text, middle)])
        return True
