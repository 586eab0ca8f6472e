"""An adjusted point and the tests of an adjustment against published values; the source stands beside each number."""

import numpy as np
import pytest

from fieldapp.tape.adjust import adjust
from fieldapp.tape.chi_square import critical, seen_noncentrality
from fieldapp.tape.network import Distance, NetPeg

GHILANI = (
    "Ghilani, Adjustment Computations, trilateration example of chapter 14; feet; its results from memory"
)
NIST = "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, critical values; from memory"
BAARDA = "Baarda, A testing procedure for use in geodetic networks (1968); from memory"
CONTROL = {"a": (865.40, 4527.15), "b": (2432.55, 2047.25), "c": (2865.22, 27.15)}
OBSERVED = {"a": 6049.00, "b": 4736.83, "c": 5446.49}


def test_a_point_from_three_distances_is_where_it_is_published():
    pegs = [NetPeg(name, xy, fixed=True) for name, xy in CONTROL.items()]
    lines = [Distance(name, "u", length, 1.0) for name, length in OBSERVED.items()]
    found = adjust([*pegs, NetPeg("u", (6860.0, 3730.0))], lines)
    assert found.dof == 1
    assert found.residuals_m == pytest.approx([-0.037, 0.077, -0.047], abs=5e-4), GHILANI
    unit = np.sqrt(found.chi_square / found.dof)
    assert unit == pytest.approx(0.098, abs=5e-4), GHILANI
    sigmas = unit * np.sqrt(np.diag(found.covariance)[-2:])
    assert sigmas == pytest.approx([0.078, 0.154], abs=5e-4), GHILANI


@pytest.mark.parametrize(
    ("dof", "at_05", "at_01", "at_001"),
    [
        (1, 3.841, 6.635, 10.828),
        (2, 5.991, 9.210, 13.816),
        (3, 7.815, 11.345, 16.266),
        (5, 11.070, 15.086, 20.515),
        (10, 18.307, 23.209, 29.588),
        (30, 43.773, 50.892, 59.703),
    ],
)
def test_critical_values_are_those_of_the_printed_table(dof, at_05, at_01, at_001):
    found = [critical(dof, significance) for significance in (0.05, 0.01, 0.001)]
    assert found == pytest.approx([at_05, at_01, at_001], abs=6e-4), NIST


def test_the_noncentrality_of_a_single_test_is_baarda_s():
    assert seen_noncentrality(1, 0.001, 0.80) == pytest.approx(17.07, abs=0.01), BAARDA


def test_a_levelling_loop_is_spread_by_least_squares_as_conditions_spread_it():
    """Three pegs in a line: distances along it are linear, and a misclosure goes in proportion to the variances."""
    pegs = [
        NetPeg("p", (0.0, 0.0), fixed=True),
        NetPeg("q", (10.0, 0.0)),
        NetPeg("r", (24.0, 0.0), fixed=True),
    ]
    lines = [Distance("p", "q", 10.012, 0.010), Distance("q", "r", 14.012, 0.010 * np.sqrt(2))]
    found = adjust(pegs, lines)
    assert found.residuals_m == pytest.approx([-0.008, -0.016], abs=1e-9)
    assert found.redundancy == pytest.approx([1 / 3, 2 / 3], abs=1e-9)
