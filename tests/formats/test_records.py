"""Field records as JSON, CSV and GeoJSON."""

import csv
import io
import json
import math
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fieldapp.errors import FormatError, RecordError
from fieldapp.formats.json_text import read_json_bytes
from fieldapp.formats.record_export import COLUMNS, records_csv, records_geojson
from fieldapp.formats.record_text import checked_text, same_content
from fieldapp.formats.records import (
    batch,
    mark_for_phone,
    read_record,
    read_records,
    record_to_dict,
)
from fieldapp.model import HeldRecord, Mark, MarkNow

ID = "0d9bd5cc-5a0e-4c51-a6a2-4a1b0f3f7a11"
OTHER_ID = "7b0e8f0a-11c9-4a8f-9f0a-3f2e0c3f7a22"


def mark_json(**changes):
    made = {
        "id": ID,
        "kind": "mark",
        "site": "skerry-bank",
        "hole": 4,
        "made_at": "2026-05-01T09:30:15.250Z",
        "person": "Ada",
        "device": "phone 2",
        "practice": False,
        "receiver": "phone",
        "target": {
            "bunker": "b1", "outline": "sand", "part": "sand edge", "number": 3, "revision": "A",
            "x": 1012.25, "y": 2044.125,
        },
        "fix": {
            "lat_deg": 55.123456789012, "lon_deg": -1.5, "accuracy_m": 0.02, "radius95_m": 0.0324,
            "radius95_basis": "68 % figure of the receiver", "age_s": 0.4, "height_m": None,
        },
        "off_m": 0.031,
        "verdict": "inside",
    }  # fmt: skip
    return made | changes


def undo_json(**changes):
    made = {
        "id": OTHER_ID,
        "kind": "undo",
        "site": "skerry-bank",
        "hole": 4,
        "made_at": "2026-05-01T09:31:00Z",
        "person": "Ada",
        "device": "phone 2",
        "practice": False,
        "undoes": ID,
    }
    return made | changes


def with_target(**changes):
    return mark_json(target=mark_json()["target"] | changes)


def with_fix(**changes):
    return mark_json(fix=mark_json()["fix"] | changes)


def held(record, **changes):
    found = HeldRecord(record, 7, datetime(2026, 5, 1, 10, 0, tzinfo=UTC), (1012.25, 2044.15), 0.02501)
    return replace(found, **changes)


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.mark.parametrize("document", [mark_json(), mark_json(fix=None, off_m=None), undo_json()])
def test_a_record_read_and_written_again_says_the_same(document):
    assert checked_text(record_to_dict(read_record(record_to_dict(read_record(document))))) == checked_text(
        record_to_dict(read_record(document))
    )


def test_a_mark_is_read_with_every_figure_it_carries():
    mark = read_record(mark_json())
    assert isinstance(mark, Mark)
    assert mark.made_at == datetime(2026, 5, 1, 9, 30, 15, 250000, tzinfo=UTC)
    assert (mark.target.x, mark.target.y, mark.target.number) == (1012.25, 2044.125, 3)
    assert mark.fix is not None
    assert (mark.fix.lat_deg, mark.fix.lon_deg) == (55.123456789012, -1.5)


def test_a_time_with_another_zone_is_turned_into_utc():
    mark = read_record(mark_json(made_at="2026-05-01T11:30:15+02:00"))
    assert mark.made_at == datetime(2026, 5, 1, 9, 30, 15, tzinfo=UTC)


