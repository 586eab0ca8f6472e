"""How a drawing is read by itself: what it says counts first, then which reading of its numbers lands on the hole."""

import pytest

from fieldapp.model.drawing_reading import DrawingReading
from fieldapp.workflow.drawing_guess import NEAR_M, OwnWords, guessed


def words(**changes):
    usual = {
        "unit_m": None,
        "system": None,
        "in_degrees": False,
        "site_unit": "metre",
        "utm": "EPSG:32630",
        "hole": "hole 4",
    }
    return OwnWords(**usual | changes)


def landing(*readings, away=12_000.0):
    """Land on the hole only by these readings, each as (system, unit, order)."""
    return lambda one: 5.0 if (one.system, one.unit, one.order) in readings else away


@pytest.mark.parametrize(
    ("own", "lands", "wanted"),
    [
        ({}, [("course", "metre", "xy")], ("course", "metre", "xy")),
        ({}, [("course", "foot", "xy")], ("course", "foot", "xy")),
        ({}, [("course", "metre", "yx")], ("course", "metre", "yx")),
        ({"unit_m": 0.001}, [("course", "millimetre", "xy")], ("course", "millimetre", "xy")),
        ({"unit_m": 0.001}, [("course", "metre", "xy")], ("course", "metre", "xy")),
        ({"site_unit": "us-survey-foot"}, [("course", "us-survey-foot", "xy"), ("course", "foot", "xy")],
         ("course", "us-survey-foot", "xy")),
        ({}, [("EPSG:32630", "metre", "xy")], ("EPSG:32630", "metre", "xy")),
        ({"system": "lonlat", "in_degrees": True}, [("lonlat", "metre", "xy")], ("lonlat", "metre", "xy")),
        ({"system": "lonlat", "in_degrees": True}, [("lonlat", "metre", "yx")], ("lonlat", "metre", "yx")),
        ({"system": "lonlat", "in_degrees": True}, [("course", "metre", "xy")], ("course", "metre", "xy")),
        ({"in_degrees": True}, [("lonlat", "metre", "yx")], ("lonlat", "metre", "yx")),
        ({"system": "EPSG:3006"}, [("EPSG:3006", "metre", "yx")], ("EPSG:3006", "metre", "yx")),
        ({"system": "EPSG:3006"}, [], ("EPSG:3006", "metre", "xy")),
        ({}, [], ("pegs", "unknown", "xy")),
        ({"unit_m": 0.3048}, [], ("pegs", "foot", "xy")),
    ],
)  # fmt: skip
def test_the_likeliest_reading_that_lands_is_taken(own, lands, wanted):
    reading = guessed(words(**own), landing(*lands)).reading
    assert (reading.system, reading.unit, reading.order) == wanted


def test_what_the_file_says_comes_before_the_unit_of_the_site_where_both_land():
    land = landing(("course", "foot", "xy"), ("course", "metre", "xy"))
    assert guessed(words(unit_m=0.3048), land).reading == DrawingReading("course", "foot", "xy")
    assert guessed(words(), land).reading == DrawingReading("course", "metre", "xy")


def test_each_guess_has_its_reason_with_the_distances_that_decided():
    guess = guessed(words(unit_m=0.001), landing(("course", "metre", "yx")))
    assert guess.unit_why == (
        "The file says millimetre, but read so it lies 12 km from hole 4; in this unit it lands on it."
    )
    assert (
        guess.order_why
        == "In the usual order it would lie 12 km from hole 4; the other way round it lands on it."
    )
    assert guess.system_why == "The file does not say; read as this it lands on hole 4."


def test_without_any_reading_that_lands_the_pegs_are_asked_for():
    guess = guessed(words(), landing(away=NEAR_M + 1))
    assert "say of" not in guess.system_why
    assert guess.system_why.endswith("say which of its places are which pegs or tee plates.")


def test_a_system_that_the_file_names_and_that_lands_far_away_is_told():
    guess = guessed(words(system="EPSG:3006"), lambda _reading: None)
    assert guess.system_why == (
        "The file says so, but read so it lies nowhere on the earth that can be reached from hole 4: check it, or fit "
        "it by pegs."
    )
