"""The line of play, straight and bent, by hand."""

import math

import numpy as np
import pytest

from fieldapp.errors import NotFoundError, OutlineError
from fieldapp.model import Hole, LocalGrid, Site, Tee
from fieldapp.play.line_of_play import LineOfPlay, line_of_play

RIGHT_DOGLEG = LineOfPlay(np.array([(0.0, 0.0), (0.0, 200.0), (150.0, 200.0)]))
LEFT_DOGLEG = LineOfPlay(np.array([(0.0, 0.0), (0.0, 200.0), (-150.0, 200.0)]))
HAIRPIN = LineOfPlay(np.array([(0.0, 0.0), (0.0, 200.0), (50.0, 50.0)]))


@pytest.mark.parametrize(
    ("xy", "along_m", "offset_m"),
    [
        ((0, 120), 120, 0),
        ((25, 120), 120, 25),
        ((-25, 120), 120, -25),
        ((80, 190), 280, 10),
        ((80, 230), 280, -30),
        ((-30, 240), 200, -50),
        ((5, -10), -10, 5),
        ((180, 201), 380, -1),
        ((30, 180), 230, 20),
        ((10, 170), 170, 10),
    ],
)
def test_places_along_a_dogleg_to_the_right(xy, along_m, offset_m):
    """On the first leg, both sides; the second; outside the bend; behind the tee; past the green; inside the
    bend.
    """
    assert RIGHT_DOGLEG.locate(xy) == pytest.approx((along_m, offset_m), abs=1e-9)


def test_the_outside_of_a_dogleg_to_the_left_is_on_the_right():
    assert LEFT_DOGLEG.locate((30, 240)) == pytest.approx((200, 50), abs=1e-9)


def test_inside_the_bend_at_equal_distance_the_earlier_leg_counts():
    assert RIGHT_DOGLEG.locate((20, 180)) == pytest.approx((180, 20), abs=1e-9)


def test_a_turning_point_itself_is_on_the_line_at_its_own_distance():
    assert RIGHT_DOGLEG.locate((0, 200)) == pytest.approx((200, 0), abs=1e-12)


@pytest.mark.parametrize("xy", [(-10, 230), (0, 240), (12, 231), (20, 212)])
def test_the_outside_of_a_hairpin_to_the_right_is_all_on_the_left(xy):
    along, offset = HAIRPIN.locate(xy)
    assert along == pytest.approx(200, abs=5)
    assert offset < 0


@pytest.mark.parametrize(
    ("along_m", "xy", "bearing_deg"),
    [
        (120, (0, 120), 0),
        (200, (0, 200), 0),
        (280, (80, 200), 90),
        (-15, (0, -15), 0),
        (400, (200, 200), 90),
    ],
)
def test_a_distance_along_has_its_place_and_the_bearing_of_play_there(along_m, xy, bearing_deg):
    place, bearing = RIGHT_DOGLEG.at(along_m)
    assert (*place, bearing) == pytest.approx((*xy, bearing_deg), abs=1e-9)


def test_a_bearing_is_never_negative():
    assert LEFT_DOGLEG.at(300)[1] == pytest.approx(270, abs=1e-9)


def test_many_places_give_what_each_gives_alone():
    places = np.random.default_rng(3).uniform(-50, 250, (5, 3, 2))
    along, offset = RIGHT_DOGLEG.locate(places)
    for index in np.ndindex(5, 3):
        assert RIGHT_DOGLEG.locate(places[index]) == (along[index], offset[index])


def test_places_and_distances_along_go_back_and_forth():
    along = np.linspace(-50, 450, 101)
    places, _ = RIGHT_DOGLEG.at(along)
    found, offset = RIGHT_DOGLEG.locate(places)
    assert found == pytest.approx(along, abs=1e-9)
    assert offset == pytest.approx(np.zeros(101), abs=1e-9)


def site_with(turning_points=(), tee=(0.0, 0.0)):
    return Site(
        id="s",
        name="S",
        grid=LocalGrid(57.0, -2.0),
        tees=(Tee("white", 4, "White", *tee),),
        holes=(Hole(4, "Four", 0.0, 350.0, turning_points),),
    )


def test_a_hole_of_a_site_is_played_from_tee_by_turning_points_to_green():
    site = site_with(((20.0, 180.0),))
    assert line_of_play(site, site.tees[0]).vertices.tolist() == [[0, 0], [20, 180], [0, 350]]


def test_a_tee_on_the_green_is_refused():
    site = site_with(tee=(0.0, 350.0))
    with pytest.raises(OutlineError) as refused:
        line_of_play(site, site.tees[0])
    assert str(refused.value) == (
        "Hole 4 from tee 'white': Points 1 and 2 of the line of play are the same place (x 0.00, y 350.00); "
        "the tee, the turning points and the green must be apart."
    )


def test_a_turning_point_that_is_not_a_number_is_refused():
    site = site_with(((math.nan, 100.0),))
    with pytest.raises(OutlineError, match="line of play has a point that is not a number"):
        line_of_play(site, site.tees[0])


def test_a_tee_of_a_hole_that_is_not_there_is_refused():
    with pytest.raises(NotFoundError, match="There is no hole of site 's' called '9'"):
        line_of_play(site_with(), Tee("white", 9, "White", 0.0, 0.0))
