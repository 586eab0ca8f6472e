"""The way to a point, where a fix stands, and the yardage check beside the plan."""

import math

import pytest

pytestmark = pytest.mark.browser

LEVEL = """const frame = {
  toCourse: (lat, lon) => [lon * 1000, lat * 1000],
  trueBearingDeg: (x1, y1, x2, y2) => (Math.atan2(x2 - x1, y2 - y1) * 180 / Math.PI + 361) % 360,
};"""


def test_the_way_is_split_along_and_across_the_play(ask):
    way = ask(
        "guidance", f"m => {{ {LEVEL} return m.wayTo(frame, 1.001, 90, {{x: 0, y: 0}}, {{x: 3, y: 4}}); }}"
    )
    assert way["towardGreenM"] == pytest.approx(3.003)
    assert way["rightM"] == pytest.approx(-4.004)
    assert way["distanceM"] == pytest.approx(5.005)
    assert way["trueBearingDeg"] == pytest.approx(math.degrees(math.atan2(3, 4)) + 1)


def place(ask, lat, lon, accuracy):
    bundled = "{origin: [0, 0, 0], half_width_m: 1500}"
    function = f"(m, fix) => {{ {LEVEL} return m.placeFix(frame, {bundled}, fix); }}"
    return ask("guidance", function, {"latDeg": lat, "lonDeg": lon, "accuracyM": accuracy})


def test_a_fix_near_the_hole_has_a_place_and_a_radius(ask):
    found = place(ask, 0.001, 0.002, 4)
    assert (found["x"], found["y"], found["awayM"]) == (2, 1, None)
    assert found["radius95M"] == pytest.approx(4 * 1.6215, abs=0.001)


def test_a_fix_on_another_continent_has_only_a_distance(ask):
    found = place(ask, 0, 90, 4)
    assert found["x"] is None
    assert found["awayM"] == pytest.approx(math.pi / 2 * 6371000)


def test_a_receiver_without_a_figure_has_no_radius(ask):
    assert place(ask, 0.001, 0.002, None)["radius95M"] is None


TEE = {"id": "back", "name": "Back", "line": [[0, 0], [0, 400]]}
PLAN = {
    "tee": "back",
    "reach_m": 230,
    "carry_m": None,
    "along_m": 240,
    "offset_m": -15,
    "tolerance_m": 0.9144,
}


def sheet(ask, unit="metre", here=(-14, 241), radius=2.0, plan=PLAN, grid=0):
    spot = here and {"x": here[0], "y": here[1], "radius95M": radius}
    given = {"tee": TEE, "bunker": {"plan": plan}, "place": spot, "groundScale": 1, "unit": unit}
    given["grid95M"] = grid
    return ask("yardage_check", "(m, given) => m.yardageSheet(given)", given)


def test_the_check_tells_straight_along_and_side(ask):
    found = sheet(ask)
    assert found["straight"] == ["241", "m"]
    assert (found["along"], found["side"]) == ("241 m", "14 m left")


def test_the_95_percent_range_is_the_one_dimensional_part_of_the_radius(ask):
    # 2.0 m of 95 % radius is 1.96 / 2.4477 of it to either side: 1.60 m.
    assert sheet(ask)["range"] == "95 %: 239 to 244 m"


def test_a_range_that_leaves_the_grid_out_says_so(ask):
    assert sheet(ask, grid=None)["range"] == "95 %: 239 to 244 m, but for the grid"


@pytest.mark.parametrize("radius", [0.02, 0.7, 2.0, 6.5, 12.0, 40.0])
@pytest.mark.parametrize("reach", [229.37, 259.0, 241.0])
def test_here_plan_and_apart_add_up_as_they_stand(ask, radius, reach):
    found = sheet(ask, plan={**PLAN, "reach_m": reach}, radius=radius)
    here, planned, apart = next(cells for name, *cells in found["rows"] if name.startswith("Reach"))
    assert len(here.partition(".")[2]) == len(planned.partition(".")[2])
    assert float(here) - float(planned) == pytest.approx(float(apart.replace("−", "-")), abs=1e-9)


def test_planned_figures_stand_beside_the_found_ones_with_their_difference(ask):
    rows = {name: cells for name, *cells in sheet(ask)["rows"]}
    assert rows["Reach, near edge"] == ["241", "230", "+11"]
    assert rows["Along, middle"] == ["241", "240", "+1"]
    assert rows["Side, middle"] == ["14 left", "15 left", "1 right"]
    assert "Carry, far edge" not in rows


def test_in_yards_the_same_place_is_told_in_yards(ask):
    assert sheet(ask, unit="yard")["straight"] == ["264", "yd"]


def test_without_a_position_only_the_plan_is_told(ask):
    found = sheet(ask, here=None)
    assert found["straight"] is None
    assert found["range"] == "No position yet."
    assert [row[1] for row in found["rows"]] == ["–", "–", "–"]


def test_figures_planned_from_another_tee_are_not_compared(ask):
    assert sheet(ask, plan={**PLAN, "tee": "front"})["rows"] == []
