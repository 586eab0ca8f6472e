"""Records of places that a site is made of: read, refused in words, and told to other programs."""

import csv
import io
from datetime import UTC, datetime

import pytest

from fieldapp.errors import RecordError
from fieldapp.formats.record_export import records_csv, records_geojson
from fieldapp.formats.records import read_record, record_to_dict
from fieldapp.model import HeldRecord, PlaceRead
from tests.field_records import READING, place_document


def test_a_place_reads_back_as_it_was_sent():
    document = place_document(what="turn", name="2", hole=0)
    record = read_record(document)
    assert isinstance(record, PlaceRead)
    assert record_to_dict(record) == document | {"made_at": "2026-05-01T09:30:15.250Z"}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"what": "lake"}, "'what' is 'lake'; it must be one of tee, peg, turn, green"),
        ({"name": ""}, "'name' is empty"),
        ({"reading": None}, "'reading' must be a JSON object"),
        ({"reading": READING | {"lat_deg": 95}}, "must lie between -90 and 90"),
        ({"note": 3}, "'note' must be text"),
    ],
)
def test_what_cannot_be_read_is_refused(changes, words):
    with pytest.raises(RecordError, match=words):
        read_record(place_document(**changes))


def test_a_place_is_told_with_its_reading():
    held = HeldRecord(
        read_record(place_document(name="=x")), 7, datetime(2026, 5, 1, tzinfo=UTC), (1.0, 2.0), None
    )
    (row,) = csv.DictReader(io.StringIO("".join(records_csv([held]))))
    told = {
        name: row[name] for name in ("kind", "place_what", "place_name", "course_x_m", "reading_radius95_m")
    }
    assert told == {
        "kind": "place",
        "place_what": "tee",
        "place_name": "'=x",
        "course_x_m": "1.0000",
        "reading_radius95_m": "0.8000",
    }
    assert '"place_what": "tee"' in "".join(records_geojson([held])).replace('":"', '": "')
