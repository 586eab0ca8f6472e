"""The yardage table for other programs: units in every name, and nothing that a spreadsheet would run."""

import csv
import io
import json
import re
from dataclasses import replace

import pytest

from fieldapp.formats.yardage_table import COLUMNS, YardageTable, yardage_csv, yardage_json
from fieldapp.model import Ellipse, Placement, Plan
from fieldapp.play.hole_yardages import AimLine
from tests.play.holes import bunker, drawn, site_of, table

PLAN = Plan("plate", reach_m=194.0, carry_m=206.0, offset_m=2.0, tolerance_m=0.9144)
KIND = re.compile(r".*_(m|yd|deg)$")
TEXT = {
    "site",
    "hole",
    "bunker",
    "bunker_name",
    "revision",
    "tee",
    "tee_name",
    "is_behind",
    "far_end",
    "slant",
    "room_to",
}


def hole_with(*bunkers, aim=None, allowance_m=0.0, **hole):
    site = site_of(bunkers, **hole)
    return YardageTable(site, site.holes[0], table(site, aim), aim, allowance_m)


def round_one(**more):
    return bunker(Ellipse(10.0, 10.0), Placement("plate", 200.0, 0.0), plan=PLAN, **more)


def lines_of(written):
    return list(csv.DictReader(io.StringIO("".join(yardage_csv(written)))))


def test_a_length_is_there_in_metres_and_in_yards_to_a_hundredth():
    (row,) = yardage_json(hole_with(round_one()))["rows"]
    assert (row["straight_m"], row["straight_yd"]) == (200.0, 218.72)
    assert (row["on_line"]["reach_m"], row["on_line"]["reach_yd"]) == (195.0, 213.25)
    assert row["to_middle"]["stretches"] == [
        {"begin_m": 195.0, "begin_yd": 213.25, "end_m": 205.0, "end_yd": 224.19}
    ]


def test_a_plan_stands_beside_what_is_computed_with_the_difference():
    (row,) = yardage_json(hole_with(round_one()))["rows"]
    by_name = {one["figure"]: one for one in row["compared"]}
    assert list(by_name) == ["reach", "carry", "offset"]
    reach = by_name["reach"]
    assert (reach["planned_m"], reach["computed_m"], reach["difference_m"]) == (194.0, 195.0, 1.0)
    assert (reach["difference_yd"], reach["tolerance_yd"]) == (1.09, 1.0)


def test_the_document_says_what_its_figures_are_and_what_was_asked():
    document = yardage_json(hole_with(round_one(), aim=AimLine(228.6, -9.144), allowance_m=4.572))
    assert document["figures"].startswith("Level distances on the ground from the tee plate.")
    assert (document["format"], document["version"]) == ("fieldapp-yardages", 1)
    assert document["aim_line"] == {"at_m": 228.6, "at_yd": 250.0, "offset_m": -9.14, "offset_yd": -10.0}
    assert document["landing_allowance_yd"] == 5.0
    (row,) = document["rows"]
    assert (row["on_line"]["carry_m"], row["on_line"]["clear_m"]) == (205.0, 209.57)
    assert (row["revision"], row["tee"]) == ("A", "plate")


def test_without_an_aim_line_none_is_told():
    document = yardage_json(hole_with(round_one()))
    assert document["aim_line"] is None
    assert document["rows"][0]["on_aim"] is None


def test_how_well_a_plate_is_known_is_told_with_it():
    written = hole_with(round_one())
    known = replace(written.site.tees[0], within_m=0.5)
    document = yardage_json(replace(written, site=replace(written.site, tees=(known,))))
    assert document["tees"] == [{"id": "plate", "name": "Tee 1", "within_m": 0.5, "within_yd": 0.55}]


def test_every_number_of_the_document_has_its_unit_in_its_key():
    document = yardage_json(hole_with(round_one(), aim=AimLine(200.0, 1.0)))

    def numbers(value):
        if isinstance(value, dict):
            for key, inner in value.items():
                if isinstance(inner, int | float) and not isinstance(inner, bool):
                    yield key
                yield from numbers(inner)
        elif isinstance(value, list):
            for inner in value:
                yield from numbers(inner)

    keys = set(numbers(document))
    assert len(keys) > 35
    assert {key for key in keys if not KIND.fullmatch(key)} == {"version", "number"}


def test_every_column_of_figures_has_its_unit_in_its_name():
    assert {name for name in COLUMNS if not KIND.fullmatch(name)} == TEXT


def test_csv_says_the_same_as_json():
    written = hole_with(round_one(), aim=AimLine(200.0, 4.0), allowance_m=3.0)
    (line,) = lines_of(written)
    (row,) = json.loads(json.dumps(yardage_json(written)))["rows"]
    assert list(line) == list(COLUMNS)
    for name in (
        "straight",
        "along",
        "offset",
        "along_near",
        "along_far",
        "nearest",
        "furthest",
        "grid_more",
    ):
        assert float(line[f"{name}_yd"]) == row[f"{name}_yd"]
    for shot in ("on_line", "to_middle", "on_aim"):
        for name in ("reach", "carry", "clear", "width"):
            assert float(line[f"{shot}_{name}_m"]) == row[shot][f"{name}_m"]
    assert (line["planned_carry_m"], line["difference_carry_m"]) == ("206.00", "-1.00")
    assert (line["aim_at_m"], line["aim_offset_m"], line["landing_allowance_m"]) == ("200.00", "4.00", "3.00")
    assert (line["site"], line["tee"], line["revision"]) == ("s", "plate", "A")


def test_a_bunker_behind_the_plate_is_told_apart_from_one_ahead():
    written = hole_with(round_one(), tees=((0.0, 0.0), (0.0, 260.0)))
    assert [row["is_behind"] for row in yardage_json(written)["rows"]] == [False, True]
    assert [line["is_behind"] for line in lines_of(written)] == ["no", "yes"]


def test_what_is_not_there_is_empty():
    written = hole_with(bunker(drawn((10, 200), (12, 205), (10, 212), closed=False)))
    (line,) = lines_of(written)
    empty = (
        "to_middle_reach_m",
        "nearest_m",
        "furthest_yd",
        "room_m",
        "slope_more_yd",
        "planned_along_m",
        "aim_at_yd",
    )
    assert {line[name] for name in empty} == {""}
    assert float(line["along_m"]) == pytest.approx(206, abs=1)


def test_a_hole_without_bunkers_is_a_line_of_names():
    assert lines_of(hole_with()) == []
    assert yardage_json(hole_with())["rows"] == []


def test_nothing_written_is_less_than_nothing_by_nothing():
    """-0.00 would make a reader ask which side is meant."""
    text = "".join(yardage_csv(hole_with(bunker(Ellipse(9.0, 9.0), Placement("plate", 200.0, -0.001)))))
    assert "-0.00" not in text


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@x", "\tx"])
def test_a_name_that_a_spreadsheet_would_run_is_made_text(name):
    (line,) = lines_of(hole_with(replace(round_one(), name=name)))
    assert line["bunker_name"] == "'" + name
