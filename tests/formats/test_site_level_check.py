"""Levels and fairways that a slip of the pen has sent far away are mistakes of the site folder."""

import shutil
from pathlib import Path

import pytest

from fieldapp.errors import SiteFolderError
from fieldapp.formats.lengths import METRE
from fieldapp.formats.level_files import read_levels_file
from fieldapp.formats.level_neighbours import lone_levels
from fieldapp.formats.site_folder import check_site, read_site_text
from fieldapp.model import SpotLevel
from tests.formats.test_site_folder_mistakes import minimal, mistakes_of

SAMPLES = Path(__file__).parents[2] / "sample_sites"
SKERRY, VINDELOGA, QUANDARY = "skerry-bank", "vindeloga", "quandary-strait"


@pytest.fixture
def checked(tmp_path):
    """Checks a sample with changes in its files, and returns the mistakes as lines."""

    def found(sample, file, *changes):
        folder = Path(shutil.copytree(SAMPLES / sample, tmp_path / "site"))
        text = (folder / file).read_text("utf-8")
        for old, new in changes:
            assert text.count(old) == 1
            text = text.replace(old, new)
        (folder / file).write_text(text, "utf-8")
        try:
            check_site(folder)
        except SiteFolderError as refused:
            return str(refused).splitlines()
        return []

    return found


FLOORS = {
    "a comma left out of a floor below its edge": (
        SKERRY,
        ("floor_level_m = 11.30", "floor_level_m = 1.13"),
        "line 300, bunker '4-old', key 'floor_level_m': the floor lies 11 m below the sand edge 'sand'; correct",
    ),
    "metres for the feet of a floor": (
        QUANDARY,
        ("floor_level_ft = 29.8", "floor_level_m = 29.8"),
        ("level_ft = 32.6\n", ""),
        "line 206, bunker '12-inner', key 'floor_level_m': the floor lies 19 m above the sand edge 'sand', by the spot "
        "levels there; correct the floor's level or its unit",
    ),
    "a floor far below an edge on the ground": (
        QUANDARY,
        ("floor_level_ft = 29.8", "floor_level_ft = -29.8"),
        ("level_ft = 32.6\n", ""),
        "the floor lies 20 m below the sand edge 'sand', by the spot levels there",
    ),
    "a floor far above an edge that has a level is told once": (
        SKERRY,
        ("floor_level_m = 11.20", "floor_level_m = 1120"),
        "bunker '4-right', key 'floor_level_m': the floor lies above the sand edge 'sand' on line",
    ),
}


@pytest.mark.parametrize("name", FLOORS)
def test_a_floor_in_no_reach_of_its_own_edge_is_one_mistake(checked, name):
    sample, *changes, words = FLOORS[name]
    (line,) = checked(sample, "site.toml", *changes)
    assert line.startswith("site.toml line")
    assert words in line


def test_a_floor_ten_metres_deep_is_no_mistake(checked):
    assert checked(SKERRY, "site.toml", ("floor_level_m = 11.30", "floor_level_m = 2.01")) == []


def test_a_floor_where_no_spot_level_is_near_cannot_be_held_against_any(checked):
    levels = (SAMPLES / QUANDARY / "levels.csv").read_text("utf-8")
    gone = (levels, "x,y,level\n5615.4,10894.5,32.85\n")
    assert checked(QUANDARY, "levels.csv", gone) == []


def test_a_spot_level_that_no_neighbour_bears_out_is_told_with_its_line(checked):
    (line,) = checked(SKERRY, "levels.csv", ("2160.03,5214.59,11.93", "2160.03,5214.59,1193"))
    assert line == (
        "levels.csv line 3: the level is 1193 and every other within 60 m differs from it by more than 10 m; the "
        "nearest, 12 m away, is 12.12 in levels.csv line 70; correct the level or its place; if the ground is so "
        "steep, add a level of the ground between"
    )


def test_a_spot_level_of_the_site_file_is_told_with_its_line(checked):
    spots = "spot_levels = [[2145, 5220, 12.2], [2160, 5220, 11.9], [2175, 5220, 119]]"
    (line,) = checked(SKERRY, "site.toml", ('spot_levels = "levels.csv"', spots))
    assert line.startswith("site.toml line 13, spot level 3: the level is 119 and every other within 60 m")


