"""Where a line through measured points crosses itself."""

import numpy as np
import pytest

from fieldapp.tape.captured_crossing import crossing_ways

SQUARE = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], dtype=float)


@pytest.mark.parametrize("curve", ["smooth", "straight"])
def test_the_ways_that_meet_are_named_by_their_points(curve):
    assert crossing_ways(SQUARE, True, curve) is None
    assert crossing_ways(SQUARE[[0, 2, 1, 3]], True, curve) == ((1, 2), (3, 4))
    assert crossing_ways(SQUARE[[0, 2, 2, 1, 3]], True, curve) == ((1, 2), (4, 5))
    assert crossing_ways(SQUARE[[0, 2, 1, 3]], False, curve) == ((1, 2), (3, 4))
    assert crossing_ways(SQUARE[:2], True, curve) is None
