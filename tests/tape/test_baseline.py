"""Chainage and square offset from a string between two pegs."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.errors import InputError
from fieldapp.tape.baseline import (
    baseline_table,
    chainage_and_offset,
    equal_diagonals,
    point_at,
    right_angle_sides,
    right_angle_sigma_rad,
    squares_to,
)
from fieldapp.tape.slope import level_distance, slope_distance
from fieldapp.tape.ties import Tape, TiePeg

START, END = TiePeg("a", (0.0, 0.0)), TiePeg("b", (0.0, 20.0))
TAPE = Tape(30.0, 0.010)
SQUARE = [[2, 4], [6, 4], [6, 8], [2, 8], [2, 4]]


def test_offsets_are_right_positive_looking_along():
    assert chainage_and_offset([(3, 5), (-3, 5)], START.xy, END.xy).tolist() == [[5, 3], [5, -3]]


@settings(max_examples=40, deadline=None)
@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(0, 360))
def test_a_place_goes_to_the_string_and_back(x, y, turn):
    start = np.array([657_152.56, 6_766_514.56])
    end = start + 17 * np.array([math.sin(math.radians(turn)), math.cos(math.radians(turn))])
    place = np.add(start, (x, y))
    along, off = chainage_and_offset(place, start, end)
    assert point_at(along, off, start, end) == pytest.approx(place, abs=1e-7)


def test_a_row_beyond_the_string_says_so():
    rows = baseline_table([(3, 5), (3, -1), (3, 21)], START, END, TAPE)
    assert [row.is_on_string for row in rows] == [True, False, False]


def test_a_long_offset_is_as_true_along_the_string_as_its_right_angle():
    near, far = baseline_table([(0.0, 10.0), (10.0, 10.0)], START, END, TAPE, unit_m=2.0)
    assert near.ellipse.major_m == pytest.approx(2.4477 * 0.010, rel=1e-4)
    turned = 10 * right_angle_sigma_rad(2.0, 0.010)
    assert far.ellipse.major_m == pytest.approx(2.4477 * math.hypot(0.010, turned), rel=1e-4)
    assert far.ellipse.bearing_deg == pytest.approx(0.0, abs=1e-6)


def test_one_sigma_of_a_right_angle_against_drawn_triangles():
    """The angle of triangles with random errors of their three sides, by the law of cosines."""
    sides = np.array(right_angle_sides(2.0)) + np.random.default_rng(4).normal(0, 0.01, (20_000, 3))
    a, b, c = sides.T
    angles = np.arccos((a * a + b * b - c * c) / (2 * a * b))
    assert right_angle_sigma_rad(2.0, 0.01) == pytest.approx(angles.std(), rel=0.02)


def test_an_unequal_diagonal_is_no_rectangle():
    assert equal_diagonals(12.0, 5.0) == 13.0


def test_squares_meet_the_outline_at_every_step():
    assert squares_to(SQUARE, 1.5, START.xy, END.xy).tolist() == [
        [4.5, 2],
        [4.5, 6],
        [6, 2],
        [6, 6],
        [7.5, 2],
        [7.5, 6],
    ]


def test_a_side_along_a_square_counts_by_its_ends_whichever_end_of_the_outline():
    found = squares_to(SQUARE, 4.0, START.xy, END.xy).tolist()
    assert found == [[4, 2], [4, 6], [8, 2], [8, 6]]


def test_an_outline_that_only_touches_a_square_is_met_once():
    assert squares_to([[1, 1], [3, 2], [5, 1], [1, 1]], 2.0, START.xy, END.xy).tolist() == [[2, 3]]


def test_an_outline_before_the_string_has_chainages_below_nothing():
    assert squares_to([[1, -3], [2, -3], [2, -1.5], [1, -3]], 2.0, START.xy, END.xy)[:, 0].tolist() == [
        -2,
        -2,
    ]


@pytest.mark.parametrize("every", [0.0, -1.0, math.nan])
def test_a_step_of_nothing_is_refused(every):
    with pytest.raises(InputError, match="more than 0"):
        squares_to(SQUARE, every, START.xy, END.xy)


def test_a_string_of_one_peg_is_refused():
    with pytest.raises(InputError, match="two pegs that stand apart"):
        chainage_and_offset((1, 1), START.xy, START.xy)


def test_a_slope_is_reduced_and_told_again():
    assert level_distance([13.0, 5.0], [5.0, 0.0]).tolist() == [12.0, 5.0]
    assert float(slope_distance(12.0, -5.0)) == 13.0
    with pytest.raises(InputError, match="shorter than the difference in level"):
        level_distance(2.0, 2.1)
