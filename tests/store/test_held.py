"""What the store holds: records once by their id, versions of sites."""

import threading
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fieldapp.errors import StoreError
from fieldapp.formats.records import read_record
from fieldapp.store.records import add_records, late_records, marked_revisions
from fieldapp.store.sites import add_version, site_ids, standing_version, versions

NOON = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


def test_the_same_record_twice_is_held_once(store, add, held, mark):
    assert add(mark(1), mark(1)) == ["new", "held"]
    assert add(mark(1)) == ["held"]
    assert len(held()) == 1


def test_an_id_with_other_content_contradicts_and_changes_nothing(store, add, held, mark):
    assert add(mark(1), mark(1, person="Bob"), mark(2)) == ["new", "contradicts", "new"]
    assert [item.record.person for item in held()] == ["Ada", "Ada"]


def test_an_id_with_the_same_content_in_other_words_is_held(store, add, mark, new):
    add(mark(1, off_m=1.5e-05))
    again = new(mark(1, off_m=1.5e-05))
    worded = replace(again.sent, text=again.sent.text.replace("0.000015", "1.5e-05"))
    assert worded != again.sent
    with store.writing() as transaction:
        assert add_records(transaction, [replace(again, sent=worded)]) == ["held"]


def test_a_record_comes_back_as_it_was_sent_with_what_the_server_found(store, add, held, mark):
    add(mark(1))
    item = held()[0]
    assert item.record == read_record(mark(1))
    assert (item.sequence, item.received_at, item.course_xy, item.off_m) == (1, NOON, (1.5, 2.5), 0.707)


def test_a_record_must_belong_to_a_version_of_a_site(store, held, mark, new):
    with pytest.raises(StoreError, match="FOREIGN KEY"), store.writing() as transaction:
        add_records(transaction, [replace(new(mark(1)), site_version=99)])
    assert held() == []


def test_a_mark_is_undone_by_the_first_undo_that_names_it(store, add, held, mark, undo):
    add(mark(1), undo(1), undo(1, id="undo-again"))
    assert [item.undone_by for item in held()] == ["undo-0001", None, None]


def test_an_undo_may_come_before_its_mark(store, add, held, mark, undo):
    add(undo(1))
    add(mark(1))
    assert {item.record.id: item.undone_by for item in held()} == {
        "undo-0001": None,
        "mark-0001": "undo-0001",
    }


def test_a_practice_undo_takes_no_real_mark_back(store, add, held, mark, undo):
    add(mark(1), undo(1, practice=True))
    assert held()[0].undone_by is None


def test_an_undo_of_another_site_takes_nothing_back_here(store, add, held, mark, undo):
    add(mark(1), undo(1, site="moor"))
    assert held()[0].undone_by is None


@pytest.mark.parametrize("other", [{"device": "phone 3"}, {"hole": 2}], ids=str)
def test_an_undo_of_another_phone_or_hole_takes_nothing_back(store, add, held, mark, undo, other):
    add(undo(2, **other), mark(1), mark(2), undo(1, **other))
    assert [item.undone_by for item in held()] == [None] * 4
    with store.reading() as transaction:
        late = [row for hole in (1, 2) for row in late_records(transaction, "links", hole, 0)]
    assert [(row.undone, row.takes_back) for row in late] == [(False, False)] * 4


def test_an_undo_that_counts_is_found_beside_one_that_does_not(add, held, mark, undo):
    add(mark(1), undo(1, id="undo-of-another-phone", device="phone 3"), undo(1))
    assert held()[0].undone_by == "undo-0001"


def test_records_are_told_apart_by_site_and_hole(store, add, held, mark):
    add(mark(1), mark(2, hole=2), mark(3, site="moor"))
    assert [item.record.id for item in held(site_id="links")] == ["mark-0001", "mark-0002"]
    assert [item.record.id for item in held(site_id="links", hole=2)] == ["mark-0002"]


def test_only_real_marks_make_a_revision_a_marked_one(store, add, mark, undo):
    practised = mark(2, practice=True)
    practised["target"] = practised["target"] | {"bunker": "b2"}
    add(mark(1), practised, undo(1))
    with store.reading() as transaction:
        assert marked_revisions(transaction, "links") == {("b1", "A")}


def test_the_newest_version_of_a_site_stands_and_the_others_stay(store):
    with store.writing() as transaction:
        add_version(transaction, "moor", "d" * 64, "moor", NOON, "moor")
        add_version(transaction, "links", "e" * 64, "second", NOON, "links")
    with store.reading() as transaction:
        standing = standing_version(transaction, "links")
        assert standing is not None
        assert (standing.document, standing.loaded_at) == ("second", NOON)
        assert [version.document for version in versions(transaction, "links")] == ["second", "document"]
        assert site_ids(transaction) == ["links", "moor"]
        assert standing_version(transaction, "heath") is None


def test_twenty_threads_with_overlapping_batches_hold_every_record_once(store, add, held, mark):
    faults = []

    def sending(first):
        try:
            add(*(mark(number) for number in range(first, first + 20)))
        except Exception as fault:
            faults.append(fault)

    threads = [threading.Thread(target=sending, args=(5 * turn,)) for turn in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert sorted(item.record.id for item in held()) == [f"mark-{number:04d}" for number in range(115)]


def test_a_batch_is_added_in_one_go_and_each_record_has_its_own_outcome(store, new, held, mark):
    with store.writing() as transaction:
        add_records(transaction, [new(mark(1))])
    batch = [mark(1), mark(1, person="Bob"), mark(2), mark(2), mark(2, person="Bob"), mark(3)]
    with store.writing() as transaction:
        outcomes = add_records(transaction, [new(made) for made in batch])
    assert outcomes == ["held", "contradicts", "new", "held", "contradicts", "new"]
    assert [item.record.id for item in held()] == ["mark-0001", "mark-0002", "mark-0003"]


def test_more_records_than_one_question_may_name_are_added_alike(store, new, held, mark):
    batch = [new(mark(number)) for number in range(1, 1203)]
    for outcome in ("new", "held"):
        with store.writing() as transaction:
            assert set(add_records(transaction, batch)) == {outcome}
    assert len(held()) == 1202


def test_phones_are_told_what_came_after_a_number_and_whether_it_stands(store, add, mark, undo):
    add(mark(1), mark(2), undo(1, practice=True), undo(2), mark(3, hole=2))
    with store.reading() as transaction:
        late = late_records(transaction, "links", 1, 1)
    assert [(row.kind, row.undone, row.takes_back) for row in late] == [
        ("mark", True, False),
        ("undo", False, False),
        ("undo", False, True),
    ]
