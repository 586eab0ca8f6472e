"""What somebody changed between two drafts of a bunker, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from math import dist

from fieldapp.formats.lengths import hundredths
from fieldapp.model import Bunker, ControlPoint, DrawnShape, Outline
from fieldapp.model.units import GroundUnit

SAME_M = 0.0005
"""A point that moved by less did not move."""
Place = tuple[float, float]


@dataclass(frozen=True)
class GroundWords:
    """Writes lengths: course metres become ground lengths in the unit that people of the site work in."""

    ground_scale: float
    unit: GroundUnit

    def of(self, course_m: float) -> str:
        """Write a length of the course grid as it is on the ground."""
        return hundredths(course_m * self.ground_scale, self.unit)


def changes_between(before: Bunker, after: Bunker, write: GroundWords) -> tuple[str, ...]:
    """Return what was changed, each as what somebody did: "moved 3 points of the sand edge (0.42 m at most)".

    Both are drafts: every outline is a drawn one in course metres. Empty where both say the same.
    """
    whole = _whole_move(before, after)
    if whole is not None:
        return (f"moved the whole bunker by {write.of(whole)}", *_facts(before, after))
    return (*_outlines(before, after, write), *_facts(before, after))


def _facts(before: Bunker, after: Bunker) -> Iterator[str]:
    if before.name != after.name:
        yield f"named it '{after.name}'"
    if before.hole != after.hole:
        yield f"put it on hole {after.hole}"
    if before.plan != after.plan:
        yield (
            "took the plan away" if after.plan is None else f"{'changed' if before.plan else 'gave'} the plan"
        )
    if before.floor_level_m != after.floor_level_m:
        yield "changed the level of the floor"
    if before.note != after.note:
        yield "changed the note"


def _outlines(before: Bunker, after: Bunker, write: GroundWords) -> Iterator[str]:
    old, new = _by_id(before), _by_id(after)
    for name, outline in old.items():
        if name not in new:
            yield f"took {_called(outline, before)} away"
    for name, outline in new.items():
        if name not in old:
            yield f"added {_called(outline, after)}"
            continue
        yield from _outline(old[name], outline, _called(outline, after), write)
    kept = [name for name in old if name in new]
    if kept != [name for name in new if name in old]:
        yield "put the outlines in another order"


def _by_id(bunker: Bunker) -> dict[str, Outline]:
    return {outline.id: outline for outline in bunker.outlines}


def _called(outline: Outline, bunker: Bunker) -> str:
    return f"the {bunker.called(outline)}"


def _outline(before: Outline, after: Outline, called: str, write: GroundWords) -> Iterator[str]:
    if before.part != after.part:
        yield f"made the {before.part} '{before.id}' a {after.part}"
    yield from _shape(_drawn(before), _drawn(after), called, write)
    if (before.level_m, before.above_ground_m) != (after.level_m, after.above_ground_m):
        yield f"changed the height of {called}"


def _drawn(outline: Outline) -> DrawnShape:
    if not isinstance(outline.shape, DrawnShape):
        raise TypeError("an outline of a draft is a drawn one")
    return outline.shape


def _shape(before: DrawnShape, after: DrawnShape, called: str, write: GroundWords) -> Iterator[str]:
    if before.closed != after.closed:
        yield f"{'closed' if after.closed else 'opened'} {called}"
    if before.curve != after.curve:
        yield f"made {called} {after.curve}"
    if len(before.points) == len(after.points):
        yield from _moved(before.points, after.points, called, write)
        turned = sum(one.role != other.role for one, other in zip(before.points, after.points, strict=True))
        if turned:
            yield f"changed the kind of {_points(turned)} of {called}"
    else:
        yield from _redrawn(before.points, after.points, called)


def _moved(
    before: Sequence[ControlPoint], after: Sequence[ControlPoint], called: str, write: GroundWords
) -> Iterator[str]:
    moves = [dist(_place(one), _place(other)) for one, other in zip(before, after, strict=True)]
    moved = [move for move in moves if move > SAME_M]
    if not moved:
        return
    by = f"{write.of(max(moved))}{' at most' if len(moved) > 1 else ''}"
    if len(moved) == len(moves) > 1:
        yield f"moved all {_points(len(moved))} of {called} ({by})"
    else:
        yield f"moved {_points(len(moved))} of {called} ({by})"


def _redrawn(before: Sequence[ControlPoint], after: Sequence[ControlPoint], called: str) -> Iterator[str]:
    """Say how many points came, went and moved; those of one stretch that was drawn anew count as moved first."""
    old, new = ([(round(at.x, 3), round(at.y, 3), at.role) for at in points] for points in (before, after))
    came = went = moved = 0
    for kind, a, b, c, d in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind != "equal":
            both = min(b - a, d - c)
            moved, went, came = moved + both, went + (b - a - both), came + (d - c - both)
    if came:
        yield f"added {_points(came)} to {called}"
    if went:
        yield f"took {_points(went)} of {called} out"
    if moved:
        yield f"moved {_points(moved)} of {called}"


def _points(count: int) -> str:
    return "1 point" if count == 1 else f"{count} points"


def _whole_move(before: Bunker, after: Bunker) -> float | None:
    """Return how far the whole of a bunker was moved as it is; None where it was not, or was changed too."""
    olds, news = before.outlines, after.outlines
    if len(olds) != len(news) or any(
        _but_points(one) != _but_points(two) for one, two in zip(olds, news, strict=True)
    ):
        return None
    points = [_drawn(outline).points for outline in olds], [_drawn(outline).points for outline in news]
    old, new = ([_place(point) for each in one for point in each] for one in points)
    if len(old) < 2 or len(old) != len(new):
        return None
    step = new[0][0] - old[0][0], new[0][1] - old[0][1]
    carried = [(x + step[0], y + step[1]) for x, y in old]
    length = dist((0.0, 0.0), step)
    alike = all(dist(one, other) <= SAME_M for one, other in zip(carried, new, strict=True))
    return length if alike and length > SAME_M else None


def _but_points(outline: Outline) -> tuple[object, ...]:
    shape = _drawn(outline)
    roles = tuple(point.role for point in shape.points)
    return outline.id, outline.part, outline.level_m, outline.above_ground_m, shape.curve, shape.closed, roles


def _place(point: ControlPoint) -> Place:
    return point.x, point.y
