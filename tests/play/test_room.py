"""Room beside a bunker, by hand: square to the line of play to the fairway's edge or to other sand."""

import pytest

from fieldapp.errors import OutlineError
from tests.play.holes import bunker, rectangle, site_of, table

FAIRWAY = ((-20.0, 50.0), (-20.0, 350.0), (15.0, 350.0), (15.0, 50.0))
RIGHT = bunker(rectangle(10, 20, 200, 210), name="right")
EXACT_M = 1e-8


def room(*bunkers, fairway=FAIRWAY, scale=1.0, **hole):
    """Room of the first bunker and what bounds it."""
    row = table(site_of(bunkers, fairway=fairway, **hole), scale=scale)[0]
    return row.room_m, row.room_to


def test_room_goes_from_the_inner_edge_to_the_fairways_other_edge():
    assert room(RIGHT) == (pytest.approx(30.0, abs=EXACT_M), "the fairway's edge")


def test_the_side_of_the_room_is_told():
    sides = {"left": RIGHT, "right": bunker(rectangle(-25, -12, 200, 210))}
    for side, of in sides.items():
        assert table(site_of((of,), fairway=FAIRWAY))[0].room_side == side
    assert table(site_of((RIGHT,), fairway=()))[0].room_side is None


def test_a_bunker_on_the_left_has_its_room_on_the_right():
    assert room(bunker(rectangle(-25, -12, 200, 210)))[0] == pytest.approx(27.0, abs=EXACT_M)


def test_a_bunker_beside_the_fairway_has_all_of_it_and_the_strip_between():
    assert room(bunker(rectangle(18, 25, 200, 210)))[0] == pytest.approx(38.0, abs=EXACT_M)


def test_a_bunker_over_the_line_of_play_has_the_room_beyond_it():
    assert room(bunker(rectangle(-4, 10, 200, 210)))[0] == pytest.approx(16.0, abs=EXACT_M)


def test_a_bunker_in_the_middle_has_the_wider_of_both_sides():
    assert room(bunker(rectangle(-5, 5, 200, 210)))[0] == pytest.approx(15.0, abs=EXACT_M)


def test_room_is_in_ground_metres():
    assert room(RIGHT, scale=1.001)[0] == pytest.approx(30.03, abs=EXACT_M)


def test_a_second_bunker_on_the_other_side_bounds_the_room_where_it_is_nearer():
    left = bunker(rectangle(-12, -5, 206, 215), name="left")
    assert room(RIGHT, left) == (pytest.approx(15.0, abs=EXACT_M), "left")
    assert room(RIGHT, left, fairway=()) == (pytest.approx(15.0, abs=EXACT_M), "left")


def test_a_second_bunker_beyond_the_fairway_does_not():
    left = bunker(rectangle(-32, -25, 206, 215), name="left")
    assert room(RIGHT, left) == (pytest.approx(30.0, abs=EXACT_M), "the fairway's edge")


@pytest.mark.parametrize(
    "other",
    [
        pytest.param(rectangle(-12, -5, 211, 220), id="further on"),
        pytest.param(rectangle(22, 26, 203, 207), id="further out on the same side"),
    ],
)
def test_other_sand_that_is_not_abeam_or_not_toward_the_play_bounds_nothing(other):
    assert room(RIGHT, bunker(other, name="other"), fairway=()) == (None, None)


def test_other_sand_between_the_bunker_and_the_line_of_play_bounds_the_room():
    inner = bunker(rectangle(2, 6, 198, 212), name="inner")
    outer = bunker(rectangle(14, 18, 200, 210), name="outer")
    assert room(outer, inner) == (pytest.approx(8.0, abs=EXACT_M), "inner")
    assert room(inner, outer) == (pytest.approx(22.0, abs=EXACT_M), "the fairway's edge")


@pytest.mark.parametrize("corners", [(5, 14, 198, 212), (9, 10, 200, 210), (10, 20, 200, 210)])
def test_other_sand_that_the_inner_edge_lies_in_or_touches_leaves_no_room(corners):
    other = bunker(rectangle(*corners), name="other")
    assert room(RIGHT, other) == (pytest.approx(0.0, abs=EXACT_M), "other")


def test_without_a_fairway_or_a_second_bunker_there_is_no_figure():
    assert room(RIGHT, fairway=()) == (None, None)


def test_a_fairway_that_ends_before_the_bunker_gives_no_figure():
    assert room(RIGHT, fairway=((-20, 50), (-20, 190), (15, 190), (15, 50))) == (None, None)


def test_the_least_room_over_the_bunkers_length_counts():
    """The left edge comes in by a metre a metre; the last station is at most an eighth of a metre from the end."""
    tapering = ((-20.0, 50.0), (-20.0, 200.0), (-10.0, 210.0), (-10.0, 350.0), (15.0, 350.0), (15.0, 50.0))
    found, _ = room(RIGHT, fairway=tapering)
    assert 20.0 < found <= 20.125 + EXACT_M


def test_on_the_second_leg_room_is_square_to_that_leg():
    """The hole turns right at 180 m; sand is 5 m nearer to the tee than the leg, the fairway 22 m beyond it."""
    fairway = ((10.0, 160.0), (10.0, 202.0), (300.0, 202.0), (300.0, 160.0))
    below = bunker(rectangle(100, 110, 165, 175))
    found, _ = room(below, fairway=fairway, turning_points=((0.0, 180.0),), green=(240.0, 180.0))
    assert found == pytest.approx(27.0, abs=EXACT_M)


def test_a_fairway_that_crosses_itself_is_refused_by_its_hole():
    with pytest.raises(OutlineError, match=r"Hole 1, fairway: .*crosses"):
        room(RIGHT, fairway=((-20, 50), (15, 350), (-20, 350), (15, 50)))
