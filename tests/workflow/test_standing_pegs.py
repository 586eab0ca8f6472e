"""Pegs as they stand: the site's own and those that crews placed, with what was last found of each."""

from datetime import UTC, datetime

import pytest

from fieldapp.workflow.set_out import bundle_of_hole
from fieldapp.workflow.sites import standing_site
from fieldapp.workflow.standing_pegs import pegs_of
from tests.field_records import accept_records, batch_of, peg_document, record_id, undo_document

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)
NEW = {"peg": "p1", "peg_kind": "reference", "state": "planned", "x": 1010.0, "y": 2190.0, "photos": []}


def at(hour):
    return {"made_at": f"2026-05-01T{hour:02d}:00:00.000Z"}


@pytest.fixture
def pegs(store, standing):
    """Takes records in and returns the pegs by their id."""

    def stand(*records):
        accept_records(store, "small-links", batch_of(*records), NOW)
        return {peg.peg.id: peg for peg in pegs_of(store, standing_site(store, "small-links").site)}

    return stand


def test_the_newest_report_by_its_own_time_counts(pegs):
    stand = pegs(peg_document(2, state="missing", **at(9)), peg_document(1, state="found", **at(8)))
    assert stand["c1"].state == "missing"
    assert not stand["c1"].is_in_place


def test_a_report_that_is_taken_back_or_practice_does_not_count(pegs):
    lost = peg_document(2, state="missing", **at(9))
    practised = peg_document(3, state="moved", practice=True, **at(10))
    stand = pegs(peg_document(1, **at(8)), lost, undo_document(lost), practised)
    assert stand["c1"].state == "found"


def test_a_planned_peg_is_driven_and_then_stands_where_it_was_driven(pegs):
    driven = {**NEW, "state": "new", "x": 1010.05, "y": 2190.02, "within_m": 0.02}
    planned = pegs(peg_document(1, **NEW, **at(8)))
    assert not planned["p1"].is_in_place
    stand = pegs(peg_document(2, **driven, **at(9)))
    assert (stand["p1"].peg.x, stand["p1"].peg.y, stand["p1"].within_m) == (1010.05, 2190.02, 0.02)
    assert stand["p1"].is_in_place


def test_the_place_of_a_peg_of_the_site_is_the_sites(pegs):
    stand = pegs(peg_document(1, state="reset", x=999.0, y=2000.0))
    assert (stand["c1"].peg.x, stand["c1"].peg.y) == (990.0, 2010.0)
    assert stand["c1"].state == "reset"


def test_a_peg_of_the_site_that_was_set_again_stands_within_the_radius_of_its_ties(store, pegs):
    again = peg_document(1, state="reset", x=990.01, y=2010.0, within_m=0.03, **at(8))
    stand = pegs(again, peg_document(2, state="found", **at(9)))
    assert (stand["c1"].within_m, stand["c1"].state) == (0.03, "found")
    assert bundle_of_hole(store, "small-links", 1, NOW)["peg_reports"][0]["within_m"] == 0.03


def test_a_peg_nobody_placed_is_no_peg(pegs):
    assert set(pegs(peg_document(1, peg="who"))) == {"c1"}


def test_the_bundle_tells_of_pegs_and_what_was_found(store, pegs):
    pegs(peg_document(1, **NEW, **at(8)), peg_document(2, **at(9)))
    bundle = bundle_of_hole(store, "small-links", 1, NOW)
    (own,) = bundle["field_pegs"]
    assert (own["id"], own["x"], own["within_m"]) == ("p1", 1010.0, None)
    assert own["placed"] == bundle["peg_reports"][1]["id"]
    assert [(report["peg"], report["state"]) for report in bundle["peg_reports"]] == [
        ("c1", "found"),
        ("p1", "planned"),
    ]
    assert bundle["tape"] == {"length_m": 30.0, "error_m": 0.01}
    assert [peg["id"] for peg in bundle["pegs"]] == ["c1"]


