"""The band of a walked line holds the true line as often as it says: simulated walks with fixed seeds.

`pytest -s tests/tape/test_walk_coverage.py` prints what was measured.
"""

import numpy as np
import pytest

from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess
from fieldapp.tape.walk import smooth_walk
from tests.tape.walks import errors, lobed, off_ring, walked

PHONE = ErrorProcess(DEFAULT_PROCESS.parts, spread=1.0)
FINE = ErrorProcess(((0.3, 0.0), (0.4, 30.0), (0.3, 600.0)), spread=1.0)
CORRECTED = 4
"""Steps by which the true line is laid on the shape before only the shape is looked at: the last moves it no more."""


def shape_share(line, truth):
    """How much of the true line lies within the shape's band once the whole was moved to where it fits best.

    That is where the squares of its distances from the shape, each square to it, are least (Gauss and Newton).
    """
    shift = np.zeros(2)
    for _ in range(CORRECTED):
        away, nearest, near = off_ring(line.xy, truth + shift)
        square = (near - truth - shift) / np.maximum(away, 1e-12)[:, None]
        shift = shift + np.linalg.solve(square.T @ square, square.T @ away)
    away, nearest, _ = off_ring(line.xy, truth + shift)
    return (away <= line.shape95_m[nearest]).mean()


def coverage(seed, walks, process, sigma_m, rounds, strays=0.0):
    """Share of true line points within the whole band and, the position aside, within the shape's."""
    rng = np.random.default_rng(seed)
    whole, shape, left_out = [], [], 0
    for _ in range(walks):
        outline = lobed(rng)
        t_s, boots = walked(rng, outline, rounds)
        fixes = boots + errors(rng, t_s, process.parts, sigma_m)
        stray = rng.random(len(t_s)) < strays
        fixes[stray] += rng.normal(0, 12.0, (int(stray.sum()), 2))
        line = smooth_walk(t_s, fixes, np.full(len(t_s), sigma_m), process, closed=True)
        away, nearest, _ = off_ring(line.xy, outline[::4])
        whole.append((away <= line.band95_m[nearest]).mean())
        shape.append(shape_share(line, outline[::4]))
        left_out += line.left_out
    return float(np.mean(whole)), float(np.mean(shape)), left_out / walks


@pytest.mark.parametrize(
    ("process", "sigma_m", "rounds", "strays", "most"),
    [
        (PHONE, 3.0, 1, 0.0, 0.98),
        (PHONE, 0.5, 1, 0.0, 0.97),
        (PHONE, 1.0, 2, 0.0, 0.97),
        (FINE, 0.015, 2, 0.0, 0.97),
        (PHONE, 1.0, 1, 0.02, 0.97),
    ],
    ids=["phone", "half a metre", "two rounds", "centimetres", "strays"],
)
def test_the_band_of_a_known_error_holds_the_line_95_times_in_100(process, sigma_m, rounds, strays, most):
    """Of a phone it is somewhat more: a band as wide as the bunker holds a place by its other side too."""
    whole, shape, left_out = coverage(41, 70, process, sigma_m, rounds, strays)
    print(
        f"\nwalk, sigma {sigma_m} m, {rounds} rounds: band {whole:.1%}, shape {shape:.1%}, left out {left_out:.1f}"
    )
    assert 0.93 <= whole <= most
    assert 0.91 <= shape <= 0.98


def test_the_band_of_a_receiver_nobody_tried_is_on_the_safe_side():
    whole, shape, _ = coverage(43, 40, DEFAULT_PROCESS, 3.0, 1)
    print(f"\nwalk, error process as taken unseen: band {whole:.1%}, shape {shape:.1%}")
    assert whole >= 0.93
    assert shape >= 0.95
