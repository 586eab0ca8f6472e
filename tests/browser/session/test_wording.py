"""What the page says, in the words of the ground."""

import pytest

pytestmark = pytest.mark.browser


def way(ask, toward_m, right_m, unit="metre", radius=0.02):
    given = {"towardGreenM": toward_m, "rightM": right_m, "distanceM": (toward_m**2 + right_m**2) ** 0.5}
    return ask("wording", "(m, [way, unit, radius]) => m.wayLines(way, unit, radius)", [given, unit, radius])


def test_the_way_is_told_along_and_across_the_play(ask):
    assert way(ask, 2.10, -0.35) == ["2.10 m toward the green", "0.35 m left"]


def test_the_way_back_is_toward_the_tee(ask):
    assert way(ask, -2.10, 0.35) == ["2.10 m toward the tee", "0.35 m right"]


def test_a_part_that_shows_as_nothing_is_left_out(ask):
    assert way(ask, 12.0, 0.3, radius=8.0) == ["12 m toward the green"]


def test_nearer_than_the_radius_no_way_is_told_but_how_near_it_is_for_sure(ask):
    assert way(ask, 0.2, 0.1, radius=8.0) == ["You are within 8.3 m of it"]


def test_a_vague_position_has_neither_figure_nor_direction(ask):
    assert way(ask, 90.0, 300.0, radius=163.0) == ["You are somewhere within 163 m"]
    parts = ask("wording", "m => m.withinParts(313, 'metre', 163)")
    assert parts == [["", "within"], ["163", "m"]]


@pytest.mark.parametrize(("distance", "parts"), [(3.0, [["", "within"], ["9.5", "m"]]), (13.0, None)])
def test_the_large_figure_nearer_than_the_radius_says_within(ask, distance, parts):
    assert ask("wording", "(m, d) => m.withinParts(d, 'metre', 6.5)", distance) == parts


def test_the_yardage_carries_its_95_percent_range(ask):
    given = [{"name": "Back", "line": [[0, 0], [0, 400]]}, {"x": 0, "y": 240, "radius95M": 4.9}, 1, "yard", 0]
    assert ask("yardage_check", "(m, g) => m.yardageLine(...g)", given) == ["262 ± 6 yd", "from Back, 95 %"]
    given[-1] = None
    words = ask("yardage_check", "(m, g) => m.yardageLine(...g)", given)
    assert words == ["262 yd", "from Back"]
    given[1]["radius95M"] = 163
    assert ask("yardage_check", "(m, g) => m.yardageLine(...g)", given) == ["Yardage", "from Back"]


@pytest.mark.parametrize(("deg", "figures"), [(7.4, "007°"), (339.2, "339°"), (359.7, "000°"), (0, "000°")])
def test_a_bearing_has_three_figures(ask, deg, figures):
    assert ask("wording", "(m, deg) => m.bearingFigures(deg)", deg) == figures


@pytest.mark.parametrize(("off", "words"), [(0.12, "outside the line"), (-0.12, "inside the line")])
def test_beside_a_closed_line_one_stands_outside_or_inside(ask, off, words):
    assert ask("wording", "(m, off) => m.lineSide(off)", off) == words


def verdict(ask, **changes):
    given = {
        "verdict": "outside",
        "radius95M": 0.02,
        "toleranceM": 0.1,
        "unit": "metre",
        "what": "point 12",
        "staleS": None,
    }
    return ask("wording", "(m, given) => m.verdictWords(given)", {**given, **changes})


UNSETTLED = "This receiver cannot tell to 0.10 m:"
VERDICTS = [
    ({"verdict": "inside"}, "On the mark", "Within 0.10 m of point 12."),
    ({}, "Not yet", "More than 0.10 m from point 12."),
    ({"radius95M": 1.4}, "Not yet", f"{UNSETTLED} tape the last metre."),
    (
        {"radius95M": 6.5, "verdict": "cannot tell"},
        "Cannot tell",
        f"{UNSETTLED} it leads you near, a tape settles it.",
    ),
    ({"verdict": "cannot tell"}, "Cannot tell", "Near the limit of 0.10 m: go closer."),
    ({"radius95M": None}, "Cannot tell", "This receiver gives no accuracy figure."),
    ({"staleS": 7}, "Cannot tell", "No new position for 7 s. The figures above are old."),
    ({"unit": "foot", "verdict": "inside"}, "On the mark", "Within 3.9 in of point 12."),
]


@pytest.mark.parametrize(("changes", "title", "detail"), VERDICTS)
def test_a_verdict_is_told_with_its_reason(ask, changes, title, detail):
    assert verdict(ask, **changes) == [title, detail]


def test_a_radius_of_an_old_position_says_how_old(ask):
    assert ask("wording", "m => m.radiusLine(0.81, 'metre', 7)") == "7 s ago within 0.9 m (95 %)"


TURNS = [
    (0, "straight on"),
    (-20, "straight on"),
    (40, "half right"),
    (-90, "left"),
    (120, "right"),
    (-170, "turn round"),
]


@pytest.mark.parametrize(("deg", "words"), TURNS)
def test_which_way_to_turn_is_told_from_where_one_faces(ask, deg, words):
    assert ask("wording", "(m, deg) => m.turnWords(deg)", deg) == words
