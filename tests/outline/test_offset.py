"""Along and off a trace, by hand."""

import numpy as np
import pytest

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.offset import along_and_off
from fieldapp.outline.paint_points import paint_points

CLOCKWISE_SQUARE = [(0, 0), (0, 10), (10, 10), (10, 0), (0, 0)]
BENT = [(0, 0), (10, 0), (10, 10)]
SHARP = [(0, 0), (10, 0), (1, 1)]


@pytest.mark.parametrize(
    ("xy", "along_m", "off_m"),
    [
        ((-2, 4), 4, 2),
        ((3, 4), 4, -3),
        ((5, 13), 15, 3),
        ((13, 14), 20, 5),
        ((0, 5), 5, 0),
        ((-3, -4), 0, 5),
        ((9, 1), 29, -1),
        ((5, 5), 5, -5),
    ],
)
def test_off_a_closed_outline_is_positive_outside_and_negative_inside(xy, along_m, off_m):
    assert along_and_off(CLOCKWISE_SQUARE, True, 40, xy) == pytest.approx((along_m, off_m), abs=1e-12)


@pytest.mark.parametrize(
    ("xy", "along_m", "off_m"),
    [
        ((4, -2), 4, 2),
        ((4, 2), 4, -2),
        ((13, -4), 10, 5),
        ((12, 6), 16, 2),
        ((10, 15), 20, 5),
        ((7, 13), 20, -np.sqrt(18)),
        ((-3, 0), 0, 3),
    ],
)
def test_off_an_open_outline_is_positive_to_the_right_and_negative_to_the_left(xy, along_m, off_m):
    assert along_and_off(BENT, False, 20, xy) == pytest.approx((along_m, off_m), abs=1e-12)


@pytest.mark.parametrize("xy", [(12, 0.5), (12, -0.5), (11, 1.9), (10.5, -3)])
def test_the_outside_of_a_bend_sharper_than_a_right_angle_is_all_on_one_side(xy):
    along, off = along_and_off(SHARP, False, 10 + np.sqrt(82), xy)
    assert along == pytest.approx(10, abs=0.6)
    assert off > 0


def test_chainage_is_stretched_to_the_length_of_the_true_curve():
    along, _ = along_and_off(CLOCKWISE_SQUARE, True, 44, (5, 12))
    assert along == pytest.approx(16.5, abs=1e-12)


def test_a_vertex_given_twice_running_does_no_harm():
    twice = [CLOCKWISE_SQUARE[0], *CLOCKWISE_SQUARE]
    assert along_and_off(twice, True, 40, (5, 13)) == pytest.approx((15, 3), abs=1e-12)
    assert along_and_off([BENT[0], BENT[1], *BENT[1:]], False, 20, (13, -4)) == pytest.approx(
        (10, 5), abs=1e-12
    )


def test_many_places_give_what_each_gives_alone():
    places = np.random.default_rng(5).uniform(-5, 15, (6, 4, 2))
    along, off = along_and_off(CLOCKWISE_SQUARE, True, 40, places)
    for index in np.ndindex(6, 4):
        assert along_and_off(CLOCKWISE_SQUARE, True, 40, places[index]) == (along[index], off[index])


def test_a_paint_point_lies_on_the_trace_at_its_own_chainage():
    shape = [(600_000 + x, 6_500_000 + y) for x, y in [(0, 0), (6, -2), (11, 1), (12, 7), (5, 9), (-2, 4)]]
    curve = build_curve(DrawnShape(tuple(ControlPoint(*xy) for xy in shape)))
    made = paint_points(curve, (600_003, 6_499_900), 1.0, 0.02)
    trace = curve.trace(0.0002, made.start_m)
    along, off = along_and_off(trace, True, curve.length_m, made.xy)
    assert np.abs(off).max() < 0.0003
    apart = np.abs(along - made.chainage_m)
    assert np.minimum(apart, curve.length_m - apart).max() < 0.002
