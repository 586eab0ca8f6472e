"""Crossings of rays with true curves, by hand and where a ray only just meets one."""

import math

import numpy as np
import pytest

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.crossings import ray_crossings, stretches
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.outline.pieces import arc_pieces

EXACT_M = 1e-9
"""Rays are refined to this; coordinates of a few hundred metres are rounded to less than 1e-12 m."""


def drawn(*corners, curve="straight", closed=True):
    return build_curve(DrawnShape(tuple(ControlPoint(*corner) for corner in corners), curve, closed))


def circle(x, y, radius):
    quarters = np.linspace(0, 2 * math.pi, 5)
    return Curve(arc_pieces(np.array([x, y]), np.zeros(2), radius * np.eye(2)[::-1], quarters), closed=True)


SQUARE = drawn((-5, 100), (5, 100), (5, 110), (-5, 110))
DIAMOND = drawn((0, 100), (5, 105), (0, 110), (-5, 105))
NOTCHED = drawn((-5, 100), (5, 100), (5, 110), (0, 105), (-5, 110))
STEPPED = drawn((-5, 100), (5, 100), (5, 120), (0, 120), (0, 110), (-5, 110))
SMOOTH = drawn((2, 100), (7, 103), (5, 108), (0, 111), (-6, 107), (-3, 103), curve="smooth")


@pytest.mark.parametrize(
    ("curve", "start", "bearing_deg", "wanted_m"),
    [
        pytest.param(SQUARE, (0, 0), 0, [100, 110], id="in at the front and out at the back"),
        pytest.param(SQUARE, (0, 0), 90, [], id="beside"),
        pytest.param(SQUARE, (0, 0), 180, [], id="away from it"),
        pytest.param(SQUARE, (0, 105), 90, [5], id="from inside"),
        pytest.param(SQUARE, (0, 100), 0, [10], id="from the edge inward"),
        pytest.param(SQUARE, (0, 100), 180, [], id="from the edge outward"),
        pytest.param(SQUARE, (5, 0), 0, [100, 110], id="along the edge on its right"),
        pytest.param(SQUARE, (-5, 0), 0, [100, 110], id="along the edge on its left"),
        pytest.param(SQUARE, (-5, 104), 0, [6], id="along an edge from within it"),
        pytest.param(SQUARE, (-15, 100), 45, [], id="touching a corner"),
        pytest.param(SQUARE, (-15, 90), 45, [10 * 2**0.5, 20 * 2**0.5], id="through two corners"),
        pytest.param(DIAMOND, (0, 0), 0, [100, 110], id="in and out at corners"),
        pytest.param(DIAMOND, (5, 0), 0, [], id="past a corner that touches"),
        pytest.param(NOTCHED, (0, 0), 0, [100, 105], id="out at a corner that points in"),
        pytest.param(NOTCHED, (-10, 105), 90, [5, 15], id="inside past a corner that points in"),
        pytest.param(NOTCHED, (-10, 107), 90, [5, 8, 12, 15], id="in and out twice"),
        pytest.param(STEPPED, (0, 0), 0, [100, 120], id="inside and then along an edge"),
        pytest.param(STEPPED, (-10, 110), 90, [5, 15], id="along an edge and then inside"),
    ],
)
def test_a_ray_crosses_a_straight_sided_outline(curve, start, bearing_deg, wanted_m):
    found = ray_crossings(curve, start, [bearing_deg])
    assert found.distance_m == pytest.approx(np.array(wanted_m), abs=EXACT_M)


def test_a_ray_that_runs_along_an_edge_of_many_points_is_inside_all_along_it():
    many = drawn(*((-5.0, y) for y in np.linspace(100, 110, 12)), (5, 110), (5, 100))
    for shift in (0.0, 1e-12, -1e-12):
        assert ray_crossings(many, (-5 + shift, 0), [0]).distance_m == pytest.approx([100, 110], abs=EXACT_M)


def test_rays_to_a_circle_agree_with_their_closed_form():
    # At angle t off the line to its centre, D away, a ray crosses a circle of radius r at
    # D cos t -+ sqrt(r^2 - D^2 sin^2 t).
    distance, radius = 230.0, 7.5
    t = np.linspace(-0.999, 0.999, 181) * math.asin(radius / distance)
    found = ray_crossings(circle(600, 6_500 + distance, radius), (600, 6_500), np.rad2deg(t))
    half = np.sqrt(radius**2 - (distance * np.sin(t)) ** 2)
    wanted = np.stack([distance * np.cos(t) - half, distance * np.cos(t) + half], axis=1)
    assert found.ray.tolist() == np.repeat(np.arange(181), 2).tolist()
    assert found.distance_m == pytest.approx(wanted.ravel(), abs=EXACT_M)


