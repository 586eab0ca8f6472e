"""`fieldapp ties` and `fieldapp baseline`: JSON and CSV, and wrong use."""

import csv
import io
import json
import math
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "skerry-bank"
WRONG = {
    "a bunker that is not there": (("ties", SAMPLE, "--bunker", "9-left"), "there are: 3-pot"),
    "no bunker": (("ties", SAMPLE), "--bunker"),
    "another format": (("ties", SAMPLE, "--bunker", "4-right", "--format", "xml"), "give json or csv"),
    "a tape in words": (
        ("ties", SAMPLE, "--bunker", "4-right", "--tape-length", "long"),
        "'long' is no length for --tape-length; give figures such as 30m or 100ft",
    ),
    "a tape too short": (
        ("ties", SAMPLE, "--bunker", "4-right", "--tape-length", "2"),
        "give from 5 to 100 m",
    ),
    "the same peg twice": (
        ("baseline", SAMPLE, "--bunker", "4-right", "--from", "r4a", "--to", "r4a"),
        "'r4a' is named for both of its ends",
    ),
    "a peg far away": (
        ("baseline", SAMPLE, "--bunker", "4-right", "--from", "c1", "--to", "r4a"),
        "there are: r4a, r4b, r4c",
    ),
    "a spacing of nothing": (
        ("baseline", SAMPLE, "--bunker", "4-right", "--from", "r4a", "--to", "r4b", "--every", "0"),
        "cannot be --every",
    ),
}


def test_ties_are_json_with_levels_tape_and_pegs(fieldapp):
    done = fieldapp("ties", SAMPLE, "--bunker", "4-right")
    assert (done.code, done.err) == (0, "")
    document = json.loads(done.out)
    assert (document["format"], document["version"]) == ("fieldapp-ties", 1)
    assert document["tape"]["length_m"] == 50.0
    pegs = {peg["id"]: peg for peg in document["pegs"]}
    assert set(pegs) == {"r4a", "r4b", "r4c"}
    first = document["points"][0]
    assert (first["outline"], first["number"]) == ("sand", 1)
    assert first["within_m"] == pytest.approx(
        2.4477 * 0.01 / math.sqrt(1 - math.cos(math.radians(first["crossing_deg"]))), abs=0.0006
    )
    assert first["first"]["slope_m"] >= first["first"]["distance_m"]
    assert first["first"]["distance_ft"] == pytest.approx(first["first"]["distance_m"] / 0.3048, abs=0.003)


def test_ties_as_csv_say_why_a_point_has_none(fieldapp):
    done = fieldapp("ties", SAMPLE, "--bunker", "4-right", "--format", "csv", "--tape-length", "20m")
    lines = list(csv.DictReader(io.StringIO(done.out)))
    assert len(lines) == 89
    assert {line["why"] for line in lines} == {"", "one peg in reach"}
    for line in lines:
        tied = line["why"] == ""
        assert (line["first_distance_m"] != "") == tied
        assert not tied or float(line["first_distance_m"]) <= 20.0


def test_a_base_line_has_the_paint_points_or_a_place_every_so_far(fieldapp):
    string = ("baseline", SAMPLE, "--bunker", "4-right", "--from", "r4a", "--to", "r4b")
    document = json.loads(fieldapp(*string).out)
    assert document["length_m"] == 32.535
    assert (document["right_angle"]["a_m"], document["right_angle"]["c_m"]) == (6.0, 10.0)
    assert [place["number"] for place in document["places"][:3]] == [1, 2, 3]
    lines = list(csv.DictReader(io.StringIO(fieldapp(*string, "--every", "2", "--format", "csv").out)))
    assert {float(line["chainage_m"]) % 2 for line in lines} == {0.0}
    assert all(line["number"] == "" and line["is_on_string"] == "yes" for line in lines)


@pytest.mark.parametrize("name", WRONG)
def test_wrong_use_is_one_clear_line_and_exit_2(fieldapp, name):
    arguments, words = WRONG[name]
    done = fieldapp(*arguments)
    assert (done.code, done.out) == (2, "")
    (line,) = done.err.splitlines()
    assert words in line
