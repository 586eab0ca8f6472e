"""Readings, check-ins and trials taken in: whose position counts, and remarks about what does not fit."""

from datetime import UTC, datetime, timedelta

import pytest

from fieldapp.workflow.records import held_records_of, standing_marks
from tests.field_records import (
    READING,
    accept_records,
    batch_of,
    check_in_document,
    trial_document,
    undo_document,
)

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)


@pytest.fixture
def accept(store):
    def taken(*records, **header):
        return accept_records(store, "small-links", batch_of(*records, **header), NOW)

    return taken


@pytest.fixture
def reading_at(standing):
    """Makes a reading at a place on the course."""

    def made(x, y, **changes):
        lon, lat = standing.grid.to_gnss([x, y])
        return READING | {"lat_deg": float(lat), "lon_deg": float(lon)} | changes

    return made


@pytest.fixture
def check_in(reading_at):
    """Makes a check-in whose reading lies where its shift says."""

    def made(east_m=1.5, north_m=-2.0, **changes):
        reading = reading_at(990.0 + east_m, 2010.0 + north_m)
        return check_in_document(reading=reading, shift_x_m=east_m, shift_y_m=north_m, **changes)

    return made


def only(store):
    (item,) = held_records_of(store, "small-links")
    return item


def remarks(receipt):
    return " ".join(remark.detail for remark in receipt.remarks)


def test_a_mark_lies_where_its_reading_says_not_its_last_fix(store, accept, mark, reading_at):
    made = mark(1, east_m=3.0, off_m=0.5)
    x, y = made["target"]["x"], made["target"]["y"]
    accept(made | {"reading": reading_at(x + 0.5, y, radius95_m=0.9), "verdict": "cannot tell"})
    item = only(store)
    assert item.course_xy == pytest.approx((x + 0.5, y), abs=1e-5)
    assert item.off_m == pytest.approx(0.5, abs=1e-4)
    assert item.remarks == ""
    assert standing_marks(store, "small-links", 1)[0]["radius95_m"] == 0.9


def test_a_verdict_is_held_against_the_radius_of_the_reading(accept, mark, reading_at):
    made = mark(1, off_m=0.0)
    reading = reading_at(made["target"]["x"], made["target"]["y"], radius95_m=5.0)
    assert "does not bear that out" in remarks(accept(made | {"reading": reading}))


def test_a_mark_made_on_another_continent_says_how_far_that_is(store, accept, mark):
    made = mark(1)
    far = made["fix"] | {"lat_deg": 10.0, "lon_deg": -9.4}
    said = remarks(accept(made | {"fix": far}))
    assert said == "The position lies 5,237 km from the site."
    assert len(held_records_of(store, "small-links")) == 1


def test_a_check_in_that_fits_gets_no_remark_and_lies_where_it_was_read(store, accept, check_in):
    receipt = accept(check_in())
    assert (receipt.refused, receipt.remarks) == ([], [])
    item = only(store)
    assert item.course_xy == pytest.approx((991.5, 2008.0), abs=1e-5)
    assert item.off_m == pytest.approx(2.5, abs=1e-3)


CHECK_IN_MISFITS = {
    "a peg the site does not have": ({"peg": "c9"}, "The site has no peg 'c9'."),
    "a peg that lies elsewhere": (
        {"peg_x": 990.5, "shift_x_m": 1.0},
        "lies 0.50 m from where the site has it",
    ),
    "another shift than its reading's": ({"shift_x_m": 1.9}, "differs by 0.40 m from what its reading says"),
    "a hole the site does not have": ({"hole": 9}, "no hole 9"),
}


@pytest.mark.parametrize("name", CHECK_IN_MISFITS)
def test_a_check_in_that_does_not_fit_is_stored_and_says_so(store, accept, check_in, name):
    changes, words = CHECK_IN_MISFITS[name]
    receipt = accept(check_in() | changes)
    assert len(receipt.stored) == 1
    assert words in remarks(receipt)


def test_a_shift_no_receiver_makes_asks_for_the_right_peg(accept, check_in):
    assert "It lies 80 m from peg 'c1'" in remarks(accept(check_in(80.0, 0.0)))


def test_a_check_in_on_another_continent_says_how_far_that_is(accept, check_in):
    made = check_in()
    far = made["reading"] | {"lat_deg": -57.0, "lon_deg": 170.0}
    assert "km from the site" in remarks(accept(made | {"reading": far}))


def test_a_trial_is_held_with_its_process_and_its_peg_is_looked_at(store, accept):
    receipt = accept(trial_document(peg="c9"))
    assert remarks(receipt) == "The site has no peg 'c9'."
    assert only(store).record.parts == ((0.25, 0.0), (0.75, 90.5))


def test_a_check_in_and_a_trial_can_be_taken_back(store, accept, check_in):
    records = [check_in(), trial_document()]
    accept(*records, *(undo_document(made, 9000 + turn) for turn, made in enumerate(records)))
    held = held_records_of(store, "small-links")
    assert [item.undone_by is not None for item in held] == [True, True, False, False]


def test_a_check_in_moves_no_paint_point_and_is_no_mark(store, accept, check_in):
    accept(check_in())
    assert standing_marks(store, "small-links", 1) == []


AHEAD = (NOW + timedelta(days=2)).isoformat()
BEHIND = (NOW - timedelta(hours=3)).isoformat()


def test_a_mark_of_a_clock_two_days_ahead_keeps_its_time_and_is_remarked(store, accept, mark):
    said = remarks(accept(mark(1, made_at=AHEAD)))
    assert said == "The phone's clock said 2026-05-04 12:00 UTC, 2 days ahead of the server's."
    assert only(store).record.made_at == NOW + timedelta(days=2)


def test_a_clock_that_is_behind_shows_by_what_it_said_when_it_sent(accept, mark):
    said = remarks(accept(mark(1, made_at=BEHIND), sent_at=BEHIND))
    assert said == "The phone's clock said 2026-05-02 09:00 UTC, 3 hours behind the server's."


def test_a_mark_that_waited_days_without_signal_is_not_remarked(accept, mark):
    assert remarks(accept(mark(1), sent_at=NOW.isoformat())) == ""


def test_a_time_before_this_server_knew_the_site_is_remarked(accept, mark):
    said = remarks(accept(mark(1, made_at="1980-01-06T00:00:00Z")))
    assert "said 1980-01-06 00:00 UTC, before this server knew the site (2026-05-01 12:00 UTC)" in said


def test_what_a_phone_says_of_its_clock_that_cannot_be_read_spoils_nothing(accept, mark):
    assert len(accept(mark(1), sent_at="noon").stored) == 1


def test_whose_link_a_record_came_by_is_kept(store, mark):
    accept_records(store, "small-links", batch_of(mark(1)), NOW, came_by="Crew of the morning")
    assert only(store).came_by == "Crew of the morning"


def test_a_record_that_comes_again_by_another_link_is_the_same_record(store, mark):
    for name in ("one", "other"):
        assert accept_records(store, "small-links", batch_of(mark(1)), NOW, came_by=name).refused == []
    assert only(store).came_by == "one"
