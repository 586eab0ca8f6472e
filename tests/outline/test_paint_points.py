"""Paint points: what must hold for every outline, and a few by hand."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.paint_points import chord_sagittas_m, paint_points

TEE = (3.0, -160.0)
REPEATABLE = settings(max_examples=60, deadline=None, derandomize=True)


def drawn(points, curve="smooth", closed=True):
    return DrawnShape(tuple(ControlPoint(*point) for point in points), curve, closed)


def can_be_drawn(shape):
    try:
        return build_curve(shape)
    except OutlineError:
        return None


@st.composite
def outlines(draw, closed=True):
    """A ring of points around a centre, at uneven bearings and distances, some of them corners or arcs."""
    count = draw(st.integers(5, 16))
    shares = draw(st.lists(st.floats(0.1, 0.9), min_size=count, max_size=count))
    radii = draw(st.lists(st.floats(2.0, 9.0), min_size=count, max_size=count))
    roles = draw(
        st.lists(st.sampled_from(["plain", "plain", "corner", "through"]), min_size=count, max_size=count)
    )
    for index in range(count):
        if roles[index] == "through" and (
            roles[index - 1] == "through" or (not closed and index in (0, count - 1))
        ):
            roles[index] = "plain"
    turn = 2 * np.pi * (np.arange(count) + shares) / count
    origin = draw(st.sampled_from([(0.0, 0.0), (600_000.0, 6_500_000.0)]))
    points = tuple(
        ControlPoint(origin[0] + r * math.cos(a), origin[1] + r * math.sin(a), role)
        for r, a, role in zip(radii, turn, roles, strict=True)
    )
    shape = DrawnShape(points, draw(st.sampled_from(["smooth", "straight"])), closed)
    curve = can_be_drawn(shape)
    assume(curve is not None)
    return shape, curve, np.add(origin, TEE)


either = st.booleans().flatmap(lambda closed: outlines(closed=closed))
spacings = st.floats(0.3, 4.0)
sagittas = st.sampled_from([0.005, 0.02, 0.2])


def densely_between(curve, made):
    """For each interval between paint points 60 places on the curve, both ends among them: `(N, 60, 2)`."""
    walk = np.append(made.chainage_m, curve.length_m) if curve.closed else made.chainage_m
    chainage = np.linspace(walk[:-1], walk[1:], 60, axis=1)
    backwards = not curve.closed and made.start_m > 0
    return curve.points_at(made.start_m + (-chainage if backwards else chainage))


@REPEATABLE
@given(either, spacings, sagittas)
def test_no_gap_is_over_the_spacing_along_the_curve_or_across(outline, spacing_m, sagitta_m):
    _, curve, tee = outline
    made = paint_points(curve, tee, spacing_m, sagitta_m)
    gaps = np.diff(np.append(made.chainage_m, curve.length_m) if curve.closed else made.chainage_m)
    assert gaps.min() > 0
    assert gaps.max() <= spacing_m * (1 + 2e-9)
    between = densely_between(curve, made)
    assert between[:, 0] == pytest.approx(made.xy[: len(between)], abs=1e-6)
    assert np.hypot(*(between[:, -1] - between[:, 0]).T).max() <= spacing_m + 1e-8


@REPEATABLE
@given(either, spacings, sagittas)
def test_no_chord_leaves_the_curve_by_more_than_the_sagitta(outline, spacing_m, sagitta_m):
    _, curve, tee = outline
    between = densely_between(curve, paint_points(curve, tee, spacing_m, sagitta_m))
    chords = shapely.linestrings(between[:, [0, -1]])
    away = shapely.distance(chords[:, np.newaxis], shapely.points(between))
    assert away.max() <= sagitta_m


@REPEATABLE
@given(either, spacings)
def test_every_corner_has_a_paint_point(outline, spacing_m):
    shape, curve, tee = outline
    made = paint_points(curve, tee, spacing_m, 0.02)
    all_straight = shape.curve == "straight" and "through" not in {point.role for point in shape.points}
    for point in shape.points:
        if all_straight or point.role == "corner":
            assert np.hypot(*(made.xy - (point.x, point.y)).T).min() < 1e-6


@REPEATABLE
@given(outlines(), st.integers(1, 15), spacings, st.booleans())
def test_numbers_do_not_hang_on_the_start_vertex_or_the_direction_of_the_ring(
    outline, shift, spacing_m, turned
):
    shape, curve, tee = outline
    shift %= len(shape.points)
    points = shape.points[shift:] + shape.points[:shift]
    other = build_curve(DrawnShape(points[::-1] if turned else points, shape.curve, True))
    one, two = paint_points(curve, tee, spacing_m, 0.02), paint_points(other, tee, spacing_m, 0.02)
    assert one.xy == pytest.approx(two.xy, abs=1e-6)
    assert one.chainage_m == pytest.approx(two.chainage_m, abs=1e-6)


@REPEATABLE
@given(outlines(closed=False), spacings)
def test_numbers_of_an_open_outline_do_not_hang_on_the_way_it_was_drawn(outline, spacing_m):
    shape, curve, tee = outline
    other = build_curve(DrawnShape(shape.points[::-1], shape.curve, False))
    assert paint_points(curve, tee, spacing_m, 0.02).xy == pytest.approx(
        paint_points(other, tee, spacing_m, 0.02).xy, abs=1e-6
    )


@REPEATABLE
@given(outlines(), spacings)
def test_number_1_is_the_point_nearest_the_tee_and_numbers_run_clockwise(outline, spacing_m):
    _, curve, tee = outline
    made = paint_points(curve, tee, spacing_m, 0.02)
    away = np.hypot(*(made.xy - tee).T)
    assert away[0] <= away.min() + 1e-6
    x, y = (made.xy - made.xy[0]).T
    assert np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) < 0


@REPEATABLE
@given(outlines(), spacings)
def test_the_same_outline_gives_the_same_points_to_the_last_bit(outline, spacing_m):
    shape, curve, tee = outline
    one, two = (
        paint_points(curve, tee, spacing_m, 0.02),
        paint_points(build_curve(shape), tee, spacing_m, 0.02),
    )
    assert np.array_equal(one.xy, two.xy)
    assert np.array_equal(one.chainage_m, two.chainage_m)


@REPEATABLE
@given(outlines(), spacings)
def test_a_trace_from_number_1_measures_the_same_chainages_as_the_points(outline, spacing_m):
    _, curve, tee = outline
    made = paint_points(curve, tee, spacing_m, 0.02)
    trace, traced_m = curve.trace_with_chainage(0.0002, made.start_m)
    assert trace[0] == pytest.approx(made.xy[0], abs=1e-6)
    assert curve.points_at(traced_m + made.start_m) == pytest.approx(trace, abs=1e-6)
    assert curve.points_at(made.chainage_m + made.start_m) == pytest.approx(made.xy, abs=1e-6)


@pytest.mark.parametrize("shift", range(6))
@pytest.mark.parametrize("step", [1, -1])
def test_of_two_locations_equally_near_the_tee_the_same_one_is_always_number_1(shift, step):
    """A hollow side square to the tee: both horns are equally near."""
    horns = [(-6, -4), (0, -2), (6, -4), (7, 2), (0, 4), (-7, 2)]
    ring = horns[shift:] + horns[:shift]
    made = paint_points(build_curve(drawn(ring[::step])), (0, -160), 1.0, 0.02)
    assert made.xy[0, 0] < -5
    assert made.xy == pytest.approx(
        paint_points(build_curve(drawn(horns)), (0, -160), 1.0, 0.02).xy, abs=1e-6
    )


def test_a_square_has_a_point_every_metre_from_the_middle_of_the_near_side():
    made = paint_points(
        build_curve(drawn([(0, 0), (10, 0), (10, 10), (0, 10)], "straight")), (5, -50), 1.0, 0.02
    )
    assert len(made.xy) == 40
    assert made.xy[:7] == pytest.approx(
        np.array([(5, 0), (4, 0), (3, 0), (2, 0), (1, 0), (0, 0), (0, 1)]), abs=1e-9
    )
    assert made.chainage_m == pytest.approx(np.arange(40), abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_a_side_of_just_ten_spacings_has_ten_intervals_wherever_it_lies(seed):
    """Far from the grid's origin a side of a turned square measures 10 m give or take a nanometre."""
    turn = np.random.default_rng(seed).uniform(0, 2 * np.pi) + np.arange(4) * np.pi / 2
    corners = (600_000, 6_500_000) + np.sqrt(50) * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    curve = build_curve(drawn(corners.tolist(), "straight"))
    assert len(paint_points(curve, (600_000, 6_499_900), 1.0, 0.02).xy) == 40