UNREADABLE = {
    "no object": ("a mark", "must be a JSON object"),
    "no id": (mark_json(id=None), "'id'"),
    "an id of other characters": (mark_json(id="'; drop table --"), "'id'"),
    "an unknown kind": (mark_json(kind="check"), "'check'"),
    "no site": (mark_json(site=""), "'site'"),
    "a hole in words": (mark_json(hole="four"), "'hole'"),
    "a hole that is true": (mark_json(hole=True), "'hole'"),
    "a hole too large to hold": (mark_json(hole=2**31), "'hole'"),
    "a time without a zone": (mark_json(made_at="2026-05-01T09:30:15"), "'made_at'"),
    "a time that is none": (mark_json(made_at="yesterday"), "'made_at'"),
    "practice in words": (mark_json(practice="no"), "'practice'"),
    "a person who is a number": (mark_json(person=7), "'person'"),
    "a person of endless length": (mark_json(person="a" * 1001), "'person'"),
    "half a character": (mark_json(person="\ud800"), "characters"),
    "a NUL character": (mark_json(person="a\0b"), "characters"),
    "no target": (mark_json(target=None), "'target'"),
    "a target without bunker": (with_target(bunker=None), "'bunker'"),
    "a paint point numbered 1.5": (with_target(number=1.5), "'number'"),
    "a target that is not a number": (with_target(x=math.nan), "finite"),
    "an endless target": (with_target(y=math.inf), "finite"),
    "a latitude over 90": (with_fix(lat_deg=90.001), "'lat_deg'"),
    "a longitude over 180": (with_fix(lon_deg=-180.5), "'lon_deg'"),
    "a latitude in words": (with_fix(lat_deg="55"), "'lat_deg'"),
    "an accuracy below nothing": (with_fix(accuracy_m=-1), "'accuracy_m'"),
    "a verdict of another kind": (mark_json(verdict="perfect"), "'verdict'"),
    "a distance below nothing": (mark_json(off_m=-0.1), "'off_m'"),
    "an undo of nothing": (undo_json(undoes=None), "'undoes'"),
    "a number beyond all floats": (mark_json(off_m=10**400), "'off_m'"),
    "a nest without end": (mark_json(extra=json.loads("[" * 60 + "]" * 60)), "deeply"),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_a_record_that_cannot_be_read_is_refused_in_words(name):
    item, word = UNREADABLE[name]
    sent, refused = read_records(batch([item]))
    assert sent == []
    assert word in refused[0].detail
    assert "Record 1 of the batch" in refused[0].detail


def test_a_bad_record_is_refused_by_itself_and_named():
    sent, refused = read_records(batch([mark_json(), undo_json(practice="maybe"), undo_json()]))
    assert [item.record.id for item in sent] == [ID, OTHER_ID]
    assert [refusal.id for refusal in refused] == [OTHER_ID]
    assert "Record 2" in refused[0].detail


def test_fields_of_a_later_release_are_kept_in_the_text():
    sent, _ = read_records(batch([mark_json(wind="from the sea")]))
    assert json.loads(sent[0].text)["wind"] == "from the sea"


NO_BATCHES = {
    "a list": [],
    "nothing": None,
    "another format": {"format": "fieldapp-bundle", "version": 1, "records": []},
    "another version": {"format": "fieldapp-records", "version": 2, "records": []},
    "a version that is true": {"format": "fieldapp-records", "version": True, "records": []},
    "no records": {"format": "fieldapp-records", "version": 1},
    "records that are no list": {"format": "fieldapp-records", "version": 1, "records": {}},
}


@pytest.mark.parametrize("name", NO_BATCHES)
def test_a_body_that_is_no_batch_is_refused_whole(name):
    with pytest.raises(FormatError):
        read_records(NO_BATCHES[name])


def test_a_batch_of_too_many_records_is_refused_whole_before_any_is_looked_at():
    _, refused = read_records(batch([0] * 5000))
    assert len(refused) == 5000
    with pytest.raises(FormatError, match=r"holds 5,001 records; send at most 5,000"):
        read_records(batch([0] * 5001))


def test_content_is_the_same_in_any_order_and_however_a_number_is_written():
    assert same_content('{"b": 2.0, "a": [-0.0, 1.5e-05]}', '{"a": [0, 0.000015], "b": 2}')
    assert not same_content('{"b": 2}', '{"b": 3}')


def test_the_held_text_has_its_keys_in_order():
    assert checked_text({"b": 2, "a": {"d": None, "c": 2**70}}) == (
        '{"a":{"c":1180591620717411303424,"d":null},"b":2}'
    )
    assert checked_text({"b": 2, "a": "é"}) == '{"a":"é","b":2}'


def test_what_is_no_number_in_json_stays_the_text_it_is_and_only_its_record_is_refused():
    text = '{"a": NaN, "b": 1e999, "c": -Infinity, "d": 1e-9}'
    assert read_json_bytes(text.encode()) == {"a": "NaN", "b": "1e999", "c": "-Infinity", "d": 1e-9}
    sent = json.dumps(batch([mark_json(off_m=math.nan), mark_json(id=OTHER_ID)])).encode()
    taken, refused = read_records(read_json_bytes(sent))
    assert [item.record.id for item in taken] == [OTHER_ID]
    assert [(item.id, "'off_m' must be a number" in item.detail) for item in refused] == [(ID, True)]


def test_half_of_a_character_pair_is_read_and_refuses_its_record_only():
    sent = json.dumps(batch([mark_json(person="\ud800"), mark_json(id=OTHER_ID)])).encode()
    taken, refused = read_records(read_json_bytes(sent))
    assert ([item.record.id for item in taken], [item.id for item in refused]) == ([OTHER_ID], [ID])


@pytest.mark.parametrize("value", ["\0", "\ud800", {"\0": 1}], ids=repr)
def test_what_cannot_be_held_is_refused(value):
    with pytest.raises(RecordError):
        checked_text({"a": [value]})


def test_csv_has_one_line_a_record_under_the_columns():
    text = "".join(
        records_csv([held(read_record(mark_json())), held(read_record(undo_json()), course_xy=None)])
    )
    rows = rows_of(text)
    assert tuple(rows[0]) == COLUMNS
    assert [row["kind"] for row in rows] == ["mark", "undo"]
    assert rows[1]["undoes"] == ID


def test_csv_keeps_positions_to_a_hundredth_of_a_millimetre():
    row = rows_of("".join(records_csv([held(read_record(mark_json()))])))[0]
    assert row["lat_deg"] == "55.1234567890"
    assert (row["course_x_m"], row["course_y_m"], row["off_m"]) == ("1012.2500", "2044.1500", "0.0250")


@pytest.mark.parametrize("name", ["=1+1", "+44", "-2", "@x", "\tx"])
def test_text_that_a_spreadsheet_would_run_is_written_as_text(name):
    row = rows_of("".join(records_csv([held(read_record(mark_json(person=name, device=name)))])))[0]
    assert row["person"] == "'" + name
    assert row["device"] == "'" + name


def test_a_name_with_commas_quotes_and_line_ends_comes_back_whole():
    row = rows_of("".join(records_csv([held(read_record(mark_json(person='O"Neil,\nPat')))])))[0]
    assert row["person"] == 'O"Neil,\nPat'


def test_geojson_has_a_point_for_every_mark_with_a_position_longitude_first():
    records = [mark_json(), mark_json(id=OTHER_ID, fix=None), undo_json()]
    now = {ID: MarkNow("B", "re-mark", 0.31234567)}
    text = "".join(records_geojson([held(read_record(record)) for record in records], now))
    features = json.loads(text)["features"]
    assert len(features) == 1
    assert features[0]["geometry"] == {"type": "Point", "coordinates": [-1.5, 55.123456789]}
    assert "[-1.5000000000,55.1234567890]" in text
    told = features[0]["properties"]
    assert told["verdict"] == "inside"
    assert (told["now_revision"], told["now_state"], told["now_off_m"]) == ("B", "re-mark", 0.3123)


def test_geojson_of_no_records_is_an_empty_collection():
    assert json.loads("".join(records_geojson([]))) == {"type": "FeatureCollection", "features": []}


def test_a_taken_back_mark_says_so_in_every_export():
    undone = held(read_record(mark_json()), undone_by=OTHER_ID)
    assert rows_of("".join(records_csv([undone])))[0]["undone_by"] == OTHER_ID
    assert (
        json.loads("".join(records_geojson([undone])))["features"][0]["properties"]["undone_by"] == OTHER_ID
    )


def test_a_phone_is_given_the_distance_that_the_server_found():
    mark = read_record(mark_json())
    assert isinstance(mark, Mark)
    given = mark_for_phone(mark, 0.02501)
    assert given["off_m"] == 0.025
    assert given["made_at"] == "2026-05-01T09:30:15.250Z"
    assert set(given) == {
        "id", "bunker", "outline", "number", "revision", "person", "made_at", "practice",
        "off_m", "radius95_m", "verdict",
    }  # fmt: skip
