"""Curves against figures worked by hand."""

import math

import numpy as np
import pytest
import shapely

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]
BLOB = [(0, 0), (6, -2), (11, 1), (12, 7), (7, 9), (5, 6), (1, 8), (-2, 4)]


def drawn(points, curve="smooth", closed=True):
    return DrawnShape(tuple(ControlPoint(*point) for point in points), curve, closed)


def barry_goldman(p0, p1, p2, p3, share):
    """The centripetal Catmull-Rom point by the pyramid of Barry and Goldman, written apart from the program's
    way.
    """
    p0, p1, p2, p3 = (np.array(p, dtype=float) for p in (p0, p1, p2, p3))
    t = [0.0]
    for a, b in ((p0, p1), (p1, p2), (p2, p3)):
        t.append(t[-1] + math.dist(a, b) ** 0.5)
    at = t[1] + share * (t[2] - t[1])

    def blend(a, b, ta, tb):
        return (tb - at) / (tb - ta) * a + (at - ta) / (tb - ta) * b

    a1, a2, a3 = blend(p0, p1, t[0], t[1]), blend(p1, p2, t[1], t[2]), blend(p2, p3, t[2], t[3])
    b1, b2 = blend(a1, a2, t[0], t[2]), blend(a2, a3, t[1], t[3])
    return blend(b1, b2, t[1], t[2])


def distance_to(curve, xy):
    return math.dist(curve.points_at([curve.nearest_m(xy)])[0], xy)


def test_a_square_has_its_perimeter_area_and_four_corners():
    curve = build_curve(drawn(SQUARE, "straight"))
    assert (curve.length_m, curve.area_m2) == pytest.approx((40, 100), abs=1e-12)
    assert curve.corners_m == pytest.approx([0, 10, 20, 30], abs=1e-12)


def test_a_point_on_a_straight_side_is_no_corner():
    curve = build_curve(drawn([(0, 0), (5, 0), *SQUARE[1:]], "straight"))
    assert len(curve.corners_m) == 4


def test_a_point_on_a_straight_side_called_corner_is_one():
    curve = build_curve(drawn([(0, 0), (5, 0, "corner"), *SQUARE[1:]], "straight"))
    assert len(curve.corners_m) == 5


def test_a_semicircle_through_three_points_has_length_pi_r_and_half_the_area():
    curve = build_curve(drawn([(0, 0), (5, 5, "through"), (10, 0)], "straight"))
    assert curve.length_m == pytest.approx(5 * math.pi + 10, abs=1e-12)
    assert curve.area_m2 == pytest.approx(12.5 * math.pi, abs=1e-12)


def test_an_open_semicircle_passes_its_top_half_way():
    curve = build_curve(drawn([(0, 0), (5, 5, "through"), (10, 0)], "straight", closed=False))
    assert curve.points_at([0, 2.5 * math.pi, 5 * math.pi]) == pytest.approx(
        np.array([(0, 0), (5, 5), (10, 0)]), abs=1e-12
    )


def test_an_arc_of_more_than_half_a_circle_goes_the_long_way_round():
    high = 5 + math.sqrt(50)
    curve = build_curve(drawn([(0, 0), (5, high, "through"), (10, 0)], "straight", closed=False))
    assert curve.length_m == pytest.approx(math.sqrt(50) * 1.5 * math.pi, abs=1e-9)


def test_two_semicircles_make_a_circle_without_corners():
    curve = build_curve(drawn([(0, 0), (5, 5, "through"), (10, 0), (5, -5, "through")], "straight"))
    assert (curve.length_m, curve.area_m2) == pytest.approx((10 * math.pi, 25 * math.pi), abs=1e-10)
    assert len(curve.corners_m) == 0


def test_an_arc_may_be_joined_to_a_smooth_curve():
    curve = build_curve(drawn([(0, 0), (5, 5, "through"), (10, 0), (7, -6), (3, -6)], "smooth"))
    assert distance_to(curve, (5, 5)) < 1e-9
    assert distance_to(curve, (7, -6)) < 1e-9


@pytest.mark.parametrize("curve", ["smooth", "straight"])
def test_a_curve_passes_through_every_control_point(curve):
    built = build_curve(drawn(BLOB, curve))
    assert max(distance_to(built, point) for point in BLOB) < 1e-9


