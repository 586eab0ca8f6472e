"""Taped distances in words, and as they are typed."""

import pytest

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("length_m", "unit", "words"),
    [
        (7.4249, "metre", "7.42 m"),
        (7.42, "foot", "24.34 ft"),
        (-0.001, "metre", "0.00 m"),
        (0.0, "foot", "0.00 ft"),
    ],
)
def test_a_distance_is_told_to_the_centimetre_or_a_hundredth_of_a_foot(ask, length_m, unit, words):
    assert ask("tape_words", "(m, [length, unit]) => m.tapeWords(length, unit)", [length_m, unit]) == words


@pytest.mark.parametrize(
    ("text", "unit", "length_m"),
    [
        ("7.42", "metre", 7.42),
        (" 7,42 ", "metre", 7.42),
        (".5", "metre", 0.5),
        ("12.", "metre", 12.0),
        ("24.34", "foot", 7.418832),
        ("42 m", "metre", 42.0),
        ("4250 cm", "metre", 42.5),
        ("98,92 ft", "foot", 98.92 * 0.3048),
        ("98'", "foot", 98 * 0.3048),
        ("98'11\"", "foot", (98 + 11 / 12) * 0.3048),
        ("98’ 11.5″", "foot", (98 + 11.5 / 12) * 0.3048),
        ("98 ft 11", "foot", (98 + 11 / 12) * 0.3048),
        ("98 FT 11 in", "metre", (98 + 11 / 12) * 0.3048),
        ("7.42 m", "foot", 7.42),
    ],
)
def test_a_typed_distance_is_read(ask, text, unit, length_m):
    found = ask("tape_words", "(m, [text, unit]) => m.typedTape(text, unit)", [text, unit])
    assert found == {"lengthM": pytest.approx(length_m)}


@pytest.mark.parametrize(
    "text", ["12 a", "-3", "0", "7.4.2", "1e9", "NaN", "seven", "98'12", "9.5'3", "98 11", "7 m 5"]
)
def test_what_is_no_distance_is_said(ask, text):
    found = ask("tape_words", "(m, text) => m.typedTape(text, 'metre')", text)
    assert found == {"fault": f"'{text}' is no distance; type it in metres, as 7.42."}


def test_a_distance_longer_than_any_tape_is_said_and_nothing_typed_is_nothing(ask):
    assert "longer than any tape" in ask("tape_words", "(m) => m.typedTape('742', 'metre').fault")
    assert ask("tape_words", "(m) => m.typedTape('  ', 'metre')") == {}


@pytest.mark.parametrize(
    ("least", "most", "unit", "words"),
    [
        (0.031, 0.044, "metre", "3.1 to 4.4 cm"),
        (0.0701, 0.2, "metre", "0.08 to 0.20 m"),
        (0.03, 4.81, "metre", "0.1 to 4.9 m"),
        (0.03, 0.03, "metre", "3.0 cm"),
        (0.03, 0.06, "foot", "0.10 to 0.20 ft"),
    ],
)
def test_a_range_of_errors_is_told_in_one_unit_and_never_flatters(ask, least, most, unit, words):
    assert ask("tape_words", "(m, a) => m.errorRangeWords(...a)", [least, most, unit]) == words


def test_an_error_in_feet_is_told_in_hundredths_of_a_foot(ask):
    assert ask("tape_words", "(m) => [m.errorWords(0.023, 'foot'), m.errorWords(0.023, 'metre')]") == [
        "0.08 ft",
        "2.3 cm",
    ]