def test_a_peg_keeps_the_photos_of_all_its_reports_that_stand(store, pegs):
    first, again = record_id(5901), record_id(5902)
    wrong = peg_document(2, photos=[record_id(5903)], **at(9))
    later = peg_document(3, photos=[first, again], **at(10))
    stand = pegs(peg_document(1, photos=[first], **at(8)), wrong, undo_document(wrong), later)
    assert stand["c1"].photos == (first, again)
    assert bundle_of_hole(store, "small-links", 1, NOW)["peg_photos"] == [
        {"peg": "c1", "photos": [first, again]}
    ]


def test_the_bundle_tells_what_was_reported_before_too(store, pegs):
    states = ("found", "moved", "missing", "found", "moved")
    pegs(*(peg_document(turn, state=state, **at(turn + 1)) for turn, state in enumerate(states)))
    reports = bundle_of_hole(store, "small-links", 1, NOW)["peg_reports"]
    assert tuple(report["state"] for report in reports) == states[-4:]


def test_a_plan_that_comes_late_does_not_undo_that_a_peg_was_driven(store, pegs):
    driven = {**NEW, "state": "new", "x": 1010.05, "within_m": 0.02}
    stand = pegs(
        peg_document(1, **driven, **at(8)),
        peg_document(2, **NEW, **at(9)),
        peg_document(3, state="planned", x=1.0, y=2.0, placed_by="plan", **at(9)),
    )
    assert (stand["p1"].state, stand["p1"].peg.x, stand["p1"].within_m) == ("new", 1010.05, 0.02)
    assert (stand["c1"].state, stand["c1"].is_in_place) == (None, True)
    assert [one["id"] for one in bundle_of_hole(store, "small-links", 1, NOW)["peg_reports"]] == [
        record_id(1)
    ]


def test_a_plan_that_was_made_anew_counts_while_nothing_is_driven(pegs):
    stand = pegs(peg_document(1, **NEW, **at(8)), peg_document(2, **{**NEW, "x": 1011.0}, **at(9)))
    assert (stand["p1"].state, stand["p1"].peg.x) == ("planned", 1011.0)


SEEN = {
    ("missing", "found"): "found",
    ("moved", "found"): "moved",
    ("moved", "missing", "found"): "moved",
    ("moved", "found", "missing", "found", "found"): "moved",
    ("moved", "reset", "found"): "found",
    ("moved", "reset", "missing", "found"): "found",
}


@pytest.mark.parametrize("states", SEEN)
def test_to_be_seen_again_lifts_missing_and_nothing_else(pegs, states):
    """A move of 6 cm cannot be seen by eye."""
    place = {"reset": {"x": 990.0, "y": 2010.0}}
    documents = (
        peg_document(turn, state=state, **place.get(state, {}), **at(turn + 1))
        for turn, state in enumerate(states)
    )
    stand = pegs(*documents)
    assert stand["c1"].state == SEEN[states]
    assert stand["c1"].is_in_place == (SEEN[states] == "found")


def test_a_planned_peg_that_is_said_to_be_found_is_not_driven(pegs):
    seen = {**NEW, "state": "found", "x": None, "y": None}
    stand = pegs(peg_document(1, **NEW, **at(8)), peg_document(2, **seen, **at(9)))
    assert stand["p1"].state == "planned"


def test_a_report_dated_ahead_counts_as_made_when_it_came(store, pegs):
    ahead = peg_document(1, state="found", made_at="2031-05-01T08:00:00.000Z")
    accept_records(store, "small-links", batch_of(ahead), datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
    stand = pegs(peg_document(2, state="missing", **at(9)))
    assert stand["c1"].state == "missing"
    told = bundle_of_hole(store, "small-links", 1, NOW)["peg_reports"]
    assert [(one["state"], one["at"][:13]) for one in told] == [
        ("found", "2026-05-01T08"),
        ("missing", "2026-05-01T09"),
    ]


def test_however_often_a_peg_is_seen_the_radius_of_its_ties_is_told(store, pegs):
    again = peg_document(1, state="reset", x=990.01, y=2010.0, within_m=0.03, **at(1))
    pegs(again, *(peg_document(turn, state="found", **at(turn)) for turn in range(2, 9)))
    reports = bundle_of_hole(store, "small-links", 1, NOW)["peg_reports"]
    assert [(one["state"], one["within_m"]) for one in reports] == [("reset", 0.03), *[("found", None)] * 4]
