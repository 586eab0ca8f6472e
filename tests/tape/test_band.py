"""The area of a band along a line: known areas, and what lies in it."""

import numpy as np
import pytest
import shapely

from fieldapp.tape.band import band_area


def area_of(rings):
    """Even-odd area of rings: holes lie within the outer one."""
    areas = sorted((shapely.Polygon(ring).area for ring in rings), reverse=True)
    return areas[0] - sum(areas[1:])


def test_a_straight_line_of_even_width_is_a_strip_with_round_ends():
    rings = band_area(np.array([[0.0, 0.0], [10.0, 0.0]]), np.array([1.0, 1.0]))
    assert area_of(rings) == pytest.approx(20.0 + np.pi, rel=0.02)


def test_round_a_closed_line_it_is_a_ring_with_a_hole_until_it_is_wider_than_the_line():
    angle = np.linspace(0, 2 * np.pi, 90)
    circle = 5.0 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    narrow, wide = band_area(circle, np.full(90, 1.0)), band_area(circle, np.full(90, 6.0))
    assert (len(narrow), len(wide)) == (2, 1)
    assert area_of(narrow) == pytest.approx(np.pi * (36 - 16), rel=0.02)


def test_the_width_runs_straight_from_one_place_to_the_next():
    (ring,) = band_area(np.array([[0.0, 0.0], [10.0, 0.0]]), np.array([0.5, 2.0]))
    cross = shapely.Polygon(ring).intersection(shapely.LineString([(5.0, -9.0), (5.0, 9.0)]))
    assert cross.length == pytest.approx(2.5, rel=0.05)
