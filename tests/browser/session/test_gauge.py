"""What is known of a receiver: what dropping a trial or a check-in takes back in the record."""

import pytest

pytestmark = pytest.mark.browser

DROPPED = {
    "a check-in": ("checkIn", "t", "c", ["t", None], "c"),
    "the check-in that a trial was": ("checkIn", "t", "t", ["t", None], None),
    "a trial": ("trial", "t", "c", [None, "c"], "t"),
    "a trial that is the check-in too": ("trial", "t", "t", [None, None], "t"),
    "a check-in of an untried receiver": ("checkIn", None, "c", [None, None], "c"),
}


@pytest.mark.parametrize("name", DROPPED)
def test_dropping_takes_back_the_record_of_which_nothing_is_used_any_more(ask, name):
    what, trial, check_in, left, undoes = DROPPED[name]
    given = {"what": what, "gauge": {"trial": trial and {"id": trial}, "checkIn": {"id": check_in}}}
    found = ask("gauge", "(m, { gauge, what }) => m.gaugeWithout(gauge, what)", given)
    kept = [found["gauge"][key] for key in ("trial", "checkIn")]
    assert [part and part["id"] for part in kept] == left
    assert found["undoes"] == undoes
