"""Where two taped distances meet, and how true that place is."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldapp.errors import InputError
from fieldapp.tape.intersection import crossing_angle_deg, error_ellipse, intersect, point_covariance

A, B = (0.0, 0.0), (10.0, 0.0)


def test_left_and_right_are_as_seen_from_the_first_to_the_second():
    met = intersect(A, B, 8.0, 6.0)
    assert met.left == pytest.approx([6.4, 4.8])
    assert met.right == pytest.approx([6.4, -4.8])


@pytest.mark.parametrize(
    ("ra", "rb", "gap_m", "reason"),
    [
        (3.0, 4.0, 3.0, "too short together"),
        (14.0, 3.0, -1.0, "one inside the other"),
        (3.0, 14.0, -1.0, "one inside the other"),
        (0.0, 9.0, 1.0, "too short together"),
    ],
)
def test_distances_that_cannot_meet_say_by_how_much(ra, rb, gap_m, reason):
    met = intersect(A, B, ra, rb)
    assert (met.kind, met.left, met.right, met.reason) == ("none", None, None, reason)
    assert met.gap_m == pytest.approx(gap_m)


@pytest.mark.parametrize(
    ("ra", "rb", "x"), [(6.0, 4.0, 6.0), (14.0, 4.0, 14.0), (4.0, 14.0, -4.0), (0.0, 10.0, 0.0)]
)
def test_distances_that_touch_give_one_place(ra, rb, x):
    met = intersect(A, B, ra, rb)
    assert met.kind == "tangent"
    assert met.left == pytest.approx([x, 0.0])
    assert met.right == pytest.approx([x, 0.0])


def test_two_tapes_from_one_peg_meet_nowhere():
    met = intersect(A, A, 5.0, 4.2)
    assert (met.kind, met.reason) == ("none", "same place")
    assert met.gap_m == pytest.approx(-0.8)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_distance_that_is_none_is_refused(bad):
    with pytest.raises(InputError, match="lengths of 0 or more"):
        intersect(A, B, bad, 5.0)


def test_at_national_coordinates_no_digit_is_lost():
    origin = np.array([657_152.56, 6_766_514.56])
    met = intersect(origin, origin + B, 8.0, 6.0)
    assert met.left - origin == pytest.approx([6.4, 4.8], abs=1e-8)


@settings(max_examples=60, deadline=None)
@given(*[st.floats(-40, 40) for _ in range(6)])
def test_the_place_that_was_taped_is_one_of_the_two(ax, ay, bx, by, x, y):
    a, b, place = np.array([ax, ay]), np.array([bx, by]), np.array([x, y])
    apart, ra, rb = (float(np.hypot(*way)) for way in (a - b, place - a, place - b))
    assume(min(apart, ra, rb) > 0.1 and float(crossing_angle_deg(place, a, b)) > 1.0)
    met = intersect(a, b, ra, rb)
    assert met.kind == "two"
    assert min(np.hypot(*(place - met.left)), np.hypot(*(place - met.right))) < 1e-6


def test_tapes_cross_squarely_or_lie_in_line():
    assert crossing_angle_deg([(0, 5), (5, 0), (9, 9)], A, (5, 5)).tolist() == pytest.approx([90, 90, 0])
    assert float(crossing_angle_deg((0, 5), A, (5, 10))) == pytest.approx(45)


def test_the_covariance_is_that_of_the_differences_of_both_places():
    """Against finite differences of the intersection itself."""
    point = intersect(A, B, 8.0, 6.0).left
    moves = [(intersect(A, B, 8.0 + da, 6.0 + db).left - point) / 1e-6 for da, db in ((1e-6, 0), (0, 1e-6))]
    wanted = 0.01**2 * np.outer(moves[0], moves[0]) + 0.02**2 * np.outer(moves[1], moves[1])
    assert point_covariance(point, A, B, 0.01, 0.02) == pytest.approx(wanted, rel=1e-5)


def test_an_error_of_a_peg_counts_along_its_tape_only():
    square = point_covariance((0.0, 5.0), A, (7.0, 5.0), 0.01, 0.01, np.diag([0.5, 0.0]), np.diag([0.0, 0.5]))
    assert square == pytest.approx(np.diag([1e-4, 1e-4]))


def test_tapes_in_one_line_leave_the_place_unknown():
    ellipse = error_ellipse(point_covariance((4.0, 0.0), A, B, 0.01, 0.01))
    assert ellipse.major_m == math.inf
