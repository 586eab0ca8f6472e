"""The verdict of a yardage check, its range and what would settle it."""

import math
from dataclasses import replace

import numpy as np
import pytest

from fieldapp.play.yardage import Z95_IN_SIGMA, straight_range95_m
from fieldapp.play.yardage_check import (
    LONGEST_S,
    CheckedFigure,
    Standing,
    check_verdict,
    more_seconds,
    needed_radius95_m,
    radius95_after,
    settling,
)
from fieldapp.reading.check_in import CheckIn
from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess
from fieldapp.reading.verdict import R68_IN_SIGMA, R95_IN_SIGMA

YARD = 0.9144
PHONE_SIGMA_M = 4.0 / R68_IN_SIGMA
QUICK = ErrorProcess(((0.5, 0.0), (0.5, 20.0)), 1)
NEAR = CheckedFigure(0.30, YARD, 0.0, 2.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("difference_m", "range_m", "verdict"),
    [
        (0.0, 0.9, "agrees"),
        (-0.5, 0.4, "agrees"),
        (0.5, 0.5, "cannot tell"),
        (-1.2, 0.5, "cannot tell"),
        (1.5, 0.5, "differs"),
        (-1.5, 0.5, "differs"),
        (0.0, None, "cannot tell"),
    ],
)
def test_the_range_is_the_guard_on_both_sides_of_the_tolerance(difference_m, range_m, verdict):
    assert check_verdict(difference_m, range_m, YARD) == verdict


def test_what_standing_off_the_line_may_make_is_added_to_the_guard():
    assert check_verdict(0.5, 0.2, YARD, 0.2) == "agrees"
    assert check_verdict(0.5, 0.2, YARD, -0.4) == "cannot tell"
    assert check_verdict(1.5, 0.2, YARD, 0.3) == "differs"
    assert check_verdict(1.5, 0.2, YARD, -0.9) == "cannot tell"
    assert check_verdict(0.0, 0.2, YARD, None) == "cannot tell"


def test_three_radii_add_by_squares_on_one_line():
    compared = CheckedFigure(0.0, YARD, 0.0, 1.2, 0.3, 0.4)
    assert compared.range95_m == pytest.approx(1.3 * 1.959964 / 2.447747, abs=1e-6)
    assert compared.range95_m == straight_range95_m(1.2, 0.3, 0.4)


def test_an_unknown_grid_is_never_taken_as_exact():
    compared = CheckedFigure(0.0, YARD, 0.0, 0.02, 0.0, None)
    assert compared.range95_m is None
    assert check_verdict(0.0, compared.range95_m, YARD) == "cannot tell"
    assert needed_radius95_m(compared) is None
    for standing in (None, Standing(0.01, 0.0, 30.0)):
        assert settling(compared, standing, DEFAULT_PROCESS).kind == "know the grid"
    off = replace(compared, difference_m=50.0, line_effect_m=None)
    assert settling(off, None, DEFAULT_PROCESS).kind == "know the grid"


def test_an_error_of_the_place_counts_across_a_slanted_edge_too_and_one_of_the_plate_does_not():
    square = CheckedFigure(0.0, YARD, 0.0, 1.2, 0.3, 0.4)
    slanted = replace(square, edge_slope=math.sqrt(3))
    assert slanted.range95_m == pytest.approx(straight_range95_m(2.4, 0.3, 0.8))


def test_the_needed_radius_is_exactly_where_the_verdict_turns():
    for difference_m in (0.3, -0.7, 1.4, -2.0):
        compared = CheckedFigure(difference_m, YARD, 0.0, None, 0.2, 0.1, 0.7)
        needed = needed_radius95_m(compared)
        for part, is_told in ((0.999, True), (1.001, False)):
            now = replace(compared, radius95_m=part * needed)
            told = check_verdict(difference_m, now.range95_m, YARD) != "cannot tell"
            assert told is is_told


