"""Lines of very many points are thinned, and no place of them moves by more than is told."""

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.model import ControlPoint
from fieldapp.outline.thinning import thinned


def ring(count, radius=10.0):
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return [
        ControlPoint(float(x), float(y)) for x, y in np.column_stack([np.cos(turn), np.sin(turn)]) * radius
    ]


def as_line(points):
    return shapely.LineString([(point.x, point.y) for point in points])


def test_few_points_stay_as_they_are():
    points = ring(40)
    kept = thinned(points, 40, closed=True)
    assert kept == tuple(points)


def test_a_ring_of_ten_thousand_points_becomes_few_that_lie_on_it():
    points = ring(10_000)
    kept = thinned(points, 200, closed=True)
    assert 50 < len(kept) <= 200
    assert set(kept) <= set(points)
    assert shapely.hausdorff_distance(as_line(points), as_line(kept)) < 0.02


def test_arcs_and_corners_stay_with_their_neighbours():
    points = ring(500)
    points[100] = ControlPoint(points[100].x, points[100].y, "through")
    kept = thinned(points, 40, closed=True)
    at = kept.index(points[100])
    assert kept[at - 1 : at + 2] == tuple(points[99:102])


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=60, unique=True),
    st.integers(3, 20),
    st.booleans(),
)
def test_whatever_the_line_it_is_thinned_in_order_to_what_was_asked(places, most, closed):
    points = [ControlPoint(x, y) for x, y in places]
    kept = thinned(points, most, closed)
    order = [points.index(point) for point in kept]
    assert order == sorted(order)
    assert order[0] == 0
    assert order[-1] == len(points) - 1
    if len(points) <= most:
        assert kept == tuple(points)
    else:
        assert len(kept) <= max(most, 2 + closed)
