"""The move that must not pass unseen: the site's tolerance, between what a tape can show and a decimetre."""

import pytest

from fieldapp.tape.strength import limit_of


@pytest.mark.parametrize(
    ("tolerance_m", "error_m", "limit_m"),
    [(0.10, 0.010, 0.10), (0.06, 0.010, 0.06), (0.02, 0.010, 0.05), (0.02, 0.004, 0.02), (0.5, 0.01, 0.10)],
)
def test_the_limit_follows_the_site_s_tolerance(tolerance_m, error_m, limit_m):
    assert limit_of(tolerance_m, error_m) == pytest.approx(limit_m)