def test_a_level_is_told_in_the_unit_of_its_file(checked):
    (line,) = checked(QUANDARY, "levels.csv", ("5615.4,10894.5,32.85", "5615.4,10894.5,328.5"))
    assert "levels.csv line 2: the level is 328.5 and every other within 60 m" in line
    assert "in levels.csv line 3;" in line or "in levels.csv line 6;" in line


def test_a_site_that_was_loaded_with_such_a_level_is_still_read():
    text = minimal().replace("[grid]", "spot_levels = [[0, 0, 3], [5, 0, 300]]\n[grid]", 1)
    assert len(read_site_text(text).spot_levels) == 2


def lone(*levels):
    return [found.index for found in lone_levels([SpotLevel(*level) for level in levels])]


def test_one_neighbour_that_agrees_bears_a_level_out_though_the_nearest_does_not():
    assert lone((0, 0, 30.0), (5, 0, 3.0), (6, 0, 3.1), (55, 0, 25.0)) == []


def test_a_level_farther_off_bears_nothing_out():
    assert lone((0, 0, 30.0), (5, 0, 3.0), (6, 0, 3.1), (61, 0, 25.0), (70, 0, 24.0)) == [0]


def test_a_level_without_neighbours_may_be_any():
    assert lone((0, 0, 3.0), (70, 0, 300.0)) == []
    assert lone((0, 0, 3.0)) == lone() == []


def test_ten_metres_are_no_slip_and_of_two_that_differ_by_more_either_may_be_wrong():
    assert lone((0, 0, 3.0), (5, 0, 13.0)) == []
    assert lone((0, 0, 3.0), (5, 0, 13.1)) == [0, 1]


def test_a_level_given_twice_in_contradiction_is_told_as_that_alone(tmp_path):
    text = minimal().replace("[grid]", "spot_levels = [[0, 0, 3], [5, 0, 3.1], [0, 0, 300]]\n[grid]", 1)
    (line,) = mistakes_of(text, tmp_path)
    assert "at the same place it is" in line


@pytest.mark.parametrize("text", ["x,y,level\n", "# surveyed in May\n\nx,y,level\n\n"])
def test_a_file_of_levels_without_a_level_is_told(text, checked):
    levels = (SAMPLES / SKERRY / "levels.csv").read_text("utf-8")
    (line,) = checked(SKERRY, "levels.csv", (levels, text))
    assert line == (
        "levels.csv: the file names its columns and has no level below them; add a line for each level, or take "
        "spot_levels out of site.toml"
    )


def test_a_file_whose_only_line_is_spoilt_is_told_of_that_line_alone():
    _, (fault,) = read_levels_file(b"x,y,level\n1,2\n", METRE)
    assert fault.line == 2


FAIRWAYS = {
    "one corner": (
        ("[2478.1, 5181.2]", "[2478.1, 9181.2]"),
        "site.toml line 49, hole 3, fairway corner 3: it lies 4,008",
        " m from the line of play of hole 3; correct its x and y, x first, or their unit; no fairway reaches 500 m",
    ),
    "two corners": (
        ("[2478.1, 5181.2], [2483.2, 5167.1]", "[2478.1, 5881.2], [2483.2, 5867.1]"),
        "site.toml line 49, hole 3, fairway corner 3: it lies 708",
        " m from the line of play of hole 3, and 1 more of its corners lie as far off",
    ),
    "a corner far beyond the green": (
        ("[2227.6, 5382.7]", "[2327.6, 5982.7]"),
        "hole 4, fairway corner 6: it lies 589 m from the line of play",
        "",
    ),
}


@pytest.mark.parametrize("name", FAIRWAYS)
def test_a_fairway_far_from_the_play_of_its_hole_is_one_mistake(checked, name):
    change, *words = FAIRWAYS[name]
    (line,) = checked(SKERRY, "site.toml", change)
    assert all(word in line for word in words)


def test_a_fairway_is_near_enough_beside_the_line_from_any_tee(tmp_path):
    """The second tee plays from the side: its line comes near the corner, that of the first does not."""
    fairway = "green = [0.0, 300.0]\nfairway = [[-20, 0], [540, 40], [20, 250]]"
    far = minimal().replace("green = [0.0, 300.0]", fairway)
    assert "fairway corner 2: it lies 540 m from" in mistakes_of(far, tmp_path)[0]
    side = '[[tee]]\nid = "side"\nhole = 1\nname = "Side"\nx = 100\ny = 0\n[[bunker]]'
    (tmp_path / "site.toml").write_text(far.replace("[[bunker]]", side, 1), "utf-8")
    assert len(check_site(tmp_path).tees_of(1)) == 2
