"""Taped distances taken in: the server reckons them again and says where the phone's verdict is not borne out."""

import math
from datetime import UTC, datetime

import pytest

from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.sites import standing_site
from fieldapp.workflow.taped_checks import what_tapes_say
from tests.field_records import accept_records, batch_of
from tests.taped_records import SIX, taped

NOW = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def remarks(store):
    """Takes a record in and returns what is remarked about it."""

    def told(document):
        receipt = accept_records(store, "small-links", batch_of(document), NOW)
        assert list(receipt.refused) == []
        return " ".join(remark.detail for remark in receipt.remarks)

    return told


def test_a_verdict_that_the_distances_bear_out_has_no_remark(remarks, standing):
    assert remarks(taped(standing)) == ""


def test_a_moved_peg_that_the_phone_named_has_no_remark(remarks, standing):
    document = taped(standing, moved=("r2", 0.07, 0.06), verdict="misfit", suspects=["r2"])
    assert remarks(document) == ""


def test_distances_that_do_not_fit_do_not_bear_out_all_fit(remarks, standing):
    told = remarks(taped(standing, moved=("r2", 0.07, 0.06)))
    assert told == "The phone's verdict is 'all fit', its distances say 'misfit'."


def test_too_few_distances_do_not_bear_out_all_fit(remarks, standing):
    assert "its distances say 'cannot tell'" in remarks(taped(standing, SIX[:2]))


def test_another_peg_named_is_remarked(remarks, standing):
    document = taped(standing, moved=("r2", 0.07, 0.06), verdict="misfit", suspects=["r4"])
    assert remarks(document) == "The phone suspects other pegs or another distance than its distances do."


def test_a_peg_of_the_site_that_the_phone_had_elsewhere_is_remarked(remarks, standing):
    document = taped(standing)
    document["pegs"][0] |= {"peg": "c1"}
    document["lines"] = [line | {"one": "c1"} if line["one"] == "r1" else line for line in document["lines"]]
    assert "peg 'c1' lies" in remarks(document)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"one": "r9"}, "not in the network"),
        ({"other": "r1"}, "from a peg to itself"),
        ({"distance_m": 0}, "a length above 0"),
        ({"level_difference_m": 90.0}, "shorter than the difference in level"),
    ],
)
def test_lines_that_are_none_are_stored_and_remarked(remarks, standing, change, words):
    document = taped(standing)
    document["lines"][0] |= change
    told = remarks(document)
    assert "It cannot be reckoned again:" in told
    assert words in told


def test_a_record_of_very_many_lines_is_not_reckoned(remarks, standing):
    document = taped(standing)
    assert "more than 12 pegs or 40 distances" in remarks(document | {"lines": document["lines"] * 10})


def test_lines_on_a_slope_are_reduced_by_their_levels(store, remarks, standing):
    document = taped(standing)
    line = document["lines"][0]
    line |= {"distance_m": math.hypot(line["distance_m"], 1.5), "level_difference_m": -1.5}
    assert remarks(document) == ""
    (held,) = held_records_of(store, "small-links", kinds=("taped",))
    found = what_tapes_say(held.record, standing_site(store, "small-links").ground_scale(1))
    assert found.chi_square == pytest.approx(0.0, abs=1e-9)
