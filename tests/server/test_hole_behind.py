"""Sand behind a forward tee, and sand that a shot crosses twice: told as such on every page of the hole."""

import html
import re
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.workflow.sites import load_site

SMALL_SITE = Path(__file__).parent.parent / "workflow" / "small_site"
AT = datetime(2026, 5, 2, 8, 0, tzinfo=UTC)
HOLE = "/sites/small-links/holes/2"
TWO_TEES = """
[[hole]]
number = 2
name = ""
green = [1500.0, 2400.0]

[[tee]]
id = "back"
hole = 2
name = "Back"
x = 1500.0
y = 2000.0

[[tee]]
id = "fwd"
hole = 2
name = "Fwd"
x = 1500.0
y = 2160.0

[[bunker]]
id = "cross"
hole = 2
name = "Cross"
revision = "A"
plan = { tee = "fwd", reach_m = 48.0, along_m = -54.0 }

[[bunker.outline]]
id = "sand"
part = "sand edge"
curve = "straight"
closed = true
points = [[1495.0, 2100.0], [1505.0, 2100.0], [1505.0, 2112.0], [1495.0, 2112.0]]

[[bunker]]
id = "kidney"
hole = 2
name = "Kidney"
revision = "A"

[[bunker.outline]]
id = "sand"
part = "sand edge"
curve = "straight"
closed = true
points = [[1495.0, 2220.0], [1505.0, 2220.0], [1505.0, 2224.0], [1498.0, 2224.0],
  [1498.0, 2230.0], [1505.0, 2230.0], [1505.0, 2235.0], [1495.0, 2235.0]]
"""


@pytest.fixture
def hole(app, manager, tmp_path):
    """Return a way to read a page of the hole of two tees, in metres, as words."""
    folder = tmp_path / "site"
    shutil.copytree(SMALL_SITE, folder)
    file = folder / "site.toml"
    text = file.read_text(encoding="utf-8").replace('yardage = "yard"', 'yardage = "metre"')
    file.write_text(text + TWO_TEES, encoding="utf-8")
    load_site(app.state.store, folder, AT)

    def words(page="", start=HOLE):
        answer = manager.get(start + page)
        assert answer.status_code == 200
        plain = re.sub(r"<[^>]+>", " ", answer.text)
        return html.unescape(re.sub(r"\s+", " ", plain)).replace("\u00a0", " ")

    return words


def block_of(told, name, following):
    return told.split(f"{name} revision A")[1].split(following)[0]


def test_sand_behind_a_tee_has_no_reach_and_no_carry_there(hole):
    told = block_of(hole(), "Cross", "Kidney revision")
    assert "Back 106.0 100.0 112.0 Fwd 54.0 behind the tee By the line" in told
    assert "Fwd −60.0 to −48.0 0.0 behind the tee How it lies" in told


def test_an_aim_from_there_misses_it_as_it_lies_behind(hole):
    told = block_of(hole("?at=100"), "Cross", "Kidney revision")
    assert "Back 100.0 112.0 Fwd misses: behind the tee" in told


def test_a_plan_from_there_is_not_met_by_sand_as_far_behind(hole):
    told = block_of(hole(), "Cross", "Kidney revision")
    assert "reach 48.0 – behind " in told
    assert "middle, along −54.0 −54.0 0.0" in told


def test_no_shot_is_carried_over_sand_behind_the_tee(hole):
    told = hole("?bunker=cross&tee=fwd")
    assert "Cross lies behind Fwd, so no shot from there is carried over it; choose another tee." in told


def test_carry_against_aim_begins_with_a_tee_that_has_the_sand_ahead(hole):
    assert "Cross from Back" in hole("?bunker=cross")


def test_the_sheet_says_that_it_lies_behind(hole):
    assert "Back 100.0 112.0 106.0 0.0 Fwd behind −54.0 0.0 Kidney" in hole("/sheet")


def test_old_against_new_says_so_too_and_asks_it_of_nobody(hole):
    told = hole("/compare?old=cross&new=kidney&carries=55")
    fwd = told.split("From Fwd Straight at its middle")[1]
    assert "Cross 54.0 behind the tee 10.0 " in fwd
    assert "Cross −54.0 0.0 " in fwd
    assert re.search(r"55.0 short – → short", told)
    assert "–: the shot meets no sand, or the bunker lies behind the tee." in told


def test_the_grass_between_two_stretches_of_sand_is_not_told_as_sand(hole):
    told = block_of(hole("?at=200&allowance=7"), "Kidney", "Carry against aim")
    assert "on the line Back 220.0–235.0 0.6 left 220.0–224.0, 230.0–235.0 " in told
    assert (
        "With 7 m for landing the line of play itself asks for a carry, m: 242.0 from Back and 82.0 from Fwd."
        in told
    )
    crossed = "crosses sand more than once, m: 220.0–224.0 and 230.0–235.0 from Back; 60.0–64.0 and 70.0–75.0 from Fwd."
    assert f"Your aim line {crossed}" in told


def test_the_straight_shot_at_the_middle_that_crosses_twice_is_told_of_in_a_sentence(hole):
    told = block_of(hole(), "Kidney", "Carry against aim")
    assert re.search(
        r"The straight shot at its middle crosses sand more than once, m: [\d.]+–[\d.]+ and ", told
    )
    assert "crosses sand more" not in block_of(hole(), "Cross", "Kidney revision")


def test_the_nearest_and_the_furthest_sand_at_any_aim_are_told_with_carry_against_aim(hole):
    told = hole("?bunker=cross&tee=back")
    assert "At any aim the nearest sand is 100.0 m from the plate, the furthest 112.1 m." in told


def test_the_page_of_the_site_tells_of_it_with_its_sign_and_word(hole):
    told = hole(start="/sites/small-links")
    assert "middle, along the line of play −54.0 m −54.0 m middle, off the line of play 0.0 m – " in told
    assert "reach: first sand, straight from the tee behind the tee 48.0 m carry: last sand" in told
