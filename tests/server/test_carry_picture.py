"""The picture of carry against aim: to scale, rays that end where the core says, figures that do not run together."""

import math
import re

import numpy as np
import pytest

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.play.carry import aim_fan
from fieldapp.server.carry_picture import Aimed, carry_picture
from fieldapp.server.yardage_words import YardageWords

METRES = YardageWords("metre")
TEE = (500.0, 900.0)


def circle(centre, radius):
    """A circle of four arcs."""
    x, y = centre
    side = radius
    around = [(x + side, y), (x, y + side), (x - side, y), (x, y - side)]
    corners = [
        (x + side * math.cos(turn), y + side * math.sin(turn)) for turn in np.deg2rad([45, 135, 225, 315])
    ]
    points = []
    for plain, through in zip(around, corners, strict=True):
        points += [ControlPoint(*plain), ControlPoint(*through, role="through")]
    return build_curve(DrawnShape(tuple(points), curve="straight"))


def aimed_at(bearing_deg, distance=200.0, radius=6.0, scale=1.0):
    turn = math.radians(bearing_deg)
    middle = TEE[0] + distance * math.sin(turn), TEE[1] + distance * math.cos(turn)
    curve = circle(middle, radius)
    return Aimed(curve, TEE, middle, aim_fan(curve, TEE, middle, scale), scale)


def numbers(path):
    return np.array(
        [[float(one) for one in place.split()] for place in re.split("[ML]", path.rstrip("Z"))[1:]]
    )


@pytest.mark.parametrize("bearing_deg", [0.0, 77.0, 190.0, 301.0])
def test_a_circle_is_drawn_round_with_the_straight_line_upright(bearing_deg):
    drawn = carry_picture(aimed_at(bearing_deg), 0.0, METRES, "metre")
    sand = numbers(drawn.sand)
    wide, high = np.ptp(sand, axis=0)
    assert wide == pytest.approx(high, rel=1e-3)
    assert (sand[:, 0].max() + sand[:, 0].min()) / 2 == pytest.approx(drawn.width / 2, abs=0.05)
    length, unit = drawn.bar_label.split()
    assert (drawn.bar_px / wide, unit) == (pytest.approx(float(length) / 12.0, rel=1e-3), "m")


def test_the_middle_ray_ends_at_the_far_edge_and_says_its_carry():
    drawn = carry_picture(aimed_at(33.0), 0.0, METRES, "metre")
    middle = drawn.rays[len(drawn.rays) // 2]
    assert middle.figure == "206.0"
    top = numbers(drawn.sand)[:, 1].min()
    assert middle.end == pytest.approx((drawn.width / 2, top), abs=0.05)


def test_rays_end_on_the_edge_of_the_sand():
    drawn = carry_picture(aimed_at(120.0), 0.0, METRES, "metre")
    low, high = numbers(drawn.sand).min(axis=0), numbers(drawn.sand).max(axis=0)
    middle, radius = (low + high) / 2, float(high[0] - low[0]) / 2
    for ray in drawn.rays:
        assert np.hypot(*(middle - ray.end)) == pytest.approx(radius, abs=0.2)


def test_an_allowance_is_in_the_figures_and_the_chart_but_moves_no_sand():
    plain, more = (carry_picture(aimed_at(0.0), extra, METRES, "metre") for extra in (0.0, 10.0))
    assert plain.sand == more.sand
    figures, with_more = ([float(ray.figure) for ray in drawn.rays] for drawn in (plain, more))
    assert with_more == pytest.approx([figure + 10 for figure in figures], abs=0.11)
    assert float(more.ticks[0].figure) == pytest.approx(float(plain.ticks[0].figure) + 10, abs=0.01)


def test_the_chart_is_on_the_scale_of_the_sand_across():
    drawn = carry_picture(aimed_at(250.0), 0.0, METRES, "metre")
    sand, curve = numbers(drawn.sand), numbers(drawn.curve)
    assert curve[:, 0].min() == pytest.approx(sand[:, 0].min(), abs=0.2)
    assert curve[:, 0].max() == pytest.approx(sand[:, 0].max(), abs=0.2)
    assert curve[:, 1].min() >= drawn.chart_top - 0.1
    assert curve[:, 1].max() <= drawn.chart_foot + 0.1
    top = curve[np.argmin(curve[:, 1])]
    upward = drawn.ticks[::-1]
    by_scale = np.interp(top[1], [tick.at for tick in upward], [float(tick.figure) for tick in upward])
    assert by_scale == pytest.approx(206.0, abs=0.1)


@pytest.mark.parametrize("distance", [40.0, 100.0, 250.0, 450.0])
@pytest.mark.parametrize("radius", [1.5, 6.0, 25.0])
def test_figures_never_run_together_and_stay_on_the_sheet(distance, radius):
    drawn = carry_picture(aimed_at(15.0, distance, radius), 0.0, METRES, "metre")
    across = [ray.at[0] for ray in drawn.rays]
    assert len(across) < 2 or min(np.diff(across)) >= 42
    assert min(across) >= 20
    assert max(across) <= drawn.width - 20
    ticks = [tick.at for tick in drawn.across]
    assert len(ticks) < 2 or min(np.diff(ticks)) >= 44
    assert 2 <= len(drawn.ticks) <= 7


def test_most_figures_there_is_room_for_are_shown():
    assert len(carry_picture(aimed_at(0.0), 0.0, METRES, "metre").rays) >= 5


def test_the_sand_is_drawn_true_on_a_grid_that_is_not():
    plain, scaled = (carry_picture(aimed_at(0.0, scale=scale), 0.0, METRES, "metre") for scale in (1.0, 1.02))
    assert scaled.rays[len(scaled.rays) // 2].figure == f"{206 * 1.02:.1f}"
    assert plain.bar_px / scaled.bar_px == pytest.approx(1.02, rel=1e-3)


def test_sand_along_which_the_carry_varies_by_hundreds_has_a_scale_of_few_lines():
    corners = [
        (495.0, 1000.0),
        (505.0, 1000.0),
        (505.0, 1400.0),
        (520.0, 1800.0),
        (510.0, 1800.0),
        (495.0, 1400.0),
    ]
    curve = build_curve(DrawnShape(tuple(ControlPoint(*corner) for corner in corners), curve="straight"))
    middle = (505.0, 1400.0)
    fan = aim_fan(curve, TEE, middle, 1.0)
    assert np.nanmax(fan.carry_m) - np.nanmin(fan.carry_m) > 500
    drawn = carry_picture(Aimed(curve, TEE, middle, fan, 1.0), 0.0, METRES, "metre")
    assert 2 <= len(drawn.ticks) <= 7
    assert int(drawn.ticks[0].figure) % 200 == 0
