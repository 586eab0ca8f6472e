"""Lengths show no more digits than the receiver has earned."""

import pytest

from fieldapp.outline.measure import OutlineMeasures

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


def test_what_to_keep_clear_of_is_told_in_one_unit_and_only_where_it_is_near(ask):
    question = "(m, [apart, count, unit]) => m.clearRows(apart, count, unit)"

    def told(apart, count=4, unit="metre"):
        rows = ask("clear", question, [apart, count, unit], room="desk/card")
        return [row["words"] for row in rows], [row["isTooNear"] for row in rows]

    def thing(distance_m, name="Main", clearance_m=1.5):
        too_near = distance_m < clearance_m
        facts = {"id": "m-1", "kind": "drain", "name": name}
        return {**facts, "distance_m": distance_m, "clearance_m": clearance_m, "is_too_near": too_near}

    assert told([thing(0), thing(0.41, name=""), thing(11.5), thing(196)]) == (
        [
            "Too near: Main (drain), the bunker lies over it; to be 1.50 m clear.",
            "Too near: drain m-1, 0.41 m away; to be 1.50 m clear.",
            "Main (drain), 11.50 m away; to be 1.50 m clear.",
            "1 more thing to keep clear of on this site has over 10 m to spare.",
        ],
        [True, True, False, False],
    )
    assert told([thing(11.51), thing(196)])[0] == [
        "2 things to keep clear of on this site have over 10 m to spare."
    ]
    assert told([thing(0.2)], unit="foot")[0] == [
        "Too near: Main (drain), 8 in away; to be 4 ft 11 in clear."
    ]
    assert told([], count=0)[0] == ["Nothing to keep clear of is drawn on this site."]
    assert told([], count=4)[0] == [], "nothing is measured while nothing is drawn"


def test_a_nearly_round_outline_has_no_long_axis_to_speak_of(ask):
    question = "(m, [long, short]) => m.isNearlyRound(long, short)"
    for axes in ((10.0, 9.6), (10.0, 9.4)):
        found = ask("measures", question, axes, room="phone/geometry")
        assert found is OutlineMeasures(None, 0.0, *axes, 0.0).is_nearly_round is (axes[1] > 9.5)
