"""What was changed between two drafts, in words that somebody else understands."""

from dataclasses import replace

import pytest

from fieldapp.model import Bunker, ControlPoint, DrawnShape, Outline, Plan
from fieldapp.workflow.draft_changes import GroundWords, changes_between

METRES = GroundWords(1.0, "metre")


def shape(*places, **more):
    points = tuple(place if isinstance(place, ControlPoint) else ControlPoint(*place) for place in places)
    return DrawnShape(points, **more)


SAND = Outline("sand", "sand edge", shape((0, 0), (0, 8), (10, 8), (10, 0)))
MOUND = Outline("m1", "mound foot", shape((20, 0), (20, 5), (25, 5)), above_ground_m=0.0)
BEFORE = Bunker("b1", 4, "4 right", "", (SAND, MOUND), plan=Plan("4-back", 200.0, 220.0), floor_level_m=3.0)


def with_sand(**changes):
    return replace(BEFORE, outlines=(replace(SAND, **changes), MOUND))


@pytest.mark.parametrize(
    ("after", "words"),
    [
        (BEFORE, ()),
        (
            with_sand(shape=shape((0, 0), (0, 8.42), (10, 8.1), (10, 0))),
            ("moved 2 points of the sand edge (0.42 m at most)",),
        ),
        (with_sand(shape=shape((0, 0), (0, 8), (10.5, 8), (10, 0))), ("moved 1 point of the sand edge (0.50 m)",)),
        (with_sand(shape=shape((0, 0.0004), (0, 8), (10, 8), (10, 0))), ()),
        (
            with_sand(shape=shape((1, 0), (1, 8), (11, 8), (11, 0))),
            ("moved all 4 points of the sand edge (1.00 m at most)",),
        ),
        (with_sand(shape=shape((0, 0), (0, 8), (5, 9), (10, 8), (10, 0))), ("added 1 point to the sand edge",)),
        (
            with_sand(shape=shape((0, 0), (2, 9), (5, 9), (10, 8), (10, 0))),
            ("added 1 point to the sand edge", "moved 1 point of the sand edge"),
        ),
        (with_sand(shape=shape((0, 0), (0, 8), (10, 8))), ("took 1 point of the sand edge out",)),
        (
            with_sand(shape=shape((0, 0), ControlPoint(0, 8, "corner"), (10, 8), (10, 0))),
            ("changed the kind of 1 point of the sand edge",),
        ),
        (
            with_sand(shape=replace(SAND.shape, curve="straight", closed=False)),
            ("opened the sand edge", "made the sand edge straight"),
        ),
        (with_sand(part="scallop"), ("made the sand edge 'sand' a scallop",)),
        (with_sand(level_m=12.1), ("changed the height of the sand edge",)),
        (replace(BEFORE, outlines=(SAND,)), ("took the mound foot away",)),
        (
            replace(BEFORE, outlines=(SAND, MOUND, replace(MOUND, id="m2"))),
            ("added the mound foot 'm2'",),
        ),
        (replace(BEFORE, outlines=(MOUND, SAND)), ("put the outlines in another order",)),
        (replace(BEFORE, plan=None), ("took the plan away",)),
        (replace(BEFORE, plan=Plan("4-back", 201.0, 220.0)), ("changed the plan",)),
        (
            replace(BEFORE, name="4 new", hole=5, floor_level_m=None, note="Wet."),
            ("named it '4 new'", "put it on hole 5", "changed the level of the floor", "changed the note"),
        ),
    ],
)  # fmt: skip
def test_each_change_is_told(after, words):
    assert changes_between(BEFORE, after, METRES) == words


def test_a_bunker_moved_as_it_is_has_moved_as_a_whole_in_ground_lengths_of_the_site():
    def moved(outline):
        points = tuple(replace(point, x=point.x + 3.0, y=point.y - 4.0) for point in outline.shape.points)
        return replace(outline, shape=replace(outline.shape, points=points))

    after = replace(BEFORE, name="4 far", outlines=(moved(SAND), moved(MOUND)))
    assert changes_between(BEFORE, after, METRES) == ("moved the whole bunker by 5.00 m", "named it '4 far'")
    in_feet = changes_between(BEFORE, after, GroundWords(1.001, "foot"))
    assert in_feet[0] == f"moved the whole bunker by {5.005 / 0.3048:.2f} ft"


def test_a_plan_given_is_no_change_of_one():
    assert changes_between(replace(BEFORE, plan=None), BEFORE, METRES) == ("gave the plan",)
