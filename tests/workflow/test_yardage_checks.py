"""Yardage checks taken in: stored whatever they say, with remarks about what does not fit, and taken back."""

import math
from datetime import UTC, datetime

import pytest

from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.sites import load_site
from tests.field_records import (
    READING,
    accept_records,
    batch_of,
    undo_document,
    yardage_document,
)

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)
LATER = datetime(2026, 5, 2, 18, 0, tzinfo=UTC)
TARGET = yardage_document()["target"]
AT = (1022.0, 2200.0)
STRAIGHT_M = math.hypot(22.0, 200.0)


@pytest.fixture
def accept(store):
    def taken(*records, **header):
        return accept_records(store, "small-links", batch_of(*records, **header), NOW)

    return taken


@pytest.fixture
def check(standing):
    """Makes a check at a place on the course whose figures bear each other out."""

    def made(number=6001, at=AT, **changes):
        lon, lat = standing.grid.to_gnss(at)
        scale = standing.ground_scale(1)
        straight_m = math.dist(at, (1000.0, 2000.0)) * scale
        reading = READING | {"lat_deg": float(lat), "lon_deg": float(lon)}
        own = {"reading": reading, "measured_m": straight_m, "planned_m": straight_m - 0.1}
        return yardage_document(number, **{**own, **changes})

    return made


def only(store):
    (item,) = held_records_of(store, "small-links")
    return item


def remarks(receipt):
    assert receipt.refused == []
    assert len(receipt.stored) >= 1
    return " ".join(remark.detail for remark in receipt.remarks)


def test_a_check_that_fits_gets_no_remark_and_lies_where_it_was_read(store, accept, check):
    assert remarks(accept(check())) == ""
    item = only(store)
    assert item.course_xy == pytest.approx(AT, abs=1e-5)
    assert (item.off_m, item.remarks) == (None, "")
    assert item.record.measured_m == pytest.approx(STRAIGHT_M, rel=1e-5)


def test_along_and_offset_are_held_against_the_line_of_play(accept, check, standing):
    # The line runs from 1000, 2000 to 1010, 2350: along is the dot product with it, right of it the cross product.
    scale = standing.ground_scale(1)
    along = (22 * 10 + 200 * 350) / math.hypot(10, 350) * scale
    offset = (22 * 350 - 200 * 10) / math.hypot(10, 350) * scale
    for figure, right, wrong in (("along", along, along + 0.02), ("offset", offset, -offset)):
        target = TARGET | {"figure": figure}
        good = {"target": target, "measured_m": right, "planned_m": right}
        assert remarks(accept(check(6100 + len(figure), **good))) == ""
        bad = {"target": target, "measured_m": wrong, "planned_m": wrong}
        assert "its position says" in remarks(accept(check(6200 + len(figure), **bad)))


MISFITS = {
    "a bunker that is not there": ({"target": TARGET | {"bunker": "moon"}}, "no bunker 'moon'"),
    "a revision that never was": ({"target": TARGET | {"revision": "Q"}}, "never had a revision 'Q'"),
    "a tee that is not there": ({"target": TARGET | {"tee": "gold"}}, "The site has no tee 'gold'."),
    "a tee that lies elsewhere": (
        {"target": TARGET | {"tee_y": 2000.5}},
        "The phone's tee 'white' lies 0.50 m from where the plan has it now.",
    ),
    "a figure that its position belies": (
        {"measured_m": STRAIGHT_M + 0.02, "planned_m": STRAIGHT_M},
        "The phone measured 201.23 m, its position says 201.21 m.",
    ),
    "a verdict that its figures belie": ({"verdict": "differs"}, "'differs', its own figures do not bear"),
    "a range too wide for its verdict": ({"range95_m": 0.9}, "'agrees', its own figures do not bear"),
    "a hole that is not there": ({"hole": 9}, "The site has no hole 9."),
    "practice by its receiver": (
        {"receiver": "practice phone-grade"},
        "so it is practice and does not count",
    ),
}


@pytest.mark.parametrize("name", MISFITS)
def test_a_check_that_does_not_fit_is_stored_and_says_so(store, accept, check, name):
    changes, words = MISFITS[name]
    assert words in remarks(accept(check(**changes)))
    assert len(held_records_of(store, "small-links")) == 1


def test_a_check_that_cannot_tell_is_stored_as_such(store, accept, check):
    assert remarks(accept(check(verdict="cannot tell", range95_m=None, settle="Stand longer."))) == ""
    assert (only(store).record.verdict, only(store).record.settle) == ("cannot tell", "Stand longer.")


def test_a_check_on_another_continent_says_how_far_that_is(accept, check):
    far = READING | {"lat_deg": -57.0, "lon_deg": 170.0}
    assert "km from the site" in remarks(accept(check(reading=far)))


def test_a_check_of_a_superseded_revision_says_so(store, accept, check, folder, change):
    change('revision = "A"', 'revision = "B"')
    load_site(store, folder, LATER)
    assert "Revision 'A' has been superseded by 'B'." in remarks(accept(check()))


def test_a_check_is_taken_back_by_its_own_phone_only(store, accept, check):
    made, other = check(1), check(2)
    accept(made, other, undo_document(made, 3), undo_document(other, 4, device="phone 9"))
    undone = {item.record.id: item.undone_by for item in held_records_of(store, "small-links")}
    assert undone[made["id"]] is not None
    assert undone[other["id"]] is None


def test_a_check_never_binds_a_revision_as_a_mark_does(store, accept, check, folder, change):
    accept(check())
    change("[1024.0, 2204.0]", "[1025.0, 2205.0]")
    assert load_site(store, folder, LATER).new
