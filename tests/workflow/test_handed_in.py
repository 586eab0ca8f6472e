"""Files that phones handed over: good records are kept whatever became of the rest of the file."""

import json
from datetime import UTC, datetime

import pytest

from fieldapp.workflow.handed_in import take_in_file, take_in_path
from fieldapp.workflow.phone_clock import Arrival
from fieldapp.workflow.records import held_records_of
from tests.field_records import batch_of, record_id

ARRIVAL = Arrival(datetime(2026, 5, 2, 12, 0, tzinfo=UTC), came_by="Desk")
HEADER = {"site": "small-links", "device": "phone 2", "person": "Ada", "made_at": "2026-05-02T11:00:00Z"}


@pytest.fixture
def take(store):
    def taken(content, **where):
        return take_in_file(store, "records.json", content, ARRIVAL, **where)

    return taken


def test_a_file_may_hold_more_than_a_batch_but_not_any_number(take):
    assert len(take(file_of(*[0] * 5001)).refused) == 5001
    taken = take(file_of(*[0] * 50_001))
    assert "It holds 50,001 records; hand in at most 50,000" in taken.fault
    assert taken.refused == ()


def file_of(*records, **header):
    return json.dumps(batch_of(*records, **HEADER, **header)).encode()


def held_ids(store):
    return [item.record.id for item in held_records_of(store, "small-links")]


def test_a_file_is_taken_in_once_and_taken_in_again_does_no_harm(store, take, mark):
    content = file_of(mark(1), mark(2))
    first, again = take(content), take(content)
    assert (first.new, first.held, first.whole) == (2, 0, True)
    assert (again.new, again.held, again.whole) == (0, 2, True)
    assert again.words == "records.json: 0 new, 2 held already, 0 refused; of site 'small-links'."
    assert held_ids(store) == [record_id(1), record_id(2)]


def test_records_say_by_whom_they_were_handed_in(store, take, mark):
    take(file_of(mark(1)))
    assert held_records_of(store, "small-links")[0].came_by == "Desk"


def test_in_a_file_edited_by_hand_each_bad_record_is_refused_by_itself(store, take, mark):
    taken = take(file_of(mark(1), mark(2, hole="four"), "scribble", mark(3)))
    assert held_ids(store) == [record_id(1), record_id(3)]
    assert [refusal.detail for refusal in taken.refused] == [
        "Record 2 cannot be taken: 'hole' must be a whole number, 0 or more.",
        "Record 3 cannot be taken: it must be a JSON object.",
    ]
    assert not taken.whole


def test_a_held_record_that_was_tampered_with_is_refused_and_the_held_one_stays(store, take, mark):
    take(file_of(mark(1)))
    taken = take(file_of(mark(1, person="Mallory"), mark(2)))
    assert (taken.new, taken.held) == (1, 0)
    assert "is held already with other content" in taken.refused[0].detail
    assert held_records_of(store, "small-links")[0].record.person == "Ada"


def test_one_id_twice_with_different_content_in_a_file_is_held_once(store, take, mark):
    taken = take(file_of(mark(1), mark(1, person="Bob")))
    assert (taken.new, len(taken.refused)) == (1, 1)


UNREADABLE = {
    "nothing": (b"  ", "It is empty"),
    "half a file": (
        b'{"format": "fieldapp-records", "version": 1, "records": [{"id": "000',
        "Its end is missing",
    ),
    "all but the last sign": (
        b'{"format": "fieldapp-records", "version": 1, "records": []',
        "Its end is missing",
    ),
    "half a letter at the end": ('{"person": "Å'.encode()[:-1], "Its end is missing"),
    "no JSON": (b"Dear crew,\n", "It is not JSON that can be read (line 1)"),
    "a comma too many": (b'{"format": "fieldapp-records",, "version": 1}', "It is not JSON"),
    "a picture": (b"\x89PNG\r\n\x1a\n\xff", "It is not text"),
    "a list": (b"[]", "It is not a file of field records"),
    "another format": (b'{"format": "fieldapp-bundle", "version": 1}', "It is not a file of field records"),
    "a newer version": (b'{"format": "fieldapp-records", "version": 2, "records": []}', "update fieldapp"),
    "a version in words": (b'{"format": "fieldapp-records", "version": "one"}', "It is of version 'one'"),
    "no records": (b'{"format": "fieldapp-records", "version": 1}', "It holds no list of records"),
    "a nest without end": (b'{"a":' * 100_000, "It is nested too deeply"),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_is_no_file_of_records_is_told_in_one_sentence_and_loses_nothing(store, take, mark, name):
    take(file_of(mark(1)))
    content, words = UNREADABLE[name]
    taken = take(content)
    assert words in taken.fault
    assert "\n" not in taken.words
    assert (taken.new, taken.held, taken.whole) == (0, 0, False)
    assert held_ids(store) == [record_id(1)]


@pytest.mark.parametrize("cut", range(40, 400, 37))
def test_a_file_cut_anywhere_is_called_half_a_file(take, mark, cut):
    whole = file_of(mark(1, person="Åse"))
    assert "Its end is missing" in take(whole[:cut]).fault


def test_records_of_another_site_go_to_their_own_page(store, take, mark):
    taken = take(file_of(mark(1), mark(2, site="heath")), only_site="small-links")
    assert held_ids(store) == [record_id(1)]
    assert "it is of site 'heath', not 'small-links'; hand it in at that site." in taken.refused[0].detail


def test_records_of_a_site_never_loaded_are_refused_by_themselves(store, take, mark):
    taken = take(file_of(mark(1), mark(2, site="heath")))
    assert [share.site for share in taken.shares] == ["small-links"]
    assert "There is no site called 'heath'" in taken.refused[0].detail


def test_a_byte_order_mark_that_an_editor_put_there_does_no_harm(take, mark):
    assert take(b"\xef\xbb\xbf" + file_of(mark(1))).new == 1


def test_a_file_that_is_not_there_is_told(store, tmp_path):
    assert "cannot be read: no such file" in take_in_path(store, tmp_path / "gone.json", ARRIVAL).fault
