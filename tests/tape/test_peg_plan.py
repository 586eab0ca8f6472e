"""Pegs planned before the dig: against brute force, and what must hold of every plan."""

import itertools

import numpy as np
import pytest
import shapely

from fieldapp.errors import InputError
from fieldapp.tape.peg_places import OutlineOnGround, PegGround
from fieldapp.tape.peg_plan import (
    MEAN_SHARE,
    good_error_m,
    judge_pegs,
    plan_pegs,
)
from fieldapp.tape.peg_reach import OUT_OF_REACH_M, reach_of
from fieldapp.tape.ties import Tape, TiePeg, tie_sheet

TAPE = Tape(30.0, 0.010)
EDGES = 400


def lobed(long_m, short_m, lobes=3, middle=(0.0, 0.0)):
    """A closed outline with lobes, `(EDGES, 2)`."""
    turn = np.arange(EDGES) * 2 * np.pi / EDGES
    radius = 1 + 0.12 * np.sin(lobes * turn)
    return (
        np.stack([long_m / 2 * radius * np.cos(turn), short_m / 2 * radius * np.sin(turn)], axis=1) + middle
    )


def job(trace, margin_m=3.0, **more):
    """Paint points about a metre apart, and the ground."""
    run = np.hypot(*np.diff(trace, axis=0, append=trace[:1]).T).sum()
    points = trace[:: max(int(EDGES / run), 1)]
    return points, PegGround([OutlineOnGround(trace, True)], margin_m, **more)


SHAPES = {
    "a pot": lobed(6, 5),
    "a kidney": lobed(14, 8, 2, (2200.0, 5260.0)),
    "a waste": lobed(45, 20, 5),
    "in a national grid": lobed(26, 16, 3, (657000.0, 6766600.0)),
}


@pytest.mark.parametrize("name", ["a kidney", "a waste"])
def test_a_plan_is_no_worse_than_the_best_three_of_all_places_tried(name):
    points, ground = job(SHAPES[name])
    pool = ground.candidates()[::7]
    plan = plan_pegs(points, ground, TAPE, count=3)
    errors = (
        judge_pegs(points, pool[list(three)], ground, TAPE).reach.error_m
        for three in itertools.combinations(range(len(pool)), 3)
    )
    best = min(float(error.max() + MEAN_SHARE * error.mean()) for error in errors)
    ours = plan.reach.error_m
    assert float(ours.max() + MEAN_SHARE * ours.mean()) <= best * 1.001


@pytest.mark.parametrize("name", SHAPES)
def test_every_point_of_a_plan_is_in_reach_of_two_pegs_that_cross_well_outside_the_dig(name):
    points, ground = job(SHAPES[name])
    plan = plan_pegs(points, ground, TAPE)
    away = np.hypot(*(points[:, None] - plan.pegs_xy).transpose(2, 0, 1))
    assert ((away <= TAPE.length_m).sum(axis=1) >= 2).all()
    assert plan.reach.crossing_deg.min() >= 45.0
    assert plan.worst_error_m == plan.reach.error_m.max() <= good_error_m(TAPE)
    dug = shapely.Polygon(SHAPES[name])
    assert all(dug.distance(shapely.Point(peg)) >= 3.0 - 1e-6 for peg in plan.pegs_xy)


def test_the_expected_error_is_that_of_the_normal_equations():
    """By the eigenvalues of the inverse of Σ u uᵀ / s², for every pair: the best is taken."""
    places = np.random.default_rng(5)
    points, pegs = places.uniform(-15, 15, (40, 2)), places.uniform(-15, 15, (5, 2))
    sigmas = np.array([0.0, 0.005, 0.01, 0.02, 0.04])
    found = reach_of(points, pegs, sigmas, 18.0, 0.01)
    for number, point in enumerate(points):
        expected = {}
        for pair in itertools.combinations(range(5), 2):
            rays = point - pegs[list(pair)]
            lengths = np.hypot(*rays.T)
            if lengths.max() <= 18.0 and lengths.min() >= 0.5:
                unit, weight = rays / lengths[:, None], 1 / (sigmas[list(pair)] ** 2 + 0.01**2)
                covariance = np.linalg.inv(np.einsum("ki,kj,k->ij", unit, unit, weight))
                expected[pair] = 2.4477 * np.sqrt(np.linalg.eigvalsh(covariance)[-1])
        if not expected or min(expected.values()) > OUT_OF_REACH_M:
            assert not found.is_fixed[number]
            continue
        pair = min(expected, key=expected.get)
        assert found.error_m[number] == pytest.approx(expected[pair], rel=1e-4)
        assert tuple(found.pair[number]) == pair


def test_a_short_tape_takes_more_pegs_and_one_fewer_would_not_do():
    points, ground = job(SHAPES["a waste"])
    tape = Tape(20.0, 0.010)
    plan = plan_pegs(points, ground, tape)
    assert len(plan.pegs_xy) > 3
    fewer = plan_pegs(points, ground, tape, count=len(plan.pegs_xy) - 1)
    assert fewer.reach.error_m.max() > good_error_m(tape) >= plan.reach.error_m.max()


