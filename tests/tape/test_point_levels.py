"""The level of each paint point."""

import numpy as np
import pytest

from fieldapp.model import SpotLevel
from fieldapp.play.ground import ground_between
from fieldapp.tape.point_levels import point_levels

GROUND = ground_between([SpotLevel(0, 0, 1.0), SpotLevel(20, 0, 3.0), SpotLevel(0, 20, 1.0)])
INSIDE, OUTSIDE = (5.0, 5.0), (30.0, 30.0)


@pytest.mark.parametrize(
    ("points", "own", "levels", "basis"),
    [
        ([INSIDE], None, [1.5], "the ground between spot levels"),
        ([INSIDE], 9.0, [1.5], "the ground between spot levels"),
        ([OUTSIDE], 9.0, [9.0], "the outline's own level"),
        ([OUTSIDE], None, [np.nan], "not known: taken as level ground"),
        (
            [INSIDE, OUTSIDE],
            9.0,
            [1.5, 9.0],
            "the ground between spot levels; elsewhere the outline's own level",
        ),
        (
            [INSIDE, OUTSIDE],
            None,
            [1.5, np.nan],
            "the ground between spot levels; elsewhere not known: taken as level ground",
        ),
    ],
)
def test_the_ground_counts_first_then_the_outline_s_own_level(points, own, levels, basis):
    found = point_levels(points, GROUND, own)
    assert found.levels_m == pytest.approx(levels, nan_ok=True)
    assert found.basis == basis
    assert found.is_known == bool(np.any(~np.isnan(levels)))
