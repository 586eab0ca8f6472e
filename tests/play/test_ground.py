"""The ground surface between spot levels."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.model import SpotLevel
from fieldapp.play.ground import LONGEST_SIDE_M, ground_between


def plane(x, y):
    return 12.0 + 0.03 * x - 0.02 * y


def spots(places, level=plane):
    return [SpotLevel(float(x), float(y), float(level(x, y))) for x, y in places]


def grid(columns, rows, step=10.0):
    return [(x * step, y * step) for x in range(columns) for y in range(rows)]


PLACES = st.lists(
    st.tuples(st.integers(0, 600), st.integers(0, 600)).map(lambda at: (at[0] / 10, at[1] / 10)),
    min_size=4,
    max_size=30,
    unique=True,
)


@settings(max_examples=80, deadline=None)
@given(PLACES, st.lists(st.tuples(st.floats(-10, 70), st.floats(-10, 70)), min_size=1, max_size=20))
def test_a_plane_is_given_back_exactly_wherever_ground_is_known(places, asked):
    found = ground_between(spots(places)).level_at(asked)
    wanted = np.array([plane(x, y) for x, y in asked])
    known = ~np.isnan(found)
    assert np.abs(found - wanted)[known].max(initial=0.0) < 1e-6


def test_a_triangle_is_known_inside_on_its_sides_and_at_its_corners_and_nowhere_else():
    ground = ground_between(spots([(0, 0), (10, 0), (0, 10)]))
    known = ground.level_at([(3, 3), (5, 5), (0, 0), (10, 0), (0, 4)])
    assert known == pytest.approx([plane(x, y) for x, y in [(3, 3), (5, 5), (0, 0), (10, 0), (0, 4)]])
    assert np.isnan(ground.level_at([(5.01, 5.01), (-0.01, 3), (3, -0.01), (500, 500)])).all()


@pytest.mark.parametrize(
    "places", [[], [(1, 1)], [(0, 0), (5, 5)], [(0, 0), (1, 1), (2, 2), (30, 30)]], ids=len
)
def test_fewer_than_three_levels_or_all_in_one_line_make_no_surface(places):
    ground = ground_between(spots(places))
    assert np.isnan(ground.level_at([(0, 0), (1, 1)])).all()
    distances, levels = ground.profile((0, 0), (10, 0))
    assert distances == pytest.approx([0, 10])
    assert np.isnan(levels).all()


def test_two_clusters_of_levels_two_hundred_metres_apart_make_no_ground_between_them():
    near, far = grid(3, 3), [(x + 200, y) for x, y in grid(3, 3)]
    ground = ground_between(spots(near + far))
    assert not np.isnan(ground.level_at([(10, 10), (210, 10)])).any()
    assert np.isnan(ground.level_at([(100, 10), (21, 10), (199, 10)])).all()


@pytest.mark.parametrize(("side", "known"), [(39.99, True), (40.01, False)])
def test_a_triangle_with_a_side_longer_than_40_m_on_the_ground_is_unknown_ground(side, known):
    assert LONGEST_SIDE_M == 40.0
    corners = [(0, 0), (side, 0), (side / 2, 15)]
    assert np.isnan(ground_between(spots(corners)).level_at([(side / 2, 5)]))[0] == (not known)
    small = [(x * 2, y * 2) for x, y in corners]
    assert np.isnan(ground_between(spots(small), ground_scale=0.5).level_at([(side, 10)]))[0] == (not known)


def wavy(x, y):
    return 5 + math.sin(x / 7) + math.cos(y / 5)


@settings(max_examples=80, deadline=None)
@given(PLACES, st.tuples(*[st.floats(-20, 80)] * 4))
def test_a_profile_is_the_level_at_every_place_of_its_line(places, ends):
    start, end = np.array(ends[:2]), np.array(ends[2:])
    length = math.dist(start, end)
    ground = ground_between(spots(places, wavy))
    distances, levels = ground.profile(start, end)
    assert (np.diff(distances) >= 0).all()
    steps = np.linspace(0, length, 101)
    along = start + np.outer(steps / max(length, 1e-9), end - start)
    by_profile, by_place = np.interp(steps, distances, levels), ground.level_at(along)
    both = ~np.isnan(by_profile) & ~np.isnan(by_place)
    assert np.abs(by_profile - by_place)[both].max(initial=0.0) < 1e-4
    sides = np.sort(np.append(distances, [0, length]))
    beside = np.abs(steps[:, None] - sides).min(axis=1) > 1e-4
    assert (np.isnan(by_profile) == np.isnan(by_place))[beside].all()


def test_a_profile_has_a_place_at_every_side_it_crosses_and_a_gap_where_nothing_is_known():
    squares = [(0, 0), (10, 0), (10, 10), (0, 10.001)]
    ground = ground_between(spots(squares + [(x + 60, y) for x, y in squares], wavy))
    distances, levels = ground.profile((-5, 4), (75, 4))
    known = distances[~np.isnan(levels)]
    assert known[[0, 2, 3, 5]] == pytest.approx([5, 15, 65, 75], abs=1e-6)
    assert (len(known), np.isnan(levels).sum()) == (6, 3)
    assert np.isnan(np.interp([2, 16, 40, 64, 77], distances, levels)).all()


def test_a_line_along_the_side_of_a_triangle_has_its_level():
    ground = ground_between(spots([(0, 0), (10, 0), (0, 10)]))
    distances, levels = ground.profile((-2, 0), (12, 0))
    known = ~np.isnan(levels)
    assert distances[known] == pytest.approx([2, 12], abs=1e-5)
    assert levels[known] == pytest.approx([plane(0, 0), plane(10, 0)], abs=1e-5)


@settings(max_examples=40, deadline=None)
@given(PLACES, st.floats(0, 360), st.floats(-7e6, 7e6), st.floats(-7e6, 7e6))
def test_turning_and_shifting_the_levels_turns_and_shifts_the_surface(places, turn_deg, east, north):
    turn = math.radians(turn_deg)

    def moved(x, y):
        return (
            x * math.cos(turn) - y * math.sin(turn) + east,
            x * math.sin(turn) + y * math.cos(turn) + north,
        )

    asked = [(x, y) for x in range(5, 60, 9) for y in range(4, 60, 9)]
    kept = ground_between(spots(places)).level_at(asked)
    away = ground_between([SpotLevel(*moved(x, y), plane(x, y)) for x, y in places]).level_at(
        [moved(x, y) for x, y in asked]
    )
    both = ~np.isnan(kept) & ~np.isnan(away)
    assert np.abs(kept - away)[both].max(initial=0.0) < 1e-4


@pytest.mark.parametrize("step_m", [10.0, 20.0])
def test_a_square_grid_of_levels_has_ground_everywhere_however_it_is_turned(step_m):
    """Levels staked out on a grid and written to the millimetre: four corners of a square all but on one circle."""
    level = np.array(grid(8, 8, step_m))
    inside = np.random.default_rng(5).uniform(0.1, 7 * step_m - 0.1, (200, 2))
    for turn_deg in range(0, 360, 3):
        turn = np.deg2rad(turn_deg + 0.35)
        turned = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        found = ground_between(spots(np.round(level @ turned, 3).tolist())).level_at(inside @ turned)
        wanted = plane(*(inside @ turned).T)
        assert np.abs(found - wanted).max() < 1e-5, turn_deg
