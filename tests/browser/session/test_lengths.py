"""Lengths show no more digits than the receiver has earned."""

import pytest

pytestmark = pytest.mark.browser

GROUND = [
    (2.406, "metre", 0.02, "2.41 m"),
    (0.4149, "metre", 0.02, "41 cm"),
    (0.996, "metre", 0.02, "1.00 m"),
    (2.406, "metre", 0.1, "2.40 m"),
    (0.4149, "metre", 0.1, "40 cm"),
    (2.406, "metre", 0.5, "2.4 m"),
    (0.44, "metre", 0.8, "0.4 m"),
    (12.4, "metre", 2.1, "12 m"),
    (5.4, "metre", 4.9, "6 m"),
    (13.4, "metre", 6.5, "14 m"),
    (260.0, "metre", 163.0, "250 m"),
    (12.4, "metre", None, "12 m"),
    (2.0955, "foot", 0.02, "6 ft 11 in"),
    (0.114, "foot", 0.02, "4.5 in"),
    (3.65, "foot", 0.02, "12 ft 0 in"),
    (31.0, "foot", 0.02, "102 ft"),
    (2.0955, "foot", 0.2, "7 ft 0 in"),
    (2.0955, "foot", 2.0, "6 ft"),
    (12.4, "foot", 8.0, "40 ft"),
    (126.4, "metre", 81.0, "120 m"),
    (126.4, "metre", 810.0, "200 m"),
    (126.4, "foot", 81.0, "400 ft"),
]


@pytest.mark.parametrize(("length", "unit", "radius", "words"), GROUND)
def test_a_ground_length_is_worded_by_unit_and_radius(ask, length, unit, radius, words):
    assert ask("lengths", "(m, g) => m.groundWords(...g)", [length, unit, radius]) == words


def test_parts_of_a_way_keep_the_unit_of_the_whole(ask):
    assert ask("lengths", "m => m.groundWords(0.35, 'metre', 0.02, 2.13)") == "0.35 m"


RADII = [
    (0.0227, "metre", "2.3 cm"),
    (0.81, "metre", "0.9 m"),
    (6.4855, "metre", "6.5 m"),
    (20.1, "metre", "21 m"),
    (0.0227, "foot", "0.9 in"),
    (6.4855, "foot", "21.3 ft"),
]


@pytest.mark.parametrize(("radius", "unit", "words"), RADII)
def test_a_radius_is_rounded_up_never_down(ask, radius, unit, words):
    assert ask("lengths", "(m, g) => m.radiusWords(...g)", [radius, unit]) == words


YARDAGES = [
    (240.0, "yard", 0.02, "262.47"),
    (240.0, "yard", 0.3, "262.5"),
    (240.0, "yard", 2.0, "262"),
    (240.6, "yard", 4.9, "264"),
    (240.0, "yard", 8.0, "262"),
    (-0.001, "metre", 0.02, "0.00"),
]


@pytest.mark.parametrize(("length", "unit", "radius", "figure"), YARDAGES)
def test_a_yardage_has_the_digits_of_its_radius(ask, length, unit, radius, figure):
    assert ask("lengths", "(m, g) => m.yardageFigure(...g)", [length, unit, radius]) == figure


def test_a_rough_position_gives_no_fine_yardage(ask):
    assert ask("lengths", "m => m.yardageFigure(135.3, 'yard', 81)") == "140"
    assert ask("lengths", "m => m.yardageFigure(135.3, 'yard', 6)") == "148"
