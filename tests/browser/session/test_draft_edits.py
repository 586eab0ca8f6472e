"""Edits of a draft: what each changes, what it leaves, and that nothing given is changed in place."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

pytestmark = pytest.mark.browser

SQUARE = [[0.0, 0.0], [0.0, 10.0], [10.0, 10.0], [10.0, 0.0]]
FROZEN = """const frozen = (thing) => {
  if (thing && typeof thing === 'object') Object.values(Object.freeze(thing)).forEach(frozen);
  return thing;
};
"""


def draft(points=SQUARE, curve="smooth", closed=True, outline="edge"):
    return {
        "format": "fieldapp-draft",
        "version": 1,
        "bunker": {"id": "b", "hole": 1, "name": "One", "note": "", "floor_level_m": None},
        "from": {"revision": None, "site_version": None},
        "outlines": [
            {
                "id": outline,
                "part": "sand edge",
                "curve": curve,
                "closed": closed,
                "points": points,
                "level_m": None,
                "above_ground_m": None,
            }
        ],
        "plan": None,
    }


@pytest.fixture
def edit(ask):
    """Ask for an edit of a frozen draft, so that one made in place throws."""

    def edited(call, doc, module="edits"):
        question = (
            f"(m, doc) => {{ 'use strict'; {FROZEN} return m.{call.replace('(', '(frozen(doc), ', 1)}; }}"
        )
        return ask(module, question, doc, room="desk/draft")

    return edited


@pytest.fixture
def points_after(edit):
    def points(call, doc, module="edits"):
        return edit(call, doc, module)["outlines"][0]["points"]

    return points


@pytest.fixture
def refusal(ask):
    def said(call, doc, module="edits"):
        asked = call.replace("(", "(doc, ", 1)
        question = (
            f"(m, doc) => {{ try {{ m.{asked}; return null; }} catch (error) {{ return error.message; }} }}"
        )
        return ask(module, question, doc, room="desk/draft")

    return said


CORNERED = [[0.0, 0.0, "corner"], [0.0, 10.0], [5.0, 12.0, "through"], [10.0, 10.0], [10.0, 0.0]]


@pytest.mark.parametrize(
    ("call", "points"),
    [
        (
            "movePoints('edge', [0, 2], 1, -2)",
            [[1, -2, "corner"], [0, 10], [6, 10, "through"], [10, 10], [10, 0]],
        ),
        ("setPoint('edge', 2, 5, 13)", [[0, 0, "corner"], [0, 10], [5, 13, "through"], [10, 10], [10, 0]]),
        ("addPoint('edge', 4, 5, -1)", [*CORNERED, [5, -1]]),
        ("addPoint('edge', -1, 5, -1)", [[5, -1], *CORNERED]),
        ("deletePoints('edge', [0, 4])", [[0, 10], [5, 12, "through"], [10, 10]]),
        ("setRole('edge', 0, 'plain')", [[0, 0], *CORNERED[1:]]),
        ("setRole('edge', 3, 'corner')", [*CORNERED[:3], [10, 10, "corner"], [10, 0]]),
        ("setRole('edge', 1, 'through')", [[0, 0, "corner"], [0, 10, "through"], [5, 12], [10, 10], [10, 0]]),
    ],
)
def test_points_are_moved_set_added_deleted_and_given_roles(points_after, call, points):
    assert points_after(call, draft(CORNERED)) == points


def test_an_arc_whose_neighbour_is_deleted_goes_too(points_after):
    twice = [[0, 0], [2, 1, "through"], [4, 0], [6, 1, "through"], [8, 0]]
    assert points_after("deletePoints('edge', [2])", draft(twice, "straight", False)) == [
        [0, 0],
        [2, 1, "through"],
        [6, 1],
        [8, 0],
    ]
    assert points_after("deletePoints('edge', [0])", draft(twice, "straight", False))[0] == [2, 1]


def test_the_end_of_an_open_outline_carries_no_arc(edit):
    doc = draft([[0, 0], [2, 1], [4, 0]], closed=False)
    assert edit("setRole('edge', 0, 'through')", doc) == doc


def test_outlines_are_added_under_ids_of_their_own_and_taken_out(ask):
    question = """(m, doc) => {
      const shape = {part: 'mound foot', curve: 'smooth', closed: true, points: [[1, 1], [2, 5], [6, 2]]};
      const two = m.addOutline(m.addOutline(doc, shape), shape);
      const one = m.removeOutline(two, 'mound-foot');
      const high = m.setHeights(m.setPart(one, 'mound-foot-2', 'mound top'), 'mound-foot-2', {above_ground_m: 0.8});
      return {ids: two.outlines.map(o => o.id), high, kept: high.outlines[0] === doc.outlines[0]};
    }"""
    found = ask("edits", question, draft(), room="desk/draft")
    assert found["ids"] == ["edge", "mound-foot", "mound-foot-2"]
    assert found["kept"] is True
    last = found["high"]["outlines"][-1]
    assert (last["id"], last["part"]) == ("mound-foot-2", "mound top")
    assert (last["level_m"], last["above_ground_m"]) == (None, 0.8)


def test_facts_are_set_and_what_is_not_given_stays(edit):
    found = edit("setFacts({note: 'dry', floor_level_m: 11.2})", draft())["bunker"]
    assert found == {"id": "b", "hole": 1, "name": "One", "note": "dry", "floor_level_m": 11.2}


@pytest.mark.parametrize(
    ("call", "words"),
    [
        ("setPoint('edge', 9, 1, 1)", "The outline has no point 10; it has 4."),
        ("setPoint('face', 0, 1, 1)", "The draft has no outline 'face'."),
        ("movePoints('edge', [0], NaN, 0)", "'NaN' is not a number; give a length in figures."),
        ("addPoint('edge', 0, undefined, 0)", "'undefined' is not a number; give a length in figures."),
        ("setRole('edge', 0, 'sharp')", "'sharp' is no role of a point; it is plain, corner or through."),
        (
            "setHeights('edge', {level_m: 1, above_ground_m: 1})",
            "An outline has a level or a height above the ground; give one of the two.",
        ),
        (
            "straighten('edge', 0, 7)",
            "The outline has points 1 to 4; choose the ends of the stretch among them.",
        ),
    ],
)
def test_what_cannot_be_done_is_refused_in_words(refusal, call, words):
    assert refusal(call, draft()) == words


WAVY = [[0, 0], [1, 3], [4, 4, "corner"], [6, 9], [10, 10], [12, 2]]


def test_a_stretch_is_laid_straight_between_its_ends_which_become_corners(points_after, ask):
    points = points_after("straighten('edge', 0, 4)", draft(WAVY))
    assert points[0] == [0, 0, "corner"]
    assert points[4] == [10, 10, "corner"]
    assert points[5] == [12, 2]
    way = [0.0]
    for (ax, ay, *_), (bx, by, *_) in pairwise(WAVY[:5]):
        way.append(way[-1] + math.hypot(bx - ax, by - ay))
    for index in (1, 2, 3):
        assert points[index] == pytest.approx([10 * way[index] / way[4]] * 2, abs=1e-12)
    trace = ask(
        "drawn",
        "(m, o) => m.drawn(o).trace",
        {**draft(WAVY)["outlines"][0], "points": points},
        room="desk/draft",
    )
    start, end = trace.index([0, 0]), trace.index([10, 10])
    assert end - start >= 4
    assert all(abs(x - y) < 1e-9 for x, y in trace[start : end + 1])


def test_a_stretch_of_a_closed_outline_may_run_over_the_end_of_its_list(points_after):
    points = points_after("straighten('edge', 4, 1)", draft(WAVY))
    assert points[4] == [10, 10, "corner"]
    assert points[1] == [1, 3, "corner"]
    assert points[2:4] == WAVY[2:4]
    for x, y in (points[5], points[0]):
        assert (y - 10) * (1 - 10) == pytest.approx((x - 10) * (3 - 10))
    backwards = points_after("straighten('edge', 4, 1)", draft(WAVY, closed=False))
    assert backwards == points_after("straighten('edge', 1, 4)", draft(WAVY, closed=False))


def test_ends_of_an_open_outline_stay_plain_when_it_is_laid_straight(points_after):
    points = points_after("straighten('edge', 0, 5)", draft(WAVY, closed=False))
    assert [len(point) for point in points] == [2] * 6
    assert points[0] == [0, 0]
    assert points[5] == [12, 2]


def test_smoothing_takes_corners_off_and_evens_the_points_between_the_ends(points_after):
    jagged = [[0, 0, "corner"], [1, 2, "corner"], [2, -2, "corner"], [9, 2, "corner"], [10, 0], [5, -9]]
    points = points_after("smoothen('edge', 0, 4)", draft(jagged))
    assert [len(point) for point in points] == [2] * 6
    assert [points[0], points[4], points[5]] == [[0, 0], [10, 0], [5, -9]]
    legs = [math.dist(a, b) for a, b in pairwise(points[:5])]
    assert max(legs) / min(legs) < 1.1
    assert max(abs(y) for _, y in points[1:4]) < 1


def test_the_rule_of_smoothing_by_hand(points_after):
    """One point between: half way to the middle of its neighbours, twice, is a quarter of its height left."""
    points = points_after("smoothen('edge', 0, 2)", draft([[0, 0], [5, 4, "corner"], [10, 0], [5, -9]]))
    assert points[1] == pytest.approx([5, 1], abs=1e-12)


def test_a_straight_outline_smoothed_in_part_stays_as_drawn_elsewhere(edit, ask):
    octagon = [[0, 3], [0, 7], [3, 10], [7, 10], [10, 7], [10, 3], [7, 0], [3, 0]]
    smooth = edit("smoothen('edge', 2, 5)", draft(octagon, "straight"))["outlines"][0]
    assert smooth["curve"] == "smooth"
    assert [len(point) for point in smooth["points"]] == [3, 3, 3, 2, 2, 3, 3, 3]
    trace = ask("drawn", "(m, o) => m.drawn(o).trace", smooth, room="desk/draft")
    for x, y in trace:
        if y < 3 or x < 0.5:
            assert min(abs(x), abs(y), abs(x + y - 3), abs(x - y - 7)) < 1e-9
    whole = edit("smoothen('edge', 0, 7)", draft(octagon, "straight"))["outlines"][0]
    assert [len(point) for point in whole["points"]] == [2] * 8


def test_a_whole_bunker_is_moved_turned_scaled_and_mirrored(points_after):
    doc = draft([[0, 0], [0, 4, "corner"], [2, 4], [2, 0]])
    assert points_after("moveBunker(3, -1)", doc, "whole") == [[3, -1], [3, 3, "corner"], [5, 3], [5, -1]]
    for call, places in (
        ("turnBunker(90, [0, 0])", [(0, 0), (4, 0), (4, -2), (0, -2)]),
        ("scaleBunker(2, 3, [0, 0], 0)", [(0, 0), (0, 8), (6, 8), (6, 0)]),
        ("scaleBunker(2, 3, [0, 0], 90)", [(0, 0), (0, 12), (4, 12), (4, 0)]),
        ("mirrorBunker([0, 0], 0)", [(0, 0), (0, 4), (-2, 4), (-2, 0)]),
        ("mirrorBunker([0, 0], 45)", [(0, 0), (4, 0), (4, 2), (0, 2)]),
    ):
        found = points_after(call, doc, "whole")
        assert [tuple(point[:2]) for point in found] == [pytest.approx(place, abs=1e-12) for place in places]
        assert found[1][2] == "corner"


def test_a_scale_of_nothing_is_refused(refusal):
    words = "A bunker is scaled by numbers above 0; to turn it over, mirror it."
    assert refusal("scaleBunker(0, 1, [0, 0], 0)", draft(), "whole") == words