def test_the_smooth_curve_is_the_centripetal_catmull_rom_of_barry_and_goldman():
    curve = build_curve(drawn(BLOB))
    ring = BLOB[-1:] + BLOB + BLOB[:2]
    there = [barry_goldman(*ring[i : i + 4], share) for i in range(len(BLOB)) for share in (0.2, 0.5, 0.7)]
    assert max(distance_to(curve, xy) for xy in there) < 1e-9


def test_a_corner_breaks_the_smooth_curve():
    cornered = build_curve(drawn([(*BLOB[0], "corner"), *BLOB[1:]]))
    assert len(cornered.corners_m) == 1
    assert len(build_curve(drawn(BLOB)).corners_m) == 0


def test_an_open_smooth_curve_through_two_points_is_straight():
    curve = build_curve(drawn([(0, 0), (3, 4)], closed=False))
    assert curve.points_at([2.5])[0] == pytest.approx((1.5, 2), abs=1e-12)


@pytest.mark.parametrize("points", [BLOB, BLOB[::-1]])
def test_a_closed_curve_runs_clockwise_whichever_way_it_was_drawn(points):
    assert not shapely.LinearRing(build_curve(drawn(points)).trace(0.01)).is_ccw


def test_an_outline_closing_twice_is_the_same_as_one_closing_once():
    assert build_curve(drawn([*BLOB, BLOB[0]])).length_m == build_curve(drawn(BLOB)).length_m


def test_points_lie_as_far_along_as_their_chainage_says():
    curve = build_curve(drawn(BLOB))
    steps = np.hypot(*np.diff(curve.points_at(np.linspace(0, curve.length_m, 50_001)), axis=0).T)
    assert steps.sum() == pytest.approx(curve.length_m, abs=1e-6)
    assert steps == pytest.approx(np.full(50_000, curve.length_m / 50_000), abs=1e-9)


def test_length_and_area_agree_with_a_very_fine_polygon():
    curve = build_curve(drawn([(600_000 + x, 6_500_000 + y) for x, y in BLOB]))
    polygon = shapely.Polygon(curve.points_at(np.linspace(0, curve.length_m, 100_001)) - (600_000, 6_500_000))
    assert (curve.length_m, curve.area_m2) == pytest.approx((polygon.length, polygon.area), abs=1e-5)


@pytest.mark.parametrize("sagitta_m", [0.05, 0.0002])
@pytest.mark.parametrize("curve", ["smooth", "straight"])
def test_a_trace_leaves_the_curve_by_no_more_than_its_sagitta(curve, sagitta_m):
    built = build_curve(drawn([*BLOB[:3], (12.5, 4, "through"), *BLOB[3:]], curve))
    sampled = shapely.points(built.points_at(np.linspace(0, built.length_m, 20_001)))
    assert shapely.distance(shapely.LineString(built.trace(sagitta_m)), sampled).max() <= sagitta_m


def test_a_closed_trace_ends_where_it_began_and_starts_where_asked():
    curve = build_curve(drawn(BLOB))
    trace = curve.trace(0.01, start_m=7.5)
    assert np.array_equal(trace[0], trace[-1])
    assert trace[0] == pytest.approx(curve.points_at([7.5])[0], abs=1e-9)


def test_an_open_trace_runs_backwards_from_its_end():
    curve = build_curve(drawn(BLOB[:4], closed=False))
    assert np.array_equal(curve.trace(0.01, start_m=curve.length_m), curve.trace(0.01)[::-1])


@pytest.mark.parametrize("xy", [(40, 3), (5, -30), (6.1, 4), (6, 20)])
def test_the_nearest_location_is_nearer_than_any_of_a_hundred_thousand_others(xy):
    curve = build_curve(drawn(BLOB))
    others = np.hypot(*(curve.points_at(np.linspace(0, curve.length_m, 100_001)) - xy).T).min()
    assert others - 1e-6 < distance_to(curve, xy) <= others + 1e-12


