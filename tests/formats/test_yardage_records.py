"""Yardage checks as JSON, CSV and GeoJSON."""

import csv
import io
import json
from datetime import UTC, datetime

import pytest

from fieldapp.formats.record_export import records_csv, records_geojson
from fieldapp.formats.records import read_record, read_records, record_to_dict
from fieldapp.model import HeldRecord
from tests.field_records import READING, batch_of, mark_document, yardage_document

TARGET = yardage_document()["target"]
UNKNOWN = {"range95_m": None, "reading95_m": None, "tee95_m": None, "grid95_m": None}


def held(*documents):
    now = datetime(2026, 5, 1, 10, 0, tzinfo=UTC)
    return [
        HeldRecord(read_record(made), turn, now, (1020.0, 2200.0), None)
        for turn, made in enumerate(documents, 1)
    ]


def rows_of(*documents):
    return list(csv.DictReader(io.StringIO("".join(records_csv(held(*documents))))))


@pytest.mark.parametrize(
    "changes",
    [{}, UNKNOWN, {"off_line_m": None, "own_line_m": None, "line_effect_m": None, "edge_slope": None}],
)
def test_a_check_read_and_written_again_says_the_same(changes):
    record = read_record(yardage_document(**changes))
    assert read_record(json.loads(json.dumps(record_to_dict(record)))) == record


def test_a_check_without_what_may_be_left_out_is_read():
    document = yardage_document()
    for name in (*UNKNOWN, "off_line_m", "own_line_m", "line_effect_m", "edge_slope"):
        del document[name]
    assert read_record(document).range95_m is None


def test_practice_counts_by_its_own_word_or_by_its_receiver():
    assert read_record(yardage_document()).real
    assert not read_record(yardage_document(practice=True)).real
    assert not read_record(yardage_document(receiver="practice centimetre-grade")).real


UNREADABLE = {
    "a figure that is none": (yardage_document(target=TARGET | {"figure": "area"}), "reach, carry, along"),
    "a basis that is none": (yardage_document(target=TARGET | {"basis": "guessed"}), "planned, drawn"),
    "a verdict of a mark": (yardage_document(verdict="inside"), "agrees, differs, cannot tell"),
    "a verdict that is a list": (yardage_document(verdict=["agrees"]), "agrees, differs, cannot tell"),
    "no reading": (yardage_document(reading=None), "'reading'"),
    "a range below nothing": (yardage_document(range95_m=-0.1), "'range95_m'"),
    "a tolerance below nothing": (yardage_document(tolerance_m=-1), "'tolerance_m'"),
    "a plate without a place": (yardage_document(target=TARGET | {"tee_x": None}), "'tee_x'"),
    "a slope below nothing": (yardage_document(edge_slope=-0.1), "'edge_slope'"),
    "no tee": (yardage_document(target=TARGET | {"tee": ""}), "'tee'"),
    "words without an end": (yardage_document(settle="x" * 1001), "'settle'"),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_cannot_be_read_is_refused_in_words(name):
    document, words = UNREADABLE[name]
    sent, (refusal,) = read_records(batch_of(document))
    assert sent == []
    assert words in refusal.detail


def test_csv_tells_a_check_in_columns_of_its_own_behind_all_others():
    (row,) = rows_of(yardage_document(settle="Tape it."))
    assert (row["kind"], row["bunker"], row["revision"], row["verdict"]) == (
        "yardage",
        "square",
        "A",
        "agrees",
    )
    assert (row["yardage_tee"], row["yardage_figure"], row["yardage_basis"]) == ("white", "reach", "planned")
    assert (row["yardage_measured_m"], row["yardage_range95_m"]) == ("201.5000", "0.7026")
    assert row["yardage_edge_slope"] == "0.2500"
    assert (row["yardage_planned_m"], row["yardage_difference_m"]) == ("201.4000", "0.1000")
    assert (row["reading_fixes"], row["course_x_m"], row["yardage_settle"]) == ("30", "1020.0000", "Tape it.")
    names = list(row)
    assert names.index("yardage_tee") == names.index("trial_offset_radius95_m") + 1
    assert names.index("peg_state") == names.index("yardage_settle") + 1


def test_what_a_check_does_not_know_is_an_empty_cell():
    (row,) = rows_of(yardage_document(**UNKNOWN))
    assert (row["yardage_range95_m"], row["yardage_grid95_m"]) == ("", "")


def test_csv_leaves_the_columns_of_checks_empty_for_a_mark():
    (row,) = rows_of(mark_document())
    assert {value for name, value in row.items() if name.startswith("yardage_")} == {""}


def test_geojson_has_a_point_where_a_check_was_made():
    moved = yardage_document(reading=READING | {"lat_deg": 57.21})
    (feature,) = json.loads("".join(records_geojson(held(moved))))["features"]
    assert feature["geometry"]["coordinates"][1] == 57.21
    assert feature["properties"]["yardage_measured_m"] == 201.5