def test_a_tape_that_is_too_short_leaves_points_that_no_two_pegs_reach_and_says_which():
    points, ground = job(SHAPES["a waste"])
    plan = plan_pegs(points, ground, Tape(4.0, 0.010), count=8)
    assert plan.worst_error_m is None
    assert not plan.reach.is_fixed[plan.worst]
    assert (plan.reach.pair[~plan.reach.is_fixed] == -1).all()


def test_the_same_ground_gives_the_same_plan_also_elsewhere():
    points, ground = job(SHAPES["a kidney"])
    once, again = (plan_pegs(points, ground, TAPE).pegs_xy for _ in range(2))
    assert (once == again).all()
    moved, ground = job(SHAPES["a kidney"] + [1000.0, -500.0])
    assert plan_pegs(moved, ground, TAPE).worst_error_m == pytest.approx(
        judge_pegs(points, once, job(SHAPES["a kidney"])[1], TAPE).worst_error_m, rel=0.02
    )


def test_pegs_keep_off_what_is_barred_and_off_what_is_avoided_where_that_is_good_enough():
    right = np.array([(0.0, -60.0), (60.0, -60.0), (60.0, 60.0), (0.0, 60.0)])
    points, ground = job(SHAPES["a pot"], keep_out=[right])
    assert (plan_pegs(points, ground, TAPE).pegs_xy[:, 0] < 0).all()
    points, ground = job(SHAPES["a pot"], fairways=[right])
    plan = plan_pegs(points, ground, TAPE)
    assert not plan.is_avoided.any()
    everywhere = np.array([(-60.0, -60.0), (60.0, -60.0), (60.0, 60.0), (-60.0, 60.0)])
    points, ground = job(SHAPES["a pot"], steep=[everywhere])
    plan = plan_pegs(points, ground, TAPE)
    assert plan.is_avoided.all()
    assert plan.worst_error_m is not None


def test_no_room_for_a_peg_is_said():
    everywhere = np.array([(-90.0, -90.0), (90.0, -90.0), (90.0, 90.0), (-90.0, 90.0)])
    points, ground = job(SHAPES["a pot"], keep_out=[everywhere])
    with pytest.raises(InputError, match="no room for a peg"):
        plan_pegs(points, ground, TAPE)


def test_pegs_that_stand_are_counted_in_and_may_be_enough():
    points, ground = job(SHAPES["a pot"])
    standing = [TiePeg("a", (-9.0, 0.0)), TiePeg("b", (0.0, -9.0)), TiePeg("c", (9.0, 2.0))]
    plan = plan_pegs(points, ground, TAPE, standing=standing)
    assert len(plan.pegs_xy) == 0
    assert plan.worst_error_m == judge_pegs(points, plan.pegs_xy, ground, TAPE, standing).worst_error_m
    poor = [TiePeg("a", (-9.0, 0.0), sigma_m=0.05)]
    plan = plan_pegs(points, ground, TAPE, standing=poor)
    assert len(plan.pegs_xy) == 2
    assert (plan.reach.pair > 0).all(), "a peg of so poor a place is left out where two better ones reach"


def test_a_peg_moved_into_line_makes_the_weakest_point_worse():
    points, ground = job(SHAPES["a kidney"])
    plan = plan_pegs(points, ground, TAPE, count=2)
    opposite = 2 * points[plan.worst] - plan.pegs_xy[0]
    worse = judge_pegs(points, np.stack([plan.pegs_xy[0], opposite]), ground, TAPE)
    assert worse.worst_error_m is None or worse.worst_error_m > 2 * plan.worst_error_m


def test_a_plan_and_its_tie_sheet_expect_the_same_error():
    points, ground = job(SHAPES["a waste"])
    plan = plan_pegs(points, ground, TAPE)
    pegs = [TiePeg(f"p{number}", tuple(xy)) for number, xy in enumerate(plan.pegs_xy.tolist())]
    sheet = tie_sheet(points, pegs, Tape(29.5, 0.010))
    assert [one.ellipse.major_m for one in sheet] == pytest.approx(plan.reach.error_m.tolist(), rel=1e-9)
    assert [one.crossing_deg for one in sheet] == pytest.approx(plan.reach.crossing_deg.tolist(), abs=1e-6)


@pytest.mark.parametrize("length_m", [30.0, 42.0, 50.0])
def test_a_plan_written_in_whole_tenths_and_turned_still_reaches_what_it_reached(length_m):
    """Plans are kept along and across the play in tenths of a metre: the places move by up to 7 cm."""
    points, ground = job(SHAPES["a waste"])
    tape = Tape(length_m, 0.010)
    plan = plan_pegs(points, ground, tape, count=3)
    moved = plan.pegs_xy + np.array([[0.07, 0.0], [0.0, -0.07], [-0.05, 0.05]])
    worst = judge_pegs(points, moved, ground, tape).reach.error_m.max()
    assert worst == pytest.approx(plan.reach.error_m.max(), rel=0.03)


def test_a_longer_tape_makes_no_worse_a_plan():
    points, ground = job(SHAPES["a waste"])
    plans = [plan_pegs(points, ground, Tape(length, 0.010), count=3) for length in (31.0, 41.0, 51.0)]
    worst = [float(plan.reach.error_m.max()) for plan in plans]
    assert worst[0] * 1.02 >= worst[1]
    assert worst[1] * 1.02 >= worst[2]
