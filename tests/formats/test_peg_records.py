"""Readings, check-ins and trials as JSON, CSV and GeoJSON."""

import csv
import io
import json
from datetime import UTC, datetime

import pytest

from fieldapp.formats.record_export import records_csv, records_geojson
from fieldapp.formats.records import read_record, read_records, record_to_dict
from fieldapp.model import HeldRecord
from tests.field_records import FIX, READING, batch_of, check_in_document, mark_document, trial_document

KINDS = {
    "a mark with a reading": mark_document(fix=FIX, reading=READING),
    "a check-in": check_in_document(),
    "a trial": trial_document(),
    "a reading after a check-in": mark_document(
        reading=READING | {"check_in": check_in_document()["id"], "check_in_age_s": 120.5, "radius95_m": None}
    ),
    "a trial of a receiver without figures": trial_document(accuracy_m=None, offset_radius95_m=None),
}


def rows_of(*documents):
    now = datetime(2026, 5, 1, 10, 0, tzinfo=UTC)
    held = [HeldRecord(read_record(made), turn, now, None, None) for turn, made in enumerate(documents, 1)]
    return list(csv.DictReader(io.StringIO("".join(records_csv(held))))), "".join(records_geojson(held))


@pytest.mark.parametrize("name", KINDS)
def test_a_record_read_and_written_again_says_the_same(name):
    record = read_record(KINDS[name])
    assert read_record(json.loads(json.dumps(record_to_dict(record)))) == record


@pytest.mark.parametrize("given", [{}, {"reading": None}])
def test_a_mark_without_a_reading_is_as_before(given):
    mark = read_record(mark_document(fix=FIX, **given))
    assert mark.reading is None
    assert mark.position is mark.fix


def test_a_mark_with_both_lies_where_its_reading_says():
    mark = read_record(mark_document(fix=FIX, reading=READING))
    assert mark.position is mark.reading


UNREADABLE = {
    "a reading that is no object": (mark_document(reading=[1]), "'reading'"),
    "a reading north of the pole": (mark_document(reading=READING | {"lat_deg": 91}), "'lat_deg'"),
    "a radius below nothing": (mark_document(reading=READING | {"radius95_m": -1}), "'radius95_m'"),
    "no fixes counted": (mark_document(reading=READING | {"fixes": None}), "'fixes'"),
    "a check-in of no id": (mark_document(reading=READING | {"check_in": "x"}), "'check_in'"),
    "a check-in without a reading": (check_in_document(reading=None), "'reading'"),
    "a check-in without a peg": (check_in_document(peg=""), "'peg'"),
    "a shift in words": (check_in_document(shift_x_m="east"), "'shift_x_m'"),
    "a trial without parts": (trial_document(parts=[]), "'parts'"),
    "a part of three": (trial_document(parts=[[0.5, 1, 2]]), "pair"),
    "a share over one": (trial_document(parts=[[1.5, 60]]), "share"),
    "a time that runs back": (trial_document(parts=[[1, -60]]), "time of a part"),
    "a scatter below nothing": (trial_document(scatter_m=-0.1), "'scatter_m'"),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_cannot_be_read_is_refused_in_words(name):
    document, words = UNREADABLE[name]
    sent, (refusal,) = read_records(batch_of(document))
    assert sent == []
    assert words in refusal.detail


def test_an_unknown_kind_is_refused_naming_those_known():
    _, (refusal,) = read_records(batch_of(mark_document(kind="guess")))
    assert "'mark', 'undo', 'check_in', 'trial', 'yardage'" in refusal.detail


def test_csv_tells_the_reading_beside_the_fix():
    (row,), _ = rows_of(mark_document(fix=FIX, reading=READING))
    assert (row["lat_deg"], row["reading_lat_deg"]) == ("57.2018000000", "57.2018000000")
    assert (row["reading_radius95_m"], row["reading_fixes"], row["reading_left_out"]) == ("0.8000", "30", "1")


def test_csv_tells_check_ins_and_trials_by_their_own_columns():
    (check_in, trial), _ = rows_of(check_in_document(), trial_document())
    assert (check_in["peg"], check_in["shift_x_m"], check_in["shift_y_m"]) == ("c1", "1.5000", "-2.0000")
    assert (trial["peg"], trial["trial_parts"], trial["trial_spread"]) == ("c1", "0.25:0 0.75:90.5", "1.5")
    assert (check_in["trial_parts"], trial["shift_x_m"]) == ("", "")


def test_csv_columns_only_grow_at_the_end():
    (row,), _ = rows_of(mark_document())
    names = list(row)
    assert names.index("came_by") == names.index("remarks") + 1 == 31


def test_geojson_has_a_point_where_the_reading_lies_also_of_a_check_in():
    moved = READING | {"lat_deg": 57.25}
    _, text = rows_of(mark_document(fix=FIX, reading=moved), check_in_document(), trial_document())
    features = json.loads(text)["features"]
    assert [feature["properties"]["kind"] for feature in features] == ["mark", "check_in"]
    assert features[0]["geometry"]["coordinates"][1] == 57.25