def test_a_spacing_that_does_not_fit_gives_equal_smaller_gaps():
    made = paint_points(build_curve(drawn([(0, 0), (10, 0)], closed=False)), (-5, 0), 3.0, 0.02)
    assert made.chainage_m == pytest.approx([0, 2.5, 5, 7.5, 10], abs=1e-9)


def test_an_open_outline_starts_at_its_end_nearest_the_tee():
    made = paint_points(build_curve(drawn([(0, 0), (10, 0)], closed=False)), (50, 0), 5.0, 0.02)
    assert made.xy == pytest.approx(np.array([(10, 0), (5, 0), (0, 0)]), abs=1e-9)
    assert made.chainage_m == pytest.approx([0, 5, 10], abs=1e-9)


def test_a_circle_has_its_first_point_where_it_is_nearest_the_tee():
    circle = build_curve(drawn([(5, 0), (0, 5, "through"), (-5, 0), (0, -5, "through")], "straight"))
    made = paint_points(circle, (30, -40), 1.0, 0.02)
    assert made.xy[0] == pytest.approx((3, -4), abs=1e-6)


def test_a_tight_bend_gets_more_points_than_the_spacing_asks_for():
    half = build_curve(drawn([(1, 0), (0, 1, "through"), (-1, 0)], "straight", closed=False))
    assert len(paint_points(half, (9, 0), 1.0, 0.02).xy) > len(paint_points(half, (9, 0), 1.0, 0.5).xy)


