"""A length as a person types it."""

import pytest

from fieldapp.errors import InputError
from fieldapp.formats.typed_length import typed_length_m


def typed(text, unit="yard", low_m=-300.0, high_m=1000.0):
    return typed_length_m(text, unit, "--aim-at", low_m, high_m)


@pytest.mark.parametrize(
    ("text", "unit", "length_m"),
    [
        ("250", "yard", 228.6),
        ("250", "metre", 250.0),
        ("250yd", "metre", 228.6),
        ("220m", "yard", 220.0),
        ("720 ft", "yard", 219.456),
        (" -12.5 ", "metre", -12.5),
        ("\N{MINUS SIGN}10yd", "metre", -9.144),
        ("+3", "metre", 3.0),
    ],
)
def test_a_length_without_a_unit_is_in_the_sites(text, unit, length_m):
    assert typed(text, unit) == length_m


@pytest.mark.parametrize("text", ["", "far", "2 50", "1e3", "nan", "inf", "250 yards", "250km", "12,5", "٣"])
def test_anything_else_is_refused_with_what_to_give(text):
    with pytest.raises(
        InputError,
        match=r"is no length for --aim-at; give figures .* without a unit they are yd",
    ):
        typed(text)


def test_a_length_outside_its_limits_is_refused_with_them():
    with pytest.raises(InputError, match="'1100' cannot be --aim-at; give from -328 to 1094 yd"):
        typed("1100")
