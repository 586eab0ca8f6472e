"""Spot levels: one at a place."""

from decimal import Decimal
from fractions import Fraction

import pytest

from fieldapp.formats.lengths import METRE
from fieldapp.formats.level_files import levels_of, read_levels_file

FOOT = Fraction(3048, 10000)


def read(*levels, factor=METRE):
    found, faults = levels_of([[Decimal(str(number)) for number in level] for level in levels], factor)
    return [level for _, level in found], faults


@pytest.mark.parametrize("again", [(10, 20, 3.0), (10, 20, 3.02), (10.03, 20.04, 2.99)])
def test_a_level_given_again_counts_once_and_the_first_stays(again):
    levels, faults = read((10, 20, 3.0), (50, 20, 4.0), again)
    assert faults == []
    assert [(spot.x, spot.level_m) for spot in levels] == [(10, 3.0), (50, 4.0)]


def test_two_levels_of_one_place_that_disagree_are_a_mistake_that_names_both():
    _, (fault,) = read((10, 20, 3.0), (50, 20, 4.0), (10, 20.01, 3.03))
    assert fault.index == 2
    assert fault.what == "the level is 3.03 and at the same place it is 3.0 in spot level 1"


def test_levels_six_centimetres_apart_are_of_two_places_and_may_differ():
    levels, faults = read((10, 20, 3.0), (10.06, 20, 3.4))
    assert (len(levels), faults) == (2, [])


def test_places_and_levels_are_compared_in_metres_whatever_the_unit_of_the_file():
    near, none = read((10, 20, 3.0), (10.16, 20, 3.05), factor=FOOT)
    apart, _ = read((10, 20, 3.0), (10.17, 20, 3.05), factor=FOOT)
    assert (len(near), none, len(apart)) == (1, [], 2)
    assert len(read((10, 20, 3.0), (10, 20, 3.07), factor=FOOT)[1]) == 1


def test_the_third_at_a_place_is_held_against_the_first():
    levels, (fault,) = read((0, 0, 1.00), (0, 0.04, 1.02), (0, 0.02, 1.04))
    assert len(levels) == 1
    assert (fault.index, "in spot level 1" in fault.what) == (2, True)


def test_faults_come_in_the_order_of_the_file_and_a_spoilt_line_is_held_against_none():
    content = b"x,y,level\n1,1,2\n1,1,high\n9,9,2\n1,1,5\n\n9,9,1\n3,3\n"
    levels, faults = read_levels_file(content, METRE)
    assert [fault.line for fault in faults] == [3, 5, 7, 8]
    assert "'high'" in faults[0].what
    assert faults[1].what == "the level is 5 and at the same place it is 2 in line 2"
    assert faults[2].what == "the level is 1 and at the same place it is 2 in line 4"
    assert [(line, spot.x, spot.level_m) for line, spot in levels] == [(2, 1, 2), (4, 9, 2)]
