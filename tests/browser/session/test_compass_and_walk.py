"""Directions: the phone's compass made true, and the way somebody walks."""

import pytest

pytestmark = pytest.mark.browser

FLAT = {"alpha": 0, "beta": 0, "gamma": 0, "webkitHeadingDeg": None, "screenAngleDeg": 0}
EAST_3 = {"deg": 3.0}


def heading(ask, reading, declination=EAST_3):
    return ask("compass", "(m, g) => m.headingOf(...g)", [{**FLAT, **reading}, declination])


READINGS = [
    ({"alpha": 90}, 273.0),
    ({"alpha": 330}, 33.0),
    ({"webkitHeadingDeg": 211}, 214.0),
    ({"alpha": 330, "screenAngleDeg": 90}, 123.0),
    # Held upright: beta 90, so the heading is where the back of the phone looks.
    ({"alpha": 330, "beta": 90}, 33.0),
    # On its side, upright: the back looks east, and that the screen is turned changes nothing about it.
    ({"alpha": 0, "beta": 0, "gamma": -90, "screenAngleDeg": 90}, 93.0),
    ({"alpha": 330, "beta": 90, "screenAngleDeg": 90}, 33.0),
]


@pytest.mark.parametrize(("reading", "deg"), READINGS)
def test_a_magnetic_heading_is_made_true_by_the_declination(ask, reading, deg):
    found = heading(ask, reading)
    assert found["isTrue"] is True
    assert abs((found["deg"] - deg + 180) % 360 - 180) < 1e-9


def test_without_a_declination_the_heading_stays_magnetic_and_says_so(ask):
    assert heading(ask, {"webkitHeadingDeg": 211}, None) == {"deg": 211, "isTrue": False}


def test_a_sensor_without_angles_gives_no_heading(ask):
    assert heading(ask, {"alpha": None}) is None


def walk(ask, places):
    function = "(m, places) => places.reduce((walk, place) => m.walkOn(walk, place), m.standing).bearingDeg"
    return ask("walking", function, [{"x": x, "y": y, "radius95M": radius} for x, y, radius in places])


def test_nobody_walks_anywhere_from_one_position(ask):
    assert walk(ask, [(0, 0, 0.02)]) is None


def test_the_way_walked_is_a_course_bearing(ask):
    assert walk(ask, [(0, 0, 0.02), (0.5, 0.5, 0.02)]) == pytest.approx(45)


def test_a_move_smaller_than_the_error_is_no_walk(ask):
    assert walk(ask, [(0, 0, 6.5), (2, 0, 6.5)]) is None
