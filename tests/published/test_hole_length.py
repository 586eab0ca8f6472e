"""The length of a hole, measured and rounded as the golf bodies' rules say."""

import numpy as np
import pytest

from fieldapp.play.line_of_play import LineOfPlay, hole_length

ALONG_THE_LINE = (
    "CONGU Unified Handicapping System, Appendix A, Golf Course Measurement: in the horizontal plane along "
    "the designed line of play; a dogleg is straight from tee to pivot to the centre of the green; "
    "the legs are summed"
)
HALVES_UP = "Deutscher Golf Verband, Platzbewertung, rule for measuring: 234.5 is 235, 312.4 is 312"


def straight(length_m):
    return LineOfPlay(np.array([(0.0, 0.0), (0.0, length_m)]))


@pytest.mark.parametrize(("length_m", "whole_m"), [(234.5, 235), (312.4, 312), (233.5, 234)])
def test_a_length_goes_to_the_whole_metre_halves_up(length_m, whole_m):
    assert hole_length(straight(length_m), 1.0) == whole_m, HALVES_UP


def test_python_s_own_rounding_would_not_do():
    assert round(234.5) == 234


def test_the_legs_of_a_dogleg_are_summed():
    line = LineOfPlay(np.array([(0.0, 0.0), (0.0, 210.0), (120.0, 300.0)]))
    assert hole_length(line, 1.0) == 360, ALONG_THE_LINE


def test_each_leg_goes_to_a_tenth_of_a_metre_before_they_are_summed():
    line = LineOfPlay(np.array([(0.0, 0.0), (0.0, 100.26), (0.0, 200.50)]))
    assert hole_length(line, 1.0) == 201, HALVES_UP


def test_the_length_is_on_the_ground_and_not_on_the_grid():
    assert hole_length(straight(400.0), 1.0015) == 401
