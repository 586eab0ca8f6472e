"""How old a fix is, when the phone's clock and the fix's own do not agree."""

import pytest

pytestmark = pytest.mark.browser

STAMPS = (
    "(m, fixes) => { const timeOf = m.createFixClock(); return fixes.map((fix) => fix[1] - timeOf(...fix)); }"
)


def ages(ask, *fixes):
    """Ages in ms at arrival of fixes given as (stamp, arrival)."""
    return ask("fix_clock", STAMPS, [list(fix) for fix in fixes])


@pytest.mark.parametrize("ahead_ms", [-90_000, 0, 6_000, 60_000])
def test_a_clock_that_is_wrong_makes_no_fix_old(ask, ahead_ms):
    fixes = [(t, t + ahead_ms + 200) for t in range(0, 5000, 1000)]
    assert ages(ask, *fixes) == [0, 0, 0, 0, 0]


def test_a_fix_that_lags_more_than_the_others_is_that_much_older(ask):
    assert ages(ask, (1000, 1200), (2000, 5200)) == [0, 3000]


def test_a_time_that_repeats_grows_old(ask):
    assert ages(ask, (1000, 1200), (1000, 2200), (1000, 8200)) == [0, 1000, 7000]


def test_a_time_that_jumps_back_is_old_at_once(ask):
    assert ages(ask, (100_000, 100_200), (40_000, 101_200)) == [0, 61_000]


def test_an_old_first_fix_makes_no_later_one_old(ask):
    assert ages(ask, (1000, 31_000), (31_900, 32_000), (32_900, 33_000)) == [0, 0, 0]


def test_a_fix_without_a_time_is_as_old_as_its_arrival(ask):
    assert ages(ask, (1000, 1200), (None, 4000)) == [0, 0]
