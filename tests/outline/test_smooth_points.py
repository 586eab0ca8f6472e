"""Points for curves that were not drawn through any: how near the smooth curve comes, and how few they are."""

import numpy as np
import pytest
import shapely

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.outline.pieces import arc_pieces, join, line_pieces
from fieldapp.outline.smooth_points import points_between, smooth_points

ELLIPSE = Curve(
    arc_pieces(np.zeros(2), np.zeros(2), np.diag([6.0, 3.5]), np.linspace(0, -2 * np.pi, 5)), True
)
HALF = Curve(arc_pieces(np.zeros(2), np.zeros(2), np.diag([6.0, 3.5]), np.linspace(0, np.pi, 3)), False)
DOME = Curve(
    join([HALF.pieces, line_pieces(np.array([(-6.0, 0.0), (0.0, -2.0), (6.0, 0.0)]))]), True
)  # three corners


def apart(points, closed, curve):
    own = build_curve(DrawnShape(points, "smooth", closed)).vertices(1e-6)
    true = curve.vertices(1e-6)
    there = shapely.distance(shapely.points(true[::3]), shapely.LineString(own)).max()
    return max(there, shapely.distance(shapely.points(own[::3]), shapely.LineString(true)).max())


@pytest.mark.parametrize(
    ("curve", "within", "most"),
    [(ELLIPSE, 0.001, 60), (ELLIPSE, 0.00005, 130), (HALF, 0.00005, 130), (DOME, 0.0001, 110)],
)
def test_the_smooth_curve_through_them_is_near_enough_and_they_are_few(curve, within, most):
    points = smooth_points(curve, within)
    assert len(points) <= most
    assert apart(points, curve.closed, curve) <= within + 2e-6


def test_corners_stay_corners():
    corners = [(at.x, at.y) for at in smooth_points(DOME, 0.001) if at.role == "corner"]
    assert sorted(corners) == [pytest.approx(at, abs=1e-9) for at in [(-6.0, 0.0), (0.0, -2.0), (6.0, 0.0)]]


def test_a_curve_too_crooked_for_points_is_refused():
    with pytest.raises(OutlineError, match="too crooked: it takes more than 1,500 points"):
        smooth_points(ELLIPSE, 1e-9)


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize("corners", [(), (0,), (0, 4)])
def test_a_smooth_curve_gives_back_its_very_points(closed, corners):
    angle, chance = np.linspace(0, -2 * np.pi, 11)[:-1], np.random.default_rng(5)
    radius = chance.uniform(4, 6, 10)
    points = tuple(
        ControlPoint(float(r * np.cos(a)), float(r * np.sin(a)), "corner" if index in corners else "plain")
        for index, (a, r) in enumerate(zip(angle, radius, strict=True))
    )
    found = points_between(build_curve(DrawnShape(points, "smooth", closed)).pieces, closed, 0.00005)
    assert found is not None
    assert [(at.x, at.y) for at in found] == [pytest.approx((at.x, at.y), abs=1e-9) for at in points]
    inner = slice(0 if closed else 1, None)
    assert [at.role for at in found[inner]] == [at.role for at in points[inner]]


def test_pieces_that_are_no_smooth_curve_give_no_points():
    assert points_between(ELLIPSE.pieces, True, 0.00005) is None
