"""Yardages in figures and words: signs, stretches, several of them on one shot."""

import pytest

from fieldapp.errors import InputError
from fieldapp.formats.yardage_limits import Limits
from fieldapp.play.carry import Shot
from fieldapp.server.asked_lengths import read_length_m
from fieldapp.server.yardage_words import YardageWords

METRES = YardageWords("metre")
KIDNEY = Shot(0.0, ((100.0, 110.0), (114.0, 120.04)), 8.0)


def test_a_length_behind_the_tee_has_a_minus_sign():
    assert METRES.figure(-54.0) == "\u221254.0"
    assert METRES.with_unit(-54.0) == "\u221254.0\u00a0m"


@pytest.mark.parametrize("length_m", [-0.04, -0.0, 0.04])
def test_no_sign_stands_before_nothing(length_m):
    assert METRES.figure(length_m) == "0.0"
    assert METRES.between(length_m, 12.0) == "0.0–12.0"


def test_a_stretch_that_begins_behind_the_tee_is_told_with_to():
    assert METRES.between(-60.0, -48.0) == "\u221260.0 to \u221248.0"
    assert METRES.between(-3.0, 9.0) == "\u22123.0 to 9.0"
    assert METRES.between(48.0, 60.0) == "48.0–60.0"


def test_every_stretch_of_sand_on_a_shot_is_told_so_that_grass_between_them_is_not_sand():
    assert METRES.sand_on(KIDNEY) == ("100.0–110.0", "114.0–120.0")


def test_a_shot_that_misses_says_how_far_on_which_side_it_passes_the_sand():
    assert METRES.sand_on(Shot(0.0, (), 8.0, passes_m=-12.34)) == ("passes 12.3\u00a0m right of the sand",)
    assert METRES.sand_on(Shot(0.0, (), 8.0, passes_m=3.9)) == ("passes 3.9\u00a0m left of the sand",)
    assert METRES.sand_on(Shot(0.0, (), 8.0, passes_m=-0.04)) == ("passes 0.0\u00a0m beside the sand",)
    assert METRES.sand_on(None) == ("–",)


def typed(text):
    return read_length_m(text, "metre", Limits(1, 2000), "the distance along")


@pytest.mark.parametrize("text", ["1,000", "1,000 m", "12,500", "0,125"])
def test_a_comma_before_three_figures_is_not_guessed_at(text):
    with pytest.raises(InputError, match=f"'{text}' can be read in two ways for the distance along; write "):
        typed(text)


def test_a_comma_before_tenths_or_hundredths_is_a_point():
    assert typed("12,5") == 12.5
    assert typed("12,25 m") == 12.25


def test_limits_are_told_without_a_comma():
    with pytest.raises(InputError, match="give from 1 to 2000 m"):
        typed("2001")
