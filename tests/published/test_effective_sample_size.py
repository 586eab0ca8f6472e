"""What correlated fixes are worth against published effective sample sizes; the source stands beside each number."""

import math

import pytest

from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess, variance_of_sum
from fieldapp.reading.verdict import R95_IN_SIGMA, radius_in_sigma

EXACT = (
    "n / (1 + 2 sum over k < n of (1 - k/n) r^k), the variance of the mean of a first-order autoregression"
)
ASYMPTOTIC = (
    "n (1 - r) / (1 + r): Santer et al. 2008, Int. J. Climatol., doi 10.1002/joc.1756; number as in Shen and "
    "Somerville, climate statistics code, yearly mean temperatures 1920 to 1949, r1 = 0.781592"
)


def of_step_correlation(r):
    """A process whose values one second apart have this correlation."""
    return ErrorProcess(((1.0, -1 / math.log(r)),), 1)


def worth(fixes, process):
    """How many independent fixes so many, a second apart, are worth: the effective sample size of their mean."""
    return 1 / variance_of_sum(range(fixes), [1 / fixes] * fixes, process)


@pytest.mark.parametrize(
    ("fixes", "r", "wanted", "source"),
    [
        (60, 0.9, 3.749, f"{EXACT}; a simulation of 200,000 runs gives 3.762"),
        (300, 0.98, 3.627, EXACT),
        (100, 0.5, 33.784, EXACT),
    ],
)
def test_fixes_a_second_apart_are_worth_the_exact_effective_sample_size(fixes, r, wanted, source):
    assert worth(fixes, of_step_correlation(r)) == pytest.approx(wanted, abs=5e-4), source


@pytest.mark.parametrize(("fixes", "r", "wanted"), [(60, 0.9, 3.158), (300, 0.98, 3.030), (100, 0.5, 33.333)])
def test_the_asymptotic_figure_is_smaller_than_the_exact_one(fixes, r, wanted):
    """ASYMPTOTIC. The trap: for standing a few correlation times only, it is short by a sixth."""
    assert fixes * (1 - r) / (1 + r) == pytest.approx(wanted, abs=5e-4)
    assert worth(fixes, of_step_correlation(r)) > wanted


def test_the_published_sample_of_thirty_years():
    """ASYMPTOTIC: 3.677746, from an r1 printed to six figures, hence 1e-5. A long series comes to the same ratio."""
    r = 0.781592
    assert 30 * (1 - r) / (1 + r) == pytest.approx(3.677746, abs=1e-5), ASYMPTOTIC
    long = 20_000
    assert 30 * worth(long, of_step_correlation(r)) / long == pytest.approx(3.677746, abs=2e-3)
    assert worth(30, of_step_correlation(r)) > 3.677746


def test_two_minutes_of_a_receiver_with_a_minute_s_correlation_are_worth_less_than_two_fixes():
    """120 fixes a second apart, time constant 60 s: exact 1.76, asymptotic 1.00 (EXACT with r = exp(-1/60))."""
    process = ErrorProcess(((1.0, 60.0),), 1)
    assert worth(120, process) == pytest.approx(1.76, abs=5e-3)
    r = math.exp(-1 / 60)
    assert 120 * (1 - r) / (1 + r) == pytest.approx(1.00, abs=5e-3)


def test_the_default_process_is_worth_less_still():
    assert worth(120, DEFAULT_PROCESS) < 1.5


def test_the_radii_that_carry_a_sigma_to_half_and_to_95_per_cent():
    """National Research Council, The Global Positioning System: A Shared National Asset, 1995, accuracy appendix: CEP =
    1.1774 sigma. R95 = 2.4477 sigma: Rayleigh, sqrt(-2 ln 0.05).
    """
    assert radius_in_sigma(0.5) == pytest.approx(1.1774, abs=5e-5)
    assert pytest.approx(2.4477, abs=5e-5) == R95_IN_SIGMA