@pytest.mark.parametrize("deep_m", [9e-4, 1e-4, 1e-5, 1e-6])
def test_a_grazing_ray_less_deep_than_the_sagitta_is_found_all_round(deep_m):
    """A chord as deep as h in a circle of radius r is 2 sqrt(2 r h - h^2) long, whatever vertices the steps have."""
    radius = 6.0
    bearing = np.arange(0.0, 360.0, 0.5)
    inward = np.stack([np.cos(np.deg2rad(bearing)), -np.sin(np.deg2rad(bearing))], axis=1)
    along = np.stack([np.sin(np.deg2rad(bearing)), np.cos(np.deg2rad(bearing))], axis=1)
    start = -(radius - deep_m) * inward - 20.0 * along
    found = ray_crossings(circle(0, 0, radius), start, bearing)
    assert found.ray.tolist() == np.repeat(np.arange(720), 2).tolist()
    long_m = 2 * math.sqrt(2 * radius * deep_m - deep_m**2)
    # A ray displaced by 1e-14 m, which rounding does, moves the ends of so flat a chord by 1e-14 r / (half chord).
    assert found.distance_m[1::2] - found.distance_m[::2] == pytest.approx(np.full(720, long_m), abs=1e-9)


@pytest.mark.parametrize("beyond_m", [1e-6, 1e-4, 1e-2])
def test_a_ray_that_passes_just_outside_a_circle_has_no_crossing(beyond_m):
    starts = [(6.0 + beyond_m, -20.0), (-6.0 - beyond_m, -20.0)]
    assert len(ray_crossings(circle(0, 0, 6.0), starts, [0.0, 0.0]).ray) == 0


def test_crossings_lie_on_the_true_curve_and_on_the_ray():
    bearing = np.linspace(-3.5, 4.5, 400)
    found = ray_crossings(SMOOTH, (0.0, 0.0), bearing)
    assert len(found.ray) > 500
    toward = np.deg2rad(bearing[found.ray])
    places = found.distance_m[:, np.newaxis] * np.stack([np.sin(toward), np.cos(toward)], axis=1)
    for place in places[::23]:
        on_curve = SMOOTH.points_at(SMOOTH.nearest_m(place))
        assert np.hypot(*(on_curve - place)) < EXACT_M


def test_many_rays_from_places_of_their_own_give_what_each_gives_alone():
    rng = np.random.default_rng(4)
    starts, bearings = rng.uniform([-30, 60], [30, 140], (200, 2)), rng.uniform(0, 360, 200)
    together = ray_crossings(SMOOTH, starts, bearings)
    for index in range(200):
        alone = ray_crossings(SMOOTH, starts[index], bearings[index])
        # Sums of many rays are taken in another order than of one: their last bits may differ.
        assert together.of(index) == pytest.approx(alone.distance_m, abs=1e-12)


def test_far_from_the_grids_origin_nothing_but_the_coordinates_is_rounded():
    """A float near 6 766 420 has a spacing of 9e-10 m."""
    corners = [(656_945.0 + x, 6_766_420.0 + y) for x, y in ((-5, 100), (5, 100), (5, 110), (-5, 110))]
    found = ray_crossings(drawn(*corners), (656_945.0, 6_766_420.0), [0.0])
    assert found.distance_m == pytest.approx([100, 110], abs=2e-9)


def test_an_open_line_is_met_wherever_a_ray_crosses_it():
    line = drawn((-5, 100), (5, 100), (5, 110), (-5, 120), closed=False)
    assert ray_crossings(line, (0, 0), [0]).distance_m == pytest.approx([100, 115], abs=EXACT_M)


def test_an_open_line_that_touches_a_ray_meets_it_once():
    line = drawn((-5, 100), (0, 105), (-5, 110), closed=False)
    assert ray_crossings(line, (0, 0), [0]).distance_m == pytest.approx([105], abs=EXACT_M)


def test_an_odd_number_of_crossings_begins_inside():
    assert stretches(np.array([4.0, 8.0, 9.0])) == ((0.0, 4.0), (8.0, 9.0))
    assert stretches(np.array([4.0, 8.0])) == ((4.0, 8.0),)
    assert stretches(np.array([])) == ()
