"""Mornings and measurements taken in: the server looks whether the pegs stood that they were taken from."""

from datetime import UTC, datetime, timedelta

import pytest

from tests.field_records import (
    accept_records,
    batch_of,
    capture_document,
    morning_document,
    peg_document,
    record_id,
    undo_document,
)
from tests.taped_records import PLACES, SIX, taped

NOW = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)
START = datetime(2026, 5, 2, 6, 0, tzinfo=UTC)


def at(minutes):
    return {"made_at": (START + timedelta(minutes=minutes)).isoformat(timespec="milliseconds")[:-6] + "Z"}


def placed(number, peg, minutes=0, **changes):
    x, y = PLACES[peg]
    place = {"peg": peg, "peg_kind": "reference", "x": x, "y": y, "within_m": 0.01, "photos": []}
    return peg_document(number, **{**place, "state": "new", **changes}, **at(minutes))


def reported(number, peg, state, minutes):
    return peg_document(number, peg=peg, peg_kind="reference", state=state, photos=[], **at(minutes))


PEGS = [placed(number, peg) for number, peg in enumerate(PLACES, 1)]


def morning(**changes):
    found = {"states": [[peg, "found"] for peg in PLACES], "verdict": "go on", "reset": []}
    return morning_document(**{**found, **changes}, **at(60))


@pytest.fixture
def remarks(store, standing):
    """Takes records in at once and returns what is remarked, by id."""

    def told(*records, later=()):
        for batch in (records, later) if later else (records,):
            receipt = accept_records(store, "small-links", batch_of(*batch), NOW)
            assert list(receipt.refused) == []
        return {remark.id: remark.detail for remark in receipt.remarks}

    return told


def tapes(standing, **changes):
    return taped(standing, **changes, **at(60))


def test_a_morning_that_is_borne_out_has_no_remark(remarks, standing):
    assert remarks(*PEGS, later=[tapes(standing), morning()]) == {}


def against(remarks, *records, of=None):
    of = of or morning()
    return remarks(*PEGS, later=[*records, of]).get(of["id"], "")


def test_go_on_with_a_peg_that_was_found_moved_is_remarked(remarks, standing):
    states = [["r1", "found"], ["r2", "moved"], ["r3", "found"], ["r4", "missing"]]
    told = against(remarks, tapes(standing), of=morning(states=states))
    assert told == (
        "The phone's verdict 'go on' is not borne out: peg 'r2' was found moved, peg 'r4' was found missing."
    )


def test_go_on_with_nothing_taped_is_remarked(remarks):
    assert "not borne out: nothing was taped." in against(remarks, of=morning(taped=None))


def test_go_on_with_distances_that_do_not_fit_is_remarked(remarks, standing):
    record = tapes(standing, moved=("r2", 0.07, 0.06))
    assert "its taped distances say 'misfit'" in against(remarks, record)


def test_go_on_with_distances_that_the_phone_itself_could_not_tell_of_is_remarked(remarks, standing):
    record = tapes(standing, ends=SIX[:2], verdict="cannot tell")
    assert "its taped distances say 'cannot tell'" in against(remarks, record)


def test_go_on_with_a_peg_that_stands_as_moved_or_that_nobody_saw_is_remarked(remarks, standing):
    lost, seen = reported(11, "r3", "moved", 10), reported(12, "r3", "found", 50)
    states = [["r1", "found"], ["r2", "found"], ["r3", "found"]]
    told = against(remarks, lost, seen, tapes(standing), of=morning(states=states))
    assert "by what was reported peg 'r3' has moved" in told
    assert "peg 'r4' was not seen" in told


def test_what_was_reported_after_the_morning_does_not_speak_against_it(remarks, standing):
    later = reported(11, "r3", "missing", 90)
    assert against(remarks, later, tapes(standing)) == ""


def test_another_verdict_is_not_looked_at(remarks):
    cannot = morning(verdict="cannot tell", taped=None)
    assert against(remarks, of=cannot) == ""


def captured(**changes):
    return capture_document(**changes, **at(60))


def test_a_capture_from_a_peg_of_the_crew_that_had_moved_is_remarked(remarks):
    told = remarks(
        *PEGS[:1], placed(2, "r2", x=1030.0, y=2190.0), reported(11, "r2", "moved", 30), captured()
    )
    assert "Peg 'r2' was measured from, though by what was reported it has moved." in told[record_id(3001)]


def test_a_report_taken_back_or_of_after_the_capture_is_not_held_against_it(remarks):
    lost, late = reported(11, "r1", "missing", 30), reported(12, "r2", "missing", 90)
    pegs = [*PEGS[:1], placed(2, "r2", x=1030.0, y=2190.0)]
    assert record_id(3001) not in remarks(*pegs, lost, undo_document(lost), late, captured())
    assert remarks(*pegs, lost, late, later=[captured(number=3002)]) == {}


def test_a_peg_of_the_crew_that_lies_elsewhere_than_the_phone_had_it_is_remarked_in_ground_metres(
    remarks, standing
):
    told = remarks(placed(1, "r1", x=1010.0, y=2192.0), captured())[record_id(3001)]
    wanted = 2 * standing.ground_scale(1)
    assert f"The phone's peg 'r1' lies {wanted:,.2f} m from where it stood then." in told


def test_tapes_from_a_peg_that_was_missing_are_remarked(remarks, standing):
    told = remarks(*PEGS, reported(11, "r4", "missing", 30), later=[tapes(standing)])
    assert "Peg 'r4' was measured from, though by what was reported it is missing." in told[record_id(4001)]


def test_a_plan_for_a_peg_that_is_there_is_remarked(remarks):
    told = remarks(*PEGS, later=[placed(11, "r1", 30, state="planned", within_m=None)])
    assert told[record_id(11)] == "Peg 'r1' is there already, so this plan for it does not count."
