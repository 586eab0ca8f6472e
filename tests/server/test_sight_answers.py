"""Answers of the sight page in words: no stretch of sand is added to another, no need is told smaller than it is."""

from dataclasses import replace

import numpy as np
import pytest

from fieldapp.model import Tee
from fieldapp.play.lowering import lowering
from fieldapp.play.section import Pocket, Run, Section, Unknown
from fieldapp.play.sight import sight
from fieldapp.play.tee_sight import TeeSight
from fieldapp.server.sight_answers import answer_sentences, hidden_by_words
from fieldapp.server.sight_contexts import _row
from fieldapp.server.sight_words import SightWords, condition_words
from fieldapp.server.yardage_words import YardageWords

METRES = SightWords(YardageWords("metre"), "metre")
TEE = Tee("t", 1, "Back tee", 0.0, 0.0, level_m=10.0)
SHOW_M = 0.30


def section(*pockets, unknown=(), before=()):
    return Section(
        10.0, (Run("ground", np.array([(0.0, 10.0), *before, pockets[0].front])),), pockets, tuple(unknown)
    )


def seen(middle, *ends):
    """A sight of sand whose middle is one section, with others toward its ends, from left to right."""
    fan = [middle, *ends] if len(ends) < 2 else [ends[0], middle, *ends[1:]]
    off_deg = np.arange(len(fan)) * 1.0 - fan.index(middle)
    return TeeSight(TEE, 1.65, middle, sight(middle, 1.65), lowering(middle, fan, off_deg, 1.65, SHOW_M))


def told(found):
    return [words.replace("\u00a0", " ") for words in answer_sentences(found, SHOW_M, METRES)]


PIT = Pocket((100.0, 9.0), (104.0, 9.0), 8.0)
FURTHER = Pocket((108.0, 9.0), (112.0, 9.0), 8.0)


def test_of_two_stretches_of_sand_each_is_told_by_itself_and_the_first_is_the_one_to_lower():
    found = seen(section(PIT, FURTHER))
    first, need = told(found)
    # the eye is 2.65 m above the edges at 100 and 108 m; the faces stand 4 m behind them
    near, far = 2.65 * 4 / 100, 2.65 * 4 / 108
    assert first.startswith(
        f"From Back tee, standing, of the first stretch of sand the upper {near:.2f} m of the far face shows and of "
        f"the second the upper {far:.2f} m of the far face shows: "
    )
    assert first.endswith("minutes of arc in all.")
    assert need.startswith(
        "To show 0.30 m of the far face of the first stretch of sand, lower the front edge by "
    )
    assert _row(found, True, METRES).face == f"{near:.2f} + {far:.2f}"


def test_a_second_stretch_of_sand_behind_a_rise_shows_nothing():
    behind = replace(FURTHER, far=(112.0, 8.7))
    first, _ = told(seen(section(PIT, behind)))
    assert " of the far face shows and of the second nothing shows: " in first


def test_the_most_that_is_needed_stands_beside_the_need_in_the_middle():
    short = section(replace(PIT, far=(102.0, 9.0)))
    found = seen(section(PIT), section(PIT), short)
    middle, most = (2.95 * 100 / at - 2.65 for at in (104, 102))
    need = told(found)[1]
    assert f"by {middle:.2f} m in the middle, up to {most:.2f} m toward its right end, over " in need
    assert _row(found, True, METRES).lower == f"{middle:.2f} ({most:.2f})"
    assert f"by {middle:.2f} m, over" in told(seen(section(PIT), section(PIT)))[1]


def test_where_the_middle_needs_nothing_the_end_that_does_is_named_with_how_much():
    deep = section(replace(PIT, far=(120.0, 9.0)))
    short = section(replace(PIT, far=(104.0, 9.0)))
    most = 2.95 * 100 / 104 - 2.65
    assert told(seen(deep, short, deep))[1] == (
        f"In the middle nothing has to be done to show 0.30 m. Toward its left end the edge stands up to {most:.2f} m "
        "too high; see the table."
    )


def test_a_floor_as_high_as_the_far_edge_has_no_face_to_show():
    found = seen(section(replace(PIT, floor_level_m=9.0)))
    first, why = told(found)
    assert first.startswith("From Back tee, standing, 4.00 m of the floor shows: ")
    assert why == "There is no far face that could show more: the floor lies as high as the far edge."


@pytest.mark.parametrize("pocket", [replace(PIT, floor_level_m=9.5), replace(PIT, far=(104.0, 7.9))])
def test_a_floor_above_the_far_edge_is_named_and_not_a_face_that_is_missing(pocket):
    words = " ".join(told(seen(section(pocket))))
    assert "without the height of the far face" not in words
    assert "0.00 m of the far face" not in words
    assert "the floor lies above the far edge, so one of the two levels is wrong." in words


def test_sand_that_hides_what_lies_behind_it_is_not_called_ground():
    found = seen(section(replace(PIT, floor_level_m=11.7)))
    assert found.sight.answer == "hidden"
    assert hidden_by_words(found, METRES) == "own floor"
    assert "its own floor at 100.0 m, level 11.70 m, hides" in told(found)[0]


def test_less_than_a_centimetre_of_face_is_not_told_as_none():
    low = replace(PIT, far=(104.0, 9.0 - 2.65 * 4 / 100 + 0.004))
    assert "the upper less than 0.01 m of the far face shows" not in told(seen(section(low)))[0]
    assert ", less than 0.01 m of the far face shows: " in told(seen(section(low)))[0]


def test_a_condition_names_the_place_with_the_least_room():
    gap = Unknown((20.0, 9.9), (72.0, 9.6))
    found = seen(section(PIT, unknown=[gap]))
    (condition,) = found.sight.conditions
    # the line over the edge falls 2.65 m on 100 m from 11.65
    near, far = 11.65 - 0.0265 * 20 - 9.9, 11.65 - 0.0265 * 72 - 9.6
    assert (
        condition_words(condition, METRES)
        .replace("\u00a0", " ")
        .endswith(
            f"leaves {near:.2f} m at the near end and {far:.2f} m at the far end, evenly in between; the least is "
            f"{far:.2f} m, at 72.0 m."
        )
    )
