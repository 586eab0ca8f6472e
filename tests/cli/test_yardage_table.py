"""`fieldapp yardage --hole`: the table of a hole, as JSON or CSV."""

import csv
import io
import json

import pytest

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.server.hole_asking import read_asked

WRONG = {
    "neither way": ((), "give --tee ID and --at LAT,LON for one place, or --hole N"),
    "both ways": (("--hole", "1", "--tee", "white", "--at", "57.2,-9.4"), "not both"),
    "a hole and a tee": (("--hole", "1", "--tee", "white"), "not both"),
    "a place with a format": (
        ("--tee", "white", "--at", "57.2,-9.4", "--format", "csv"),
        "--format belongs to --hole",
    ),
    "a place with an aim": (
        ("--tee", "white", "--at", "57.2,-9.4", "--aim-at", "200"),
        "--aim-at belongs to --hole",
    ),
    "a hole that is not there": (("--hole", "9"), "there are: 1"),
    "a hole in words": (("--hole", "first"), "--hole"),
    "another format": (("--hole", "1", "--format", "xml"), "give json or csv"),
    "an offset of nowhere": (("--hole", "1", "--aim-offset", "10"), "--aim-offset needs --aim-at"),
    "an aim in words": (("--hole", "1", "--aim-at", "far"), "'far' is no length for --aim-at"),
    "an aim behind the tee": (("--hole", "1", "--aim-at", "-5"), "give from 1 to 1000 yd"),
    "an allowance less than nothing": (("--hole", "1", "--allowance", "-5"), "cannot be --allowance"),
    "an offset beyond the course": (
        ("--hole", "1", "--aim-at", "200", "--aim-offset", "400m"),
        "--aim-offset",
    ),
}


def test_the_table_is_json_with_a_row_for_every_bunker_and_tee(fieldapp, folder):
    done = fieldapp("yardage", folder, "--hole", "1")
    assert (done.code, done.err) == (0, "")
    document = json.loads(done.out)
    assert [(row["bunker"], row["tee"]) for row in document["rows"]] == [
        ("square", "white"),
        ("egg", "white"),
    ]
    egg = document["rows"][1]
    assert (egg["along_yd"], egg["offset_yd"]) == (250.0, -20.0)
    assert (egg["along_m"], egg["offset_m"]) == (228.6, -18.29)
    assert egg["to_middle"]["reach_m"] < egg["straight_m"] < egg["to_middle"]["carry_m"]


def test_the_table_is_csv_when_asked(fieldapp, folder):
    done = fieldapp("yardage", folder, "--hole", "1", "--format", "csv")
    assert done.out.startswith("site,hole,")
    lines = list(csv.DictReader(io.StringIO(done.out)))
    assert [line["bunker"] for line in lines] == ["square", "egg"]
    assert lines[1]["along_yd"] == "250.00"


def test_an_aim_line_and_an_allowance_are_in_the_sites_yards(fieldapp, folder):
    done = fieldapp(
        "yardage", folder, "--hole", "1", "--aim-at", "250", "--aim-offset", "-20", "--allowance", "5"
    )
    document = json.loads(done.out)
    assert document["aim_line"] == {"at_m": 228.6, "at_yd": 250.0, "offset_m": -18.29, "offset_yd": -20.0}
    egg = document["rows"][1]
    assert egg["on_aim"] == egg["to_middle"]
    assert egg["on_aim"]["clear_yd"] - egg["on_aim"]["carry_yd"] == pytest.approx(5.0, abs=0.011)


def test_a_typed_unit_stands_before_the_sites(fieldapp, folder):
    done = fieldapp("yardage", folder, "--hole", "1", "--aim-at", "228.6m", "--aim-offset", "-60ft")
    aim = json.loads(done.out)["aim_line"]
    assert (aim["at_yd"], aim["offset_yd"]) == (250.0, -20.0)


LONGEST = {"--aim-at": 1000, "--aim-offset": -300, "--allowance": 100}


@pytest.mark.parametrize("unit", ["yard", "metre"])
def test_the_longest_lengths_asked_for_are_the_pages_in_the_sites_own_unit(fieldapp, folder, unit):
    given = folder / "site.toml"
    given.write_text(given.read_text().replace('yardage = "yard"', f'yardage = "{unit}"'))
    site = load_checked_site(folder)[0]

    def command(**changed):
        asked = LONGEST | {f"--{name}": length for name, length in changed.items()}
        options = [word for option in asked.items() for word in option]
        return fieldapp("yardage", folder, "--hole", "1", *options).code

    def page(at=1000, offset=300, allowance=100):
        asked = {"at": at, "offset": offset, "allowance": allowance}
        query = {name: str(length) for name, length in asked.items()}
        return read_asked(site, site.holes[0], query).faults

    assert (command(), page()) == (0, ())
    for option, name in (("aim-at", "at"), ("aim-offset", "offset"), ("allowance", "allowance")):
        assert command(**{option: abs(LONGEST[f"--{option}"]) + 1}) == 2
        assert len(page(**{name: abs(LONGEST[f"--{option}"]) + 1})) == 1


def test_an_aim_without_an_offset_is_at_the_line_of_play_itself(fieldapp, folder):
    aim = json.loads(fieldapp("yardage", folder, "--hole", "1", "--aim-at", "200").out)["aim_line"]
    assert (aim["at_yd"], aim["offset_yd"]) == (200.0, 0.0)


@pytest.mark.parametrize("name", WRONG)
def test_wrong_use_is_one_clear_line_and_exit_2(fieldapp, folder, name):
    arguments, words = WRONG[name]
    done = fieldapp("yardage", folder, *arguments)
    assert (done.code, done.out) == (2, "")
    (line,) = done.err.splitlines()
    assert line.startswith("fieldapp: ")
    assert words in line
    assert "Traceback" not in line