def test_how_long_to_hold_still_is_the_shortest_time_that_settles_it_by_the_process():
    standing = Standing(PHONE_SIGMA_M / 4, 100.0, 5.0)
    wanted = 0.6
    more_s = more_seconds(standing, wanted, QUICK)
    assert radius95_after(standing, 5.0 + more_s, QUICK) < wanted
    assert radius95_after(standing, 5.0 + more_s - 2, QUICK) >= wanted
    assert 5 < more_s < LONGEST_S


def test_the_radius_foretold_is_the_one_that_the_reading_comes_to():
    times = np.arange(301.0)
    reading = combine(times, np.zeros((301, 2)), np.full(301, 2.6), DEFAULT_PROCESS)
    foretold = radius95_after(Standing(2.6, 0.0, 30.0), 300.0, DEFAULT_PROCESS)
    assert foretold == pytest.approx(reading.radius95_m, rel=1e-6)


def test_with_a_check_in_it_is_foretold_with_what_the_check_in_leaves():
    check_in = CheckIn(1.0, 2.0, 60.0, 2.6, 3.0, tuple(np.arange(61.0)))
    plain = Standing(2.6, 120.0, 30.0)
    helped = radius95_after(replace(plain, check_in=check_in), 200.0, DEFAULT_PROCESS)
    assert helped < 0.9 * radius95_after(plain, 200.0, DEFAULT_PROCESS)
    useless = CheckIn(1.0, 2.0, 60.0, None, None, (0.0,))
    assert radius95_after(replace(plain, check_in=useless), 99.0, DEFAULT_PROCESS) == pytest.approx(
        radius95_after(plain, 99.0, DEFAULT_PROCESS), rel=0.004
    )


def test_a_reading_that_time_settles_is_told_how_long():
    found = settling(NEAR, Standing(0.8, 0.0, 3.0), QUICK)
    assert found.kind == "hold still"
    assert 1 < found.more_s < 600


def test_where_an_hour_is_not_enough_a_better_receiver_is_named_by_both_its_figures():
    found = settling(replace(NEAR, radius95_m=6.5), Standing(PHONE_SIGMA_M, 0.0, 30.0), DEFAULT_PROCESS)
    assert found.kind == "better receiver"
    assert found.radius95_m == pytest.approx((YARD - 0.3) * R95_IN_SIGMA / Z95_IN_SIGMA)
    assert found.accuracy_m == pytest.approx(found.radius95_m * R68_IN_SIGMA / R95_IN_SIGMA)
    with_it = replace(NEAR, radius95_m=0.999 * found.radius95_m)
    assert settling(with_it, None, DEFAULT_PROCESS).kind == "settled"


@pytest.mark.parametrize(
    "compared",
    [
        replace(NEAR, difference_m=YARD),
        replace(NEAR, difference_m=YARD - 0.005),
        replace(NEAR, tee95_m=0.9),
        replace(NEAR, grid95_m=0.9),
    ],
    ids=["at the edge", "a hair from it", "the plate alone is too vague", "the grid alone is too vague"],
)
def test_what_no_receiver_settles_wants_a_tape(compared):
    assert settling(compared, Standing(PHONE_SIGMA_M, 0.0, 30.0), DEFAULT_PROCESS).kind == "tape"


def test_who_stands_off_the_line_is_sent_onto_it_only_where_that_settles_it():
    off = replace(NEAR, radius95_m=0.1, line_effect_m=1.0)
    assert settling(off, None, DEFAULT_PROCESS).kind == "step onto the line"
    assert settling(replace(off, line_effect_m=None), None, DEFAULT_PROCESS).kind == "step onto the line"
    assert settling(replace(off, line_effect_m=0.1), None, DEFAULT_PROCESS).kind == "settled"
    assert settling(replace(off, radius95_m=3.0), None, DEFAULT_PROCESS).kind == "better receiver"


def test_a_receiver_without_a_figure_is_told_which_one_would_do():
    assert settling(replace(NEAR, radius95_m=None), None, DEFAULT_PROCESS).kind == "better receiver"
