"""Pegs whose two places disagree are told, before anybody checks against them."""

import pytest

from fieldapp.geodesy.grid import build_grid
from fieldapp.geodesy.peg_agreement import peg_notes
from fieldapp.model import GnssPosition, LocalGrid, Peg, ProjectedGrid

GRID = build_grid(LocalGrid(53.6, -5.0, 12.0))


def peg(north_m=0.0, x=100.0, y=200.0, grid=GRID):
    lon, lat = grid.to_gnss([x, y])
    return Peg("c1", "control", x, y, position=GnssPosition(lat + north_m / 111_290, lon))


def test_a_peg_that_agrees_gets_no_note():
    assert peg_notes(GRID, [peg()], 0.10) == ()


@pytest.mark.parametrize("apart_m", [0.5, 10.0])
def test_a_peg_that_disagrees_is_named_with_how_far(apart_m):
    (note,) = peg_notes(GRID, [peg(apart_m)], 0.10)
    assert note.startswith(f"By its GNSS position peg 'c1' lies {apart_m:.2f} m from its course coordinates")


def test_a_grid_of_a_metre_bears_what_it_cannot_tell():
    grid = build_grid(ProjectedGrid("EPSG:3006", 25.0))
    near, far = peg(0.6, 656_800, 6_766_250, grid), peg(3.0, 656_800, 6_766_250, grid)
    assert peg_notes(grid, [near], 0.10) == ()
    assert len(peg_notes(grid, [far], 0.10)) == 1


def test_a_peg_without_a_position_says_nothing():
    assert peg_notes(GRID, [Peg("r1", "reference", 1.0, 2.0)], 0.10) == ()
