"""A hundred outlines to GNSS positions, against one bare call of PROJ on the same points."""

import statistics
import time

import numpy as np
import pytest

from fieldapp.geodesy.grid import build_grid
from fieldapp.model import FittedGrid, GnssPosition, LocalGrid, Peg, ProjectedGrid

MOST = 1.5
ROUNDS = 31
PEGS = (
    Peg("A", "control", 0.0, 0.0, None, GnssPosition(53.6, -5.0)),
    Peg("B", "control", 0.0, 111.3, None, GnssPosition(53.601, -5.0)),
)
KINDS = {
    "local": (LocalGrid(53.6, -5.0, 60.0, 0.0, 0.0, 27.5), (), (0.0, 0.0)),
    "projected": (ProjectedGrid("EPSG:3006"), (), (674_000.0, 6_580_000.0)),
    "projected, datum step": (ProjectedGrid("EPSG:2056"), (), (2_700_000.0, 1_230_000.0)),
    "fitted": (FittedGrid(), PEGS, (0.0, 0.0)),
}


def seconds(work) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


@pytest.mark.benchmark
@pytest.mark.parametrize("kind", KINDS)
def test_a_hundred_outlines_take_at_most_half_as_long_again_as_a_bare_call(kind, capsys):
    definition, pegs, middle = KINDS[kind]
    grid = build_grid(definition, pegs)
    rng = np.random.default_rng(8)
    outlines = [np.add(middle, rng.uniform(-700, 700, (200, 2))) for _ in range(100)]
    east, north = np.linalg.inv(grid.matrix) @ (np.concatenate(outlines) - grid.shift).T
    ours, bare = [], []
    for _ in range(ROUNDS):
        ours.append(seconds(lambda: grid.outlines_to_gnss(outlines)))
        bare.append(seconds(lambda: grid.transformer.transform(east, north, direction="INVERSE")))
    by_median = statistics.median(ours) / statistics.median(bare)
    by_best = min(ours) / min(bare)
    with capsys.disabled():
        print(
            f"\n  100 outlines x 200 points to GNSS, {kind}: {min(ours) * 1000:.2f} ms, bare call "
            f"{min(bare) * 1000:.2f} ms, ratio {by_best:.2f} (best), {by_median:.2f} (median), at most {MOST}"
        )
    assert min(by_best, by_median) <= MOST