def test_of_two_locations_equally_near_the_one_of_least_x_is_taken():
    curve = build_curve(drawn([(0, 0), (5, 5, "through"), (10, 0), (5, -5, "through")], "straight"))
    assert curve.points_at([curve.nearest_m((5, 0))])[0] == pytest.approx((0, 0), abs=1e-3)


BAD = {
    "two points closed": (
        drawn(SQUARE[:2]),
        "A closed outline needs at least 3 different points and this one has 2; add points.",
    ),
    "one point open": (
        drawn(SQUARE[:1], closed=False),
        "An open outline needs at least 2 different points and this one has 1",
    ),
    "no points": (drawn([]), "this one has 0;"),
    "two points closing twice": (drawn([(0, 0), (1, 1), (0, 0)]), "this one has 2;"),
    "not a number": (
        drawn([(0, 0), (math.nan, 3), (5, 5)]),
        "Point 2 of the outline is not a number; give it an x and a y in figures.",
    ),
    "without end": (drawn([(0, 0), (1, 3), (5, math.inf)]), "Point 3 of the outline is not a number"),
    "the same point twice running": (
        drawn([(0, 0), (4, 0), (4, 0), (4, 4)]),
        "Points 2 and 3 of the outline are the same place (x 4.000, y 0.000); take one of them out.",
    ),
    "a slip of the pen": (
        drawn([(600_000, 6_500_000), (600_005, 6_500_000), (600_005, 65_000_070)]),
        "Point 3 of the outline (x 600005.00, y 65000070.00) is more than 10 km from its first point",
    ),
    "self-crossing": (
        drawn([(0, 0), (10, 10), (10, 0), (0, 10)], "straight"),
        "The outline crosses or touches itself near x 5.00, y 5.00; "
        "put its points in the order in which they lie along the outline.",
    ),
    "self-crossing in a large grid": (
        drawn([(6e5, 6.5e6), (6e5 + 9, 6.5e6 + 9), (6e5 + 9, 6.5e6), (6e5, 6.5e6 + 9)], "straight"),
        "near x 600004.50, y 6500004.50",
    ),
    "an open line crossing itself": (
        drawn([(0, 0), (10, 0), (10, 5), (4, 5), (4, -5)], "straight", closed=False),
        "near x 4.00, y 0.00",
    ),
    "going back on itself": (drawn([(0, 0), (10, 0), (5, 0)], "straight"), "crosses or touches itself"),
    "touching itself at a point": (
        drawn([(0, 0), (5, 5), (10, 0), (10, 10), (5, 5.0), (0, 10)], "straight"),
        "near x 5.00, y 5.00",
    ),
    "an arc through points in one line": (
        drawn([(0, 0), (5, 0, "through"), (10, 0), (5, 8)], "straight"),
        "The arc through x 5.000, y 0.000 has its three points in one line; "
        "move the 'through' point to the side or make it a plain point.",
    ),
    "two through in a row": (
        drawn([(0, 0), (3, 3, "through"), (6, 3, "through"), (9, 0)], "straight"),
        "Points 2 and 3 of the outline are both 'through'; "
        "an arc takes one 'through' point between two others.",
    ),
    "an open outline ending in through": (
        drawn([(0, 0), (3, 3), (6, 3, "through")], closed=False),
        "begins or ends with a 'through' point",
    ),
}


@pytest.mark.parametrize(("shape", "says"), BAD.values(), ids=BAD.keys())
def test_a_bad_outline_is_refused_in_its_own_words(shape, says):
    with pytest.raises(OutlineError) as refused:
        build_curve(shape)
    assert says in str(refused.value)


def test_a_rounding_slip_of_the_last_point_still_closes_the_ring():
    assert build_curve(drawn([*SQUARE, (1e-7, -1e-7)], "straight")).length_m == pytest.approx(40)


def test_places_along_a_stretch_that_nearly_stops_are_where_the_trace_has_them():
    spike = build_curve(drawn([(0, 0), (-6, 12), (-7, 26), (-2000, -5000), (0, 60), (9, 70)], closed=False))
    trace, chainage = spike.trace_with_chainage(0.001)
    away = np.hypot(*(spike.points_at(chainage) - trace).T)
    print(f"a spike of {spike.length_m:.0f} m: places along it within {away.max():.1e} m")
    assert away.max() < 1e-6
