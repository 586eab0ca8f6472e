"""A lost peg set again from its ties."""

import math

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.special import gammaincc

from fieldapp.errors import InputError
from fieldapp.tape.reset import ResetTie, critical, reset_peg

PEGS = ((0.0, 0.0), (20.0, 1.0), (11.0, 16.0), (3.0, -9.0), (24.0, 14.0))
PLACE = (7.0, 5.0)


def tie(peg, error=0.0, place=PLACE, sigma=0.010):
    return ResetTie(peg, math.dist(peg, place) + error, sigma)


def test_two_distances_leave_two_places_until_the_side_is_said():
    ties = [tie(PEGS[0]), tie(PEGS[1])]
    both = reset_peg(ties)
    assert (both.kind, both.xy) == ("two sides", None)
    assert both.candidates[0] == pytest.approx(PLACE)
    assert reset_peg(ties, "left").xy == pytest.approx(PLACE)
    assert reset_peg(ties, "right").xy == pytest.approx(both.candidates[1])
    assert reset_peg(ties, "left").fit == "no check"


@pytest.mark.parametrize(("distances", "gap_m"), [((3.0, 4.0), 13.0), ((30.0, 4.0), -6.0)])
def test_two_distances_that_cannot_meet_say_by_how_much(distances, gap_m):
    found = reset_peg([ResetTie(peg, d, 0.01) for peg, d in zip(((0, 0), (20, 0)), distances, strict=True)])
    assert found.kind == "cannot meet"
    assert found.gap_m == pytest.approx(gap_m)


def test_two_distances_from_one_place_meet_nowhere():
    assert reset_peg([ResetTie((0, 0), 5.0, 0.01), ResetTie((0, 0), 5.0, 0.01)]).kind == "cannot meet"


def test_one_distance_is_refused():
    with pytest.raises(InputError, match="two taped distances"):
        reset_peg([tie(PEGS[0])])


@pytest.mark.parametrize("count", [3, 4, 5])
def test_three_and_more_are_the_least_squares_of_scipy(count):
    errors = np.random.default_rng(count).normal(0, 0.01, count)
    ties = [
        tie(peg, e, sigma=s) for peg, e, s in zip(PEGS, errors, (0.01, 0.02, 0.01, 0.03, 0.01), strict=False)
    ]

    def standardised(xy):
        return [(math.dist(one.xy, xy) - one.distance_m) / one.sigma_m for one in ties]

    wanted = least_squares(standardised, PLACE, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    found = reset_peg(ties)
    assert found.xy == pytest.approx(wanted.x, abs=1e-6)
    assert found.chi_square == pytest.approx(2 * wanted.cost, rel=1e-6)
    assert found.covariance == pytest.approx(np.linalg.inv(wanted.jac.T @ wanted.jac), rel=1e-4)
    assert found.fit == "fits"


def test_at_150_places_three_to_six_ties_are_the_least_squares_of_scipy():
    rng, compared = np.random.default_rng(3), 0
    for _ in range(150):
        count = int(rng.integers(3, 7))
        pegs, place, sigmas = (
            rng.uniform(-15, 15, (count, 2)),
            rng.uniform(-12, 12, 2),
            rng.uniform(0.008, 0.03, count),
        )
        read = np.hypot(*(pegs - place).T) + rng.normal(0, sigmas)
        found = reset_peg([ResetTie(tuple(peg), d, s) for peg, d, s in zip(pegs, read, sigmas, strict=True)])
        if found.xy is None:
            continue
        wanted = least_squares(
            lambda xy, pegs, read, sigmas: (np.hypot(*(pegs - xy).T) - read) / sigmas,
            place, xtol=1e-15, ftol=1e-15, gtol=1e-15, args=(pegs, read, sigmas),
        )  # fmt: skip
        assert found.xy == pytest.approx(wanted.x, abs=1e-6)
        compared += 1
    assert compared > 140


def test_of_three_that_do_not_fit_none_is_blamed():
    found = reset_peg([tie(PEGS[0]), tie(PEGS[1]), tie(PEGS[2], 0.12)])
    assert (found.fit, found.fault, found.dof) == ("does not fit", None, 1)
    assert found.chi_square > found.critical


@pytest.mark.parametrize("wrong", range(5))
def test_of_five_the_one_that_was_misread_is_named(wrong):
    ties = [tie(peg, 0.3 if k == wrong else 0.0) for k, peg in enumerate(PEGS)]
    assert reset_peg(ties).fault == wrong


def test_pegs_in_a_line_leave_two_places_whatever_their_number():
    ties = [tie((x, 0.0)) for x in (0.0, 8.0, 20.0)]
    both = reset_peg(ties)
    assert both.kind == "two sides"
    assert [xy[1] for xy in both.candidates] == pytest.approx([5.0, -5.0], abs=1e-6)
    right = reset_peg(ties, "right")
    assert right.xy == pytest.approx([7.0, -5.0], abs=1e-6)
    assert right.fit == "fits"


def test_pegs_nearly_in_a_line_leave_two_places_too():
    assert reset_peg([tie(peg) for peg in ((0.0, 0.0), (10.0, 0.01), (20.0, 0.0))]).kind == "two sides"


def test_three_distances_that_meet_nowhere_do_not_fit():
    found = reset_peg([ResetTie(peg, 2.0, 0.01) for peg in PEGS[:3]])
    assert (found.kind, found.fit) == ("placed", "does not fit")
    assert max(abs(found.residuals_m)) > 1.0


def test_a_peg_in_the_line_of_all_its_pegs_is_not_known_across_it():
    found = reset_peg([tie((x, 0.0), place=(5.0, 0.0)) for x in (0.0, 12.0, 20.0)])
    assert found.xy == pytest.approx([5.0, 0.0], abs=0.06)
    assert max(np.diag(found.covariance)) > 0.01 or math.isinf(found.covariance[0, 0])


@pytest.mark.parametrize(
    ("dof", "value"), [(1, 6.635), (2, 9.210), (3, 11.345), (4, 13.277), (5, 15.086), (10, 23.209)]
)
def test_critical_values_are_those_printed(dof, value):
    """Upper 1 % points of chi-square, as printed in tables (from memory), and by the incomplete gamma function."""
    assert critical(dof) == pytest.approx(value, abs=5e-4)
    assert gammaincc(dof / 2, critical(dof) / 2) == pytest.approx(0.01)