def test_a_chord_across_a_whole_turn_is_measured_from_its_ends_too():
    """From (1, 0) round the circle back to nearly the same place: the far side is a diameter away."""
    turn = np.linspace(0, 2 * np.pi - 0.001, 2001)
    trace = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    assert chord_sagittas_m(trace[[0, -1]], turn[[0, -1]], trace, turn)[0] == pytest.approx(2, abs=1e-3)


@pytest.mark.parametrize(
    ("spacing_m", "sagitta_m", "says"),
    [
        (0.0, 0.02, "The spacing of paint points is 0 m; it must be at least 0.01 m."),
        (math.nan, 0.02, "The spacing of paint points is nan m"),
        (1.0, -0.1, "The sagitta of paint points is -0.1 m"),
        (1.0, 1e-12, "The sagitta of paint points is 1e-12 m; it must be at least 0.0001 m."),
    ],
)
def test_a_spacing_or_sagitta_that_cannot_be_meant_is_refused(spacing_m, sagitta_m, says):
    curve = build_curve(drawn([(0, 0), (5, 5, "through"), (10, 0)], "straight"))
    with pytest.raises(OutlineError, match=says.replace(".", r"\.")):
        paint_points(curve, TEE, spacing_m, sagitta_m)


def test_an_outline_that_would_need_thousands_of_points_is_refused():
    """Feet taken for kilometres, say."""
    curve = build_curve(drawn([(0, 0), (9000, 0), (9000, 4000), (0, 4000)], "straight", closed=False))
    with pytest.raises(OutlineError, match="An outline would need more than 20000 paint points at 1 m"):
        paint_points(curve, TEE, 1.0, 0.02)


def test_an_end_of_an_open_outline_called_corner_has_one_point_only():
    curve = build_curve(drawn([(0, 0, "corner"), (4, 1), (8, 0, "corner")], closed=False))
    assert np.diff(paint_points(curve, TEE, 1.0, 0.02).chainage_m).min() > 0.1
