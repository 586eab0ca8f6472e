"""Steep ground: the plane's own slope decides."""

import numpy as np
import pytest

from fieldapp.model import SpotLevel
from fieldapp.play.ground import ground_between
from fieldapp.play.steep_ground import steep_triangles


@pytest.mark.parametrize(("rise", "steep"), [(0.30, 0), (0.36, 8)])
def test_a_plane_is_steep_where_it_rises_more_than_one_in_three_on_the_ground(rise, steep):
    spots = [
        SpotLevel(x, y, rise * (x * 0.6 + y * 0.8)) for x in (0.0, 10.0, 20.0) for y in (0.0, 10.0, 20.0)
    ]
    assert len(steep_triangles(ground_between(spots), 1.0)) == steep


def test_the_slope_is_that_on_the_ground_not_on_the_grid():
    spots = [SpotLevel(x, y, 0.34 * x) for x in (0.0, 10.0) for y in (0.0, 10.0)]
    surface = ground_between(spots)
    assert len(steep_triangles(surface, 1.0)) == 2
    assert len(steep_triangles(surface, 1.05)) == 0


def test_no_levels_make_no_steep_ground():
    assert steep_triangles(ground_between([]), 1.0).shape == (0, 3, 2)
    assert np.isfinite(steep_triangles(ground_between([]), 1.0)).all()
