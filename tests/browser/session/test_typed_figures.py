"""What is typed into the board's card: read as it is meant, or one short sentence of what is wrong."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

LENGTH = "(m, text) => m.typedLength(text, 'yard', 'the carry')"


def told(ask, function, given):
    return ask("typed", function, given, room="desk/card")


@pytest.mark.parametrize(
    ("typed", "metres"),
    [("262", 239.5728), (" 12,5 m ", 12.5), ("-3 ft", -0.9144), ("0,125m", 0.125), ("−1", -0.9144)],
)
def test_a_length_is_read_with_its_unit_and_either_decimal_sign(ask, typed, metres):
    assert told(ask, LENGTH, typed)["lengthM"] == pytest.approx(metres, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "Type the carry."),
        ("1,234", "'1,234' can be read in two ways; type it without the comma, or with a point."),
        ("NaN", "'NaN' is no length for the carry; type a figure such as 12.5, without a unit it is in yd."),
        (
            "🏌" * 400,
            f"'{'🏌' * 24}…' is no length for the carry; type a figure such as 12.5, without a unit it is in yd.",
        ),
    ],
)
def test_what_is_no_length_is_said_in_one_short_sentence(ask, typed, words):
    assert told(ask, LENGTH, typed)["fault"] == words


def test_a_figure_a_length_and_a_name_stay_within_their_limits(ask):
    number = "(m, text) => m.typedNumber(text, 'The slant', -360, 360).fault"
    assert told(ask, number, "720") == "The slant cannot be 720; type from -360 to 360."
    assert told(ask, number, " ") == "Type the slant."
    assert (
        told(ask, number, "1,234")
        == "'1,234' can be read in two ways; type it without the comma, or with a point."
    )
    within = "(m, lengthM) => m.lengthWithin({ lengthM }, 'The height', 'foot', -60.96, 60.96)"
    assert told(ask, within, 60)["lengthM"] == 60
    assert told(ask, within, 5000)["fault"] == "The height must be from -200 to 200 ft; type it again."
    name = "(m, text) => m.nameFault(text)"
    assert told(ask, name, "🏌" * 100) is None
    assert told(ask, name, "4" * 400).startswith("A name has 100 characters at most, and this one 400;")
    assert told(ask, name, "  ") == "A bunker needs a name; type one."


@pytest.mark.parametrize("name", ["4-old", "3-pot"])
def test_a_short_name_is_taken_by_a_bunker_of_any_hole(ask, name):
    asked = "(m, id) => m.idFault({ bunkers: [{ id: '4-old' }], taken: ['3-pot'] }, id)"
    words = f"'{name}' is a bunker already; give this one another short name."
    assert ask("begin", asked, name, room="desk/card") == words
    assert ask("begin", asked, "4-new", room="desk/card") is None
