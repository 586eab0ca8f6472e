"""Two revisions of a bunker compared, paint point by paint point, and how far a place lies off a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fieldapp.outline.laid_out import LaidOutBunker, LaidOutOutline
from fieldapp.outline.offset import along_and_off

FloatArray = NDArray[np.float64]
Place = tuple[float, float]
Fate = Literal["unmoved", "moved", "appears", "disappears"]


@dataclass(frozen=True)
class ComparedPoint:
    """What becomes of a paint point: its numbers and places, course metres, in the old and the new revision.

    `moved_m` is None for one that appears (no old number) or disappears (no new one); `off_m` is how far it lies from
    the other revision's line, None where that has none. Both are ground metres: a point may move along a line that
    stays.
    """

    fate: Fate
    old: int | None
    new: int | None
    old_at: Place | None
    new_at: Place | None
    moved_m: float | None
    off_m: float | None


@dataclass(frozen=True)
class ComparedOutline:
    """An outline in both revisions, or in one of them; its points in the order of the new numbers, then of the old.

    It is `called` by its part, and by its id too where another outline compared is of that part.
    """

    called: str
    old: LaidOutOutline | None
    new: LaidOutOutline | None
    points: tuple[ComparedPoint, ...]

    def count(self, fate: Fate) -> int:
        """Return how many of its points met a fate."""
        return sum(point.fate == fate for point in self.points)

    @property
    def farthest_m(self) -> float | None:
        """The farthest that one of its points moved, ground metres; None where none is in both."""
        return max((point.moved_m for point in self.points if point.moved_m is not None), default=None)

    @property
    def farthest_off_m(self) -> float | None:
        """The farthest that one of its points lies from the other line, ground metres; None without one."""
        return max((point.off_m for point in self.points if point.off_m is not None), default=None)


def compared(
    old: LaidOutBunker, new: LaidOutBunker, ground_scale: float, tolerance_m: float
) -> tuple[ComparedOutline, ...]:
    """Compare two revisions of a bunker on one course grid, outline by outline, those of the new one first.

    Outlines go together by their id, else by their part in the order of the bunkers. Two points are the same where each
    is the other's nearest; they moved where that is by more than `tolerance_m`, ground metres. `ground_scale` is ground
    metres per course metre.
    """
    pairs = _pairs(old.outlines, new.outlines)
    return tuple(
        ComparedOutline(called, one, other, tuple(_points(one, other, ground_scale, tolerance_m)))
        for called, (one, other) in zip(_names(pairs), pairs, strict=True)
    )


def off_the_line_m(
    bunker: LaidOutBunker, part: str, places: Sequence[Place], ground_scale: float
) -> list[float] | None:
    """Return how far places, course metres, lie from the nearest line of a part, ground metres, 0 or more.

    None where the bunker has no such part. Distances are to the traced line, within 0.2 mm of the true one.
    """
    lines = [outline for outline in bunker.outlines if outline.part == part]
    if not lines or not places:
        return None if not lines else []
    off = [_off(line, np.array(places)) for line in lines]
    return [float(distance) for distance in np.min(off, axis=0) * ground_scale]


def _names(pairs: Sequence[tuple[LaidOutOutline | None, LaidOutOutline | None]]) -> list[str]:
    told = [outline for old, new in pairs if (outline := new or old)]
    parts = [outline.part for outline in told]
    return [one.part if parts.count(one.part) == 1 else f"{one.part} '{one.id}'" for one in told]


def _pairs(
    old: Sequence[LaidOutOutline], new: Sequence[LaidOutOutline]
) -> list[tuple[LaidOutOutline | None, LaidOutOutline | None]]:
    partner = {
        outline.id: known
        for outline in new
        for known in old
        if (outline.id, outline.part) == (known.id, known.part)
    }
    left = [outline for outline in old if outline.id not in partner]
    for outline in new:
        if outline.id not in partner:
            found = next((known for known in left if known.part == outline.part), None)
            if found is not None:
                partner[outline.id] = found
                left.remove(found)
    return [(partner.get(outline.id), outline) for outline in new] + [(outline, None) for outline in left]


def _points(
    old: LaidOutOutline | None, new: LaidOutOutline | None, ground_scale: float, tolerance_m: float
) -> Iterator[ComparedPoint]:
    before, after = (np.empty((0, 2)) if one is None else one.points.xy for one in (old, new))
    to_new, to_old = _nearest(before, after), _nearest(after, before)
    off_old = None if old is None or new is None else _off(old, after) * ground_scale
    off_new = None if old is None or new is None else _off(new, before) * ground_scale
    kept: set[int] = set()
    for index, at in enumerate(after):
        other = to_old[index] if len(before) else -1
        if other < 0 or to_new[other] != index:
            yield ComparedPoint("appears", None, index + 1, None, _place(at), None, _at(off_old, index))
            continue
        kept.add(int(other))
        moved_m = float(np.hypot(*(at - before[other]))) * ground_scale
        fate: Fate = "moved" if moved_m > tolerance_m else "unmoved"
        places = _place(before[other]), _place(at)
        yield ComparedPoint(fate, int(other) + 1, index + 1, *places, moved_m, _at(off_old, index))
    for index, at in enumerate(before):
        if index not in kept:
            yield ComparedPoint("disappears", index + 1, None, _place(at), None, None, _at(off_new, index))


def _nearest(places: FloatArray, others: FloatArray) -> NDArray[np.intp]:
    """Return for each place the index of the nearest of others, the first of equally near ones."""
    if len(others) == 0:
        return np.full(len(places), -1, dtype=np.intp)
    found = [np.argmin(np.round(np.hypot(*(others - place).T), 9)) for place in places]
    return np.array(found, dtype=np.intp)


def _off(line: LaidOutOutline, places: FloatArray) -> FloatArray:
    """Return how far places `(N, 2)` lie off a line, 0 or more, course metres."""
    return np.abs(along_and_off(line.trace(), line.curve.closed, line.curve.length_m, places)[1])


def _at(off_m: FloatArray | None, index: int) -> float | None:
    return None if off_m is None else float(off_m[index])


def _place(at: FloatArray) -> Place:
    return float(at[0]), float(at[1])
