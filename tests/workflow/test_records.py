"""Taking records in: the server's own figures, and remarks instead of refusals."""

from datetime import UTC, datetime

import pytest

from fieldapp.errors import NotFoundError
from fieldapp.workflow.records import held_records_of, records_since, standing_marks
from fieldapp.workflow.sites import load_site
from tests.field_records import accept_records, undo_document

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)


@pytest.fixture
def accept(store, batch):
    def taken(*records):
        return accept_records(store, "small-links", batch(*records), NOW)

    return taken


def only(store):
    (item,) = held_records_of(store, "small-links")
    return item


def test_the_server_finds_the_course_coordinates_and_the_distance_itself(store, accept, mark):
    accept(mark(1, east_m=0.25, off_m=0.0))
    item = only(store)
    target = item.record.target
    assert item.course_xy == pytest.approx((target.x + 0.25, target.y), abs=1e-5)
    assert item.off_m == pytest.approx(0.25, abs=1e-4)


def test_a_mark_without_a_position_has_no_coordinates(store, accept, mark):
    assert accept(mark(1, fix=None, off_m=None, verdict="cannot tell")).remarks == []
    assert (only(store).course_xy, only(store).off_m) == (None, None)


def test_a_mark_that_fits_gets_no_remark(accept, mark):
    assert accept(mark(1), mark(5), mark(2, bunker="egg", id="another-mark-of-the-egg")).remarks == []


def with_target(made, **changes):
    return made | {"target": made["target"] | changes}


MISFITS = {
    "an unknown bunker": (lambda made: with_target(made, bunker="gone"), "no bunker 'gone'"),
    "an unknown outline": (lambda made: with_target(made, outline="rim"), "no outline 'rim'"),
    "an unknown point": (lambda made: with_target(made, number=999), "no paint point 999"),
    "point nought": (lambda made: with_target(made, number=0), "no paint point 0"),
    "an unknown revision": (lambda made: with_target(made, revision="Z"), "never had a revision 'Z'"),
    "an unknown hole": (lambda made: made | {"hole": 9}, "no hole 9"),
    "another target": (lambda made: with_target(made, x=made["target"]["x"] + 1), "1.00 m from the designed"),
    "another distance": (lambda made: made | {"off_m": 0.5}, "0.50 m off the point"),
    "a verdict too good": (
        lambda made: made | {"fix": made["fix"] | {"radius95_m": 6.5}},
        "does not bear that out",
    ),
    "a place out of this world": (
        lambda made: made | {"fix": made["fix"] | {"lat_deg": -57.0, "lon_deg": 170.0}},
        "position",
    ),
}


@pytest.mark.parametrize("name", MISFITS)
def test_a_mark_that_does_not_fit_is_stored_and_says_so(store, accept, mark, name):
    change, words = MISFITS[name]
    receipt = accept(change(mark(1)))
    assert (receipt.stored, receipt.refused) == ([mark(1)["id"]], [])
    assert words in receipt.remarks[0].detail
    assert only(store).remarks == receipt.remarks[0].detail


def test_a_mark_of_a_revision_before_this_one_is_stored_as_superseded(store, folder, change, accept, mark):
    change('name = "Square"\nrevision = "A"', 'name = "Square"\nrevision = "B"')
    load_site(store, folder, NOW)
    assert "superseded by 'B'" in accept(mark(1)).remarks[0].detail


def test_a_remark_is_told_again_when_the_record_is_sent_again(accept, mark):
    odd = mark(1, hole=9)
    assert accept(odd).remarks == accept(odd).remarks


def test_records_of_an_unknown_site_are_not_taken(store, batch, mark):
    with pytest.raises(NotFoundError):
        accept_records(store, "heath", batch(mark(1)), NOW)


def test_standing_marks_leave_out_practice_and_what_was_taken_back(store, accept, mark):
    accept(mark(1), mark(2), mark(3, practice=True), undo_document(mark(2)))
    assert [item["number"] for item in standing_marks(store, "small-links", 1)] == [1]


OTHERS = {
    "another phone": {"device": "phone 3"},
    "another hole": {"hole": 2},
    "practice": {"practice": True},
}


@pytest.mark.parametrize("words", OTHERS)
@pytest.mark.parametrize("at_once", [True, False])
def test_an_undo_that_does_not_count_is_stored_and_says_so(store, accept, mark, words, at_once):
    undo = undo_document(mark(1), **OTHERS[words])
    receipt = accept(mark(1), undo) if at_once else (accept(mark(1)), accept(undo))[1]
    assert undo["id"] in receipt.stored
    (remark,) = [remark for remark in receipt.remarks if remark.id == undo["id"]]
    assert words in remark.detail
    assert "takes nothing back" in remark.detail
    assert [item["number"] for item in standing_marks(store, "small-links", 1)] == [1]
    told = records_since(store, "small-links", 1, 0)
    assert (len(told.marks), told.undone) == (1, [])


def test_an_undo_before_its_mark_takes_it_back_when_it_comes(store, accept, mark):
    assert accept(undo_document(mark(1))).remarks == []
    assert accept(mark(1)).remarks == []
    assert standing_marks(store, "small-links", 1) == []
    assert records_since(store, "small-links", 1, 1).marks == []


def test_what_is_new_is_told_by_sequence(store, accept, mark):
    accept(mark(1))
    assert records_since(store, "small-links", 1, 0).sequence == 1
    accept(mark(2))
    news = records_since(store, "small-links", 1, 1)
    assert (news.sequence, [item["number"] for item in news.marks]) == (2, [2])


def test_records_are_of_one_site_or_of_all(store, accept, mark):
    accept(mark(1))
    assert len(held_records_of(store)) == 1
    with pytest.raises(NotFoundError):
        held_records_of(store, "heath")
