"""Yardage checks taken in: stored whatever they say, with remarks about what does not fit, and taken back."""

import math
from datetime import UTC, datetime

import pytest

from fieldapp.play.yardage import straight_range95_m
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
TARGET = yardage_document()["target"] | {"basis": "drawn"}
PLANNED = TARGET | {"bunker": "egg", "figure": "along", "basis": "planned"}
PLANNED_M = 250 * 0.9144
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
        own = {"reading": reading, "measured_m": straight_m, "planned_m": straight_m - 0.1, "target": TARGET}
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
    "a range that its parts do not make": (
        {"range95_m": 0.3},
        "The phone gives a range of ± 0.30 m, its parts make ± 0.70 m.",
    ),
    "a range that leaves the slope of the edge out": (
        {"edge_slope": 1.0},
        "The phone gives a range of ± 0.70 m, its parts make ± 0.94 m.",
    ),
    "a range of a grid that is not known": (
        {"grid95_m": None},
        "The phone gives a range of ± 0.70 m, though a part of it is not known.",
    ),
    "a range of a receiver without a figure": ({"reading95_m": None}, "though a part of it is not known."),
    "a line that misses the sand": (
        {"line_effect_m": None, "own_line_m": None},
        "'agrees', its own figures do not bear",
    ),
    "a plan that there is not": (
        {"target": TARGET | {"basis": "planned"}},
        "The plan of bunker 'square' has no figure 'reach' from tee 'white'.",
    ),
    "a figure planned otherwise": (
        {"target": PLANNED, "planned_m": PLANNED_M + 0.01},
        "The phone compared it with 228.61 m, the plan has 228.60 m.",
    ),
    "a tolerance planned otherwise": (
        {"target": PLANNED, "planned_m": PLANNED_M, "tolerance_m": 2.0},
        "The phone allowed 2.00 m, the plan allows 0.91 m.",
    ),
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


def test_what_fits_the_plan_gets_no_remark_of_it_nor_does_a_revision_that_stands_no_longer(accept, check):
    told = remarks(accept(check(6301, target=PLANNED, planned_m=PLANNED_M)))
    assert "the plan" not in told
    older = PLANNED | {"revision": "0"}
    assert "the plan" not in remarks(accept(check(6302, target=older, planned_m=1.0)))


def test_the_middle_has_no_line_to_miss(accept, check):
    given = {"figure": "along", "basis": "drawn"}
    unlined = {"line_effect_m": None, "own_line_m": None, "off_line_m": None, "edge_slope": None}
    reading = {"range95_m": straight_range95_m(0.8, 0.3)}
    told = remarks(accept(check(target=TARGET | given, **unlined, **reading)))
    assert "bear that out" not in told
    assert "range" not in told


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
