"""A thousand sites with random errors of tape and pegs: the 95 % ellipses of tied points hold them."""

import math

import numpy as np
import pytest

from fieldapp.reading.verdict import R95_IN_SIGMA
from fieldapp.tape.baseline import baseline_table, right_angle_sigma_rad
from fieldapp.tape.intersection import intersect, point_covariance
from fieldapp.tape.reset import ResetTie, reset_peg
from fieldapp.tape.ties import Tape, TiePeg, tie_sheet

SITES = 1000
TAPE = Tape(30.0, 0.010)
PEG_SIGMA_M = 0.008


def sites(seed):
    """Per site a point to set out and four to six pegs about it, 6 to 25 m away."""
    rng = np.random.default_rng(seed)
    for _ in range(SITES):
        count = int(rng.integers(4, 7))
        turn = np.linspace(0, 2 * math.pi, count, endpoint=False) + rng.uniform(-0.4, 0.4, count)
        away = rng.uniform(6.0, 25.0, count)
        yield rng, rng.uniform(-3, 3, 2), np.stack([away * np.cos(turn), away * np.sin(turn)], axis=1)


def is_held(error, covariance):
    return float(error @ np.linalg.solve(covariance, error)) <= R95_IN_SIGMA**2


@pytest.mark.parametrize("peg_sigma_m", [0.0, PEG_SIGMA_M])
def test_the_ellipse_of_a_tied_point_holds_it_in_93_to_97_of_100_sites(peg_sigma_m):
    held, checked = 0, 0
    for rng, point, drawn in sites(11):
        pegs = [TiePeg(str(k), tuple(xy), peg_sigma_m) for k, xy in enumerate(drawn)]
        sheet = tie_sheet(point, pegs, TAPE)[0]
        stand = drawn + rng.normal(0, 1, drawn.shape) * peg_sigma_m
        one, other, third = (int(tie.peg) for tie in sheet.ties)
        taped = [tie.level_m + rng.normal(0, TAPE.error_m) for tie in sheet.ties[:2]]
        met = intersect(stand[one], stand[other], *taped)
        painted = met.left if sheet.side == "left" else met.right
        sigma = math.hypot(TAPE.error_m, peg_sigma_m)
        held += is_held(painted - point, point_covariance(point, drawn[one], drawn[other], sigma, sigma))
        read = math.dist(painted, stand[third]) + rng.normal(0, TAPE.error_m)
        checked += abs(read - sheet.ties[2].level_m) <= sheet.check_within_m
    print(
        f"\n  pegs {peg_sigma_m * 1000:.0f} mm: held {held / SITES:.1%}, third tape within {checked / SITES:.1%}"
    )
    assert 0.93 <= held / SITES <= 0.97
    assert 0.93 <= checked / SITES <= 0.97


def test_the_ellipse_of_a_place_by_the_string_holds_it():
    held = 0
    for rng, point, drawn in sites(12):
        start, end = (TiePeg(str(k), tuple(drawn[k]), PEG_SIGMA_M) for k in (0, 1))
        row = baseline_table(point, start, end, TAPE)[0]
        stand = drawn[:2] + rng.normal(0, PEG_SIGMA_M, (2, 2))
        forward = (stand[1] - stand[0]) / np.hypot(*(stand[1] - stand[0]))
        turn = rng.normal(0, right_angle_sigma_rad(2.0, TAPE.error_m))
        right = np.array([forward[1], -forward[0]])
        square = math.cos(turn) * right + math.sin(turn) * forward
        along, off = np.array([row.chainage_m, row.offset_m]) + rng.normal(0, TAPE.error_m, 2)
        painted = stand[0] + along * forward + off * square
        axis = math.radians(row.ellipse.bearing_deg)
        long, short = np.array([math.sin(axis), math.cos(axis)]), np.array([math.cos(axis), -math.sin(axis)])
        error = painted - point
        held += math.hypot(error @ long / row.ellipse.major_m, error @ short / row.ellipse.minor_m) <= 1
    print(f"\n  by the string: held {held / SITES:.1%}")
    assert 0.93 <= held / SITES <= 0.97


@pytest.mark.parametrize("count", [2, 3, 4])
def test_the_ellipse_of_a_peg_set_again_holds_it_and_good_tapes_fit(count):
    held, fits = 0, 0
    for rng, point, drawn in sites(13):
        sigma = math.hypot(TAPE.error_m, PEG_SIGMA_M)
        stand = drawn[:count] + rng.normal(0, PEG_SIGMA_M, (count, 2))
        ties = [
            ResetTie(tuple(xy), math.dist(point, at) + rng.normal(0, TAPE.error_m), sigma)
            for xy, at in zip(drawn, stand, strict=False)
        ]
        way, off = drawn[count - 1] - drawn[0], point - drawn[0]
        found = reset_peg(ties, "left" if way[0] * off[1] - way[1] * off[0] > 0 else "right")
        held += is_held(found.xy - point, found.covariance)
        fits += found.fit != "does not fit"
    print(f"\n  {count} ties: held {held / SITES:.1%}, fit {fits / SITES:.1%}")
    assert 0.93 <= held / SITES <= 0.97
    assert fits / SITES >= 0.98
