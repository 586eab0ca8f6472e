"""In which order records are sent, and which of the sent ones a phone may forget."""

import pytest

pytestmark = pytest.mark.browser

MODULE = "../device/record_order"


def entry(ident, made_at="2026-05-01T09:00:00.000Z", nth=0, acked=0, undoes=None):
    record = {"id": ident, "kind": "undo" if undoes else "mark", "made_at": made_at, "undoes": undoes}
    return {"record": record, "nth": nth, "ackedAt": acked}


def in_order(ask, *entries):
    return ask(MODULE, "(m, entries) => m.inOrder(entries).map((e) => e.record.id)", list(entries))


def test_records_go_in_the_order_made_not_of_their_ids(ask):
    late, early = entry("a", "2026-05-01T09:00:02.000Z"), entry("b", "2026-05-01T09:00:01.000Z")
    assert in_order(ask, late, early) == ["b", "a"]


def test_records_of_one_millisecond_go_as_they_were_added(ask):
    assert in_order(ask, entry("a", nth=3), entry("b", nth=1), entry("c", nth=2)) == ["b", "c", "a"]


def test_records_go_as_they_were_added_although_the_clock_was_put_back(ask):
    first = entry("a", "2026-05-03T09:00:00.000Z", nth=1)
    assert in_order(ask, entry("b", "2026-05-01T09:00:00.000Z", nth=2), first) == ["a", "b"]


def test_a_record_kept_by_an_older_page_goes_before_those_with_a_number(ask):
    older = entry("z")
    del older["nth"]
    assert in_order(ask, entry("a", nth=1), older) == ["z", "a"]


def forgotten(ask, *sent, outbox=(), most=2, seen_at=100):
    given = [{"sent": list(sent), "outbox": list(outbox)}, seen_at, most]
    return ask(MODULE, "(m, given) => m.forgettable(...given).map((e) => e.record.id)", given)


def test_the_oldest_sent_records_are_forgotten(ask):
    assert forgotten(ask, entry("a", acked=1), entry("b", acked=2), entry("c", acked=3)) == ["a"]


def test_a_mark_and_the_record_that_takes_it_back_are_forgotten_together(ask):
    sent = [entry("m", acked=1), entry("x", acked=2), entry("y", acked=3), entry("u", acked=4, undoes="m")]
    assert forgotten(ask, *sent, most=3) == ["x"]


def test_a_mark_whose_undo_still_waits_is_not_forgotten(ask):
    assert forgotten(ask, entry("m", acked=1), outbox=[entry("u", undoes="m")], most=0) == []


def test_what_the_server_has_not_told_of_since_is_not_forgotten(ask):
    assert forgotten(ask, entry("a", acked=150), most=0) == []
