"""Which pegs a point is taped from."""

import math

import numpy as np
import pytest

from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.tape.intersection import intersect
from fieldapp.tape.ties import Tape, TiePeg, is_tapeable, peg_sigma_m, tie_sheet

TAPE = Tape(30.0, 0.010)
WEST, EAST = TiePeg("west", (-10.0, 0.0)), TiePeg("east", (10.0, 0.0))
NORTH = TiePeg("north", (0.0, 12.0))


def one(point, pegs, tape=TAPE, **levels):
    return tie_sheet(point, pegs, tape, **levels)[0]


def test_a_point_is_where_its_two_distances_meet_on_its_side():
    for point in ((2.0, 7.0), (2.0, -7.0)):
        found = one(point, [WEST, EAST])
        met = intersect(WEST.xy, EAST.xy, *(tie.level_m for tie in found.ties))
        assert (met.left if found.side == "left" else met.right) == pytest.approx(point)


def test_square_tapes_make_a_round_ellipse_of_the_tape_s_error():
    found = one((0.0, 10.0), [WEST, EAST])
    assert found.crossing_deg == pytest.approx(90)
    assert (found.ellipse.major_m, found.ellipse.minor_m) == pytest.approx((0.010 * R95_IN_SIGMA,) * 2)


def test_of_all_pairs_in_reach_the_one_with_the_least_long_axis_is_taken():
    pegs = [WEST, TiePeg("beside west", (-10.0, 1.0)), EAST, NORTH]
    point = (1.0, 4.0)
    best = min(
        (one(point, [a, b]).ellipse.major_m, a.id, b.id) for i, a in enumerate(pegs) for b in pegs[i + 1 :]
    )
    found = one(point, pegs)
    assert (found.ellipse.major_m, found.ties[0].peg, found.ties[1].peg) == pytest.approx(best)


def test_a_poor_peg_is_left_for_a_good_one():
    poor = TiePeg("poor", (0.0, -12.0), sigma_m=0.2)
    found = one((5.0, 4.0), [WEST, poor, NORTH])
    assert [tie.peg for tie in found.ties[:2]] == ["west", "north"]


def test_the_third_is_a_check_that_crosses_both():
    beside = TiePeg("beside west", (-10.0, 0.5))
    found = one((0.0, 10.0), [WEST, EAST, beside, TiePeg("south", (0.0, -9.0))])
    assert [tie.peg for tie in found.ties] == ["west", "east", "south"]
    assert found.check_within_m == pytest.approx(1.96 * math.sqrt(2) * 0.010, rel=0.05)


def test_a_check_is_taken_from_a_good_peg_before_a_poor_one_that_crosses_better():
    poor, good = TiePeg("poor", (0.0, -9.0), sigma_m=0.05), TiePeg("good", (6.0, -4.0))
    found = one((0.0, 10.0), [WEST, EAST, poor, good])
    assert [tie.peg for tie in found.ties] == ["west", "east", "good"]


def test_a_peg_known_to_worse_than_a_tape_can_use_is_not_taped_from():
    assert [is_tapeable(within) for within in (None, 0.0, 0.15, 0.151, 6.5)] == [True] * 3 + [False] * 2


@pytest.mark.parametrize(
    ("pegs", "why"),
    [
        ([], "no peg in reach"),
        ([TiePeg("far", (31.0, 0.0))], "no peg in reach"),
        ([WEST, TiePeg("far", (31.0, 0.0))], "one peg in reach"),
        ([WEST, EAST], "pegs in line"),
        ([WEST, TiePeg("here", (0.0, 0.01))], "one peg in reach"),
    ],
)
def test_a_point_without_a_pair_says_why(pegs, why):
    found = one((0.0, 0.0), pegs)
    assert (found.ties, found.side, found.ellipse, found.why) == ((), "", None, why)


def test_the_tape_reads_the_slope_where_both_levels_are_known():
    pegs = [TiePeg("low", (-10.0, 0.0), level_m=1.0), EAST]
    found = one((0.0, 10.0), pegs, levels_m=[3.0])
    assert found.ties[0].slope_m == pytest.approx(math.sqrt(200 + 4))
    assert found.ties[1].slope_m is None
    assert one((0.0, 10.0), pegs, levels_m=[math.nan]).ties[0].slope_m is None


def test_in_reach_is_what_the_tape_spans_on_the_slope():
    pegs = [TiePeg("low", (-29.9, 0.0), level_m=0.0), NORTH]
    assert one((0.0, 0.0), pegs, levels_m=[0.0]).why == ""
    assert one((0.0, 0.0), pegs, levels_m=[3.0]).why == "one peg in reach"


def test_a_thousand_points_are_answered_as_one_by_one():
    points = np.random.default_rng(2).uniform(-20, 20, (1000, 2))
    pegs = [WEST, EAST, NORTH]
    for point, found in list(zip(points, tie_sheet(points, pegs, TAPE), strict=True))[::97]:
        alone = one(point, pegs)
        assert (found.ties, found.side, found.why) == (alone.ties, alone.side, alone.why)
        assert (found.ellipse and found.ellipse.major_m) == pytest.approx(
            alone.ellipse and alone.ellipse.major_m
        )


def test_a_peg_of_the_plan_counts_as_exact_and_another_by_its_radius():
    assert peg_sigma_m(None) == 0.0
    assert peg_sigma_m(0.05) == pytest.approx(0.05 / 2.4477, rel=1e-4)
