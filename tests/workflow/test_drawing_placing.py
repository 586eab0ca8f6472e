"""A drawing is taken to course metres in each of the ways that its numbers may be read."""

import math

import numpy as np
import pytest

from fieldapp.errors import FitError, GridError, InputError, NotFoundError, PositionError
from fieldapp.formats.drawing import Drawing, DrawnLine, DrawnSpot
from fieldapp.geodesy.transform import transform
from fieldapp.model import ControlPoint
from fieldapp.model.drawing_reading import DrawingReading, Tie
from fieldapp.workflow.drawing_placing import guess_reading, place_drawing
from fieldapp.workflow.drawing_uses import Uses
from fieldapp.workflow.importing import preview

SQUARE = ((1020.0, 2200.0), (1030.0, 2200.0), (1030.0, 2210.0), (1020.0, 2210.0))


def drawing_of(places, spots=(), **more):
    line = DrawnLine("SAND", "", tuple(ControlPoint(float(x), float(y)) for x, y in places), "straight", True)
    return Drawing("csv", (line,), tuple(DrawnSpot("MARKS", "", *spot) for spot in spots), **more)


@pytest.fixture
def hole(standing):
    return standing.site.hole(1)


def places_of(placed):
    return np.array([(point.x, point.y) for point in placed.lines[0].shape.points])


def written(standing, places, system, unit_m=1.0, turned=False):
    """Write course places as a drawing in another system would have them."""
    lonlat = standing.grid.to_gnss(np.array(places))
    given = lonlat if system == "lonlat" else transform("EPSG:4326", system, lonlat) / unit_m
    return given[:, ::-1] if turned else given


@pytest.mark.parametrize(
    ("system", "unit", "unit_m", "turned"),
    [
        ("lonlat", "metre", 1.0, False),
        ("lonlat", "metre", 1.0, True),
        ("EPSG:32629", "metre", 1.0, False),
        ("EPSG:32629", "foot", 0.3048, True),
    ],
)
def test_degrees_and_published_systems_come_to_the_same_place(standing, hole, system, unit, unit_m, turned):
    drawing = drawing_of(written(standing, SQUARE, system, unit_m, turned))
    reading = DrawingReading(system, unit, "yx" if turned else "xy")
    assert places_of(place_drawing(standing, hole, drawing, reading)) == pytest.approx(
        np.array(SQUARE), abs=1e-4
    )
    guess = guess_reading(standing, hole, drawing).reading
    assert places_of(place_drawing(standing, hole, drawing, guess)) == pytest.approx(
        np.array(SQUARE), abs=1e-4
    )


@pytest.mark.parametrize(("unit", "unit_m"), [("metre", 1.0), ("foot", 0.3048), ("millimetre", 0.001)])
@pytest.mark.parametrize("turned", [False, True])
def test_course_coordinates_in_any_unit_and_order_are_found_by_where_they_land(
    standing, hole, unit, unit_m, turned
):
    given = np.array(SQUARE)[:, ::-1] / unit_m if turned else np.array(SQUARE) / unit_m
    guess = guess_reading(standing, hole, drawing_of(given)).reading
    assert (guess.system, guess.unit, guess.order) == ("course", unit, "yx" if turned else "xy")
    assert places_of(place_drawing(standing, hole, drawing_of(given), guess)) == pytest.approx(
        np.array(SQUARE)
    )


def own_numbers(places, scale, turn_deg, shift):
    """Draw course places in a drawing's own numbers: one course metre is `scale` of its units, turned, shifted."""
    turn = math.radians(turn_deg)
    matrix = scale * np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    return np.array(places) @ matrix.T + shift


MARKS = {"c1": (990.0, 2010.0), "white": (1000.0, 2000.0)}


def ties_of(scale, turn_deg, shift, off=0.0):
    own = own_numbers(list(MARKS.values()), scale, turn_deg, shift)
    own[0, 0] += off
    return tuple(Tie(float(x), float(y), mark) for (x, y), mark in zip(own, MARKS, strict=True))


def test_a_drawing_in_no_known_system_is_fitted_by_two_places(standing, hole):
    own = (3.2808399, 33.0, (-70.0, 12.0))
    drawing = drawing_of(own_numbers(SQUARE, *own))
    reading = DrawingReading("pegs", "unknown", "xy", ties_of(*own))
    placed = place_drawing(standing, hole, drawing, reading)
    assert places_of(placed) == pytest.approx(np.array(SQUARE), abs=1e-6)
    assert placed.told == (
        "One unit of the drawing is 0.3048 m.",
        "Turned by 33.00° right to fit.",
        "Two places fit whatever they are, so nothing checks this: name a third.",
    )


def test_a_known_unit_checks_two_places(standing, hole):
    own = (1.0, 0.0, (0.0, 0.0))
    reading = DrawingReading("pegs", "metre", "xy", ties_of(*own, off=-1.0))
    told = place_drawing(standing, hole, drawing_of(SQUARE), reading).told
    apart = math.hypot(11, 10) - math.hypot(10, 10)
    assert told[-1] == f"The two pegs lie {apart:.2f} m nearer or farther apart than in the drawing."


@pytest.mark.parametrize(
    ("reading", "fault", "words"),
    [
        (DrawingReading("pegs"), FitError, "two places at least and has 0"),
        (
            DrawingReading("pegs", ties=(Tie(0, 0, "c1"), Tie(9, 9, "c1"))),
            FitError,
            "same peg is named twice",
        ),
        (
            DrawingReading("pegs", ties=(Tie(0, 0, "c1"), Tie(9, 9, "c9"))),
            NotFoundError,
            "no peg or tee plate 'c9'",
        ),
        (
            DrawingReading("pegs", "unknown", ties=(Tie(1, 1, "c1"), Tie(1, 1, "white"))),
            FitError,
            "one place",
        ),
        (DrawingReading("EPSG:999999"), GridError, "EPSG:999999"),
        (DrawingReading("EPSG:4326"), GridError, "not a projected one"),
        (DrawingReading("lonlat"), PositionError, "latitude"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_in_one_sentence(standing, hole, reading, fault, words):
    with pytest.raises(fault, match=words):
        place_drawing(standing, hole, drawing_of(SQUARE), reading)


def test_a_drawing_that_lands_far_away_is_not_taken_for_this_hole(standing, hole):
    looked = preview(
        standing, hole, drawing_of(SQUARE), DrawingReading("course", "foot"), Uses({"SAND": "sand edge"}, {})
    )
    assert looked.made is None
    assert looked.faults[0].startswith("Read so, the drawing lies")


def test_spots_are_placed_like_lines(standing, hole):
    placed = place_drawing(standing, hole, drawing_of(SQUARE, [(2000.0, 1000.0)]), DrawingReading())
    assert (placed.spots[0].x, placed.spots[0].y) == (2000.0, 1000.0)


def test_nothing_that_is_no_place_is_taken(standing, hole):
    with pytest.raises(InputError):
        place_drawing(
            standing,
            hole,
            drawing_of([(1e300, 1e300), (0, 0), (1, 1)]),
            DrawingReading("EPSG:32629", "kilometre"),
        )
