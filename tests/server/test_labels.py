"""Words on a plan do not cover each other."""

import numpy as np

from fieldapp.server.labels import LabelRoom

OUTWARD = np.array([0.0, -1.0])


def test_a_name_stands_to_the_right_where_there_is_room():
    room = LabelRoom(400, 300, [(100, 100)])
    x, y = room.set_beside("Back", (100, 100), 11)
    assert x > 111
    assert y == 100


def test_a_name_gives_way_to_a_mark_at_its_right():
    room = LabelRoom(400, 300, [(100, 100), (125, 100)])
    assert room.set_beside("Back", (100, 100), 11)[0] < 100


def test_a_number_stands_outward_of_its_point_and_else_inward():
    room = LabelRoom(400, 300, [(100, 100), (100, 87)])
    assert room.set_off("12", (100, 100), OUTWARD) == (100.0, 112.5)


def test_a_number_without_room_on_either_side_is_left_out():
    room = LabelRoom(400, 300, [(100, 100), (100, 87), (100, 113)])
    assert room.set_off("12", (100, 100), OUTWARD) is None


def test_no_two_labels_overlap_and_none_leaves_the_sheet():
    room = LabelRoom(200, 60, [])
    set_at = [room.set_off("123", (x, 30.0), OUTWARD) for x in range(0, 200, 4)]
    found = sorted(place for place in set_at if place)
    assert len(found) > 8
    for one in found:
        assert 11 < one[0] < 189
        for other in found:
            same_line = abs(one[1] - other[1]) < 13
            assert one is other or not same_line or abs(one[0] - other[0]) >= 3 * 7.4 - 1e-9


def test_labels_that_are_set_together_all_stand_or_none():
    room = LabelRoom(100, 60, [])
    assert room.set_together([("12", [(20, 20)]), ("13", [(22, 20)])]) is None
    assert room.fits("12", (20, 20))
    assert room.set_together([("12", [(20, 20)]), ("13", [(22, 20), (60, 20)])]) == [(20, 20), (60, 20)]
    assert not room.fits("12", (20, 20))


def test_a_way_is_clear_where_nothing_taken_is_near_it():
    room = LabelRoom(100, 60, [(50, 30)])
    assert room.is_clear([(10, 10), (40, 30)])
    assert not room.is_clear([(10, 10), (46, 30)])
    assert not room.is_clear([(40, 30)], around=7.0)
    assert room.is_clear([])
