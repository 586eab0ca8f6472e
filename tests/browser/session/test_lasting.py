"""How long a receiver's errors last, set by hand: what may be typed, what follows, and what the page says of it."""

import pytest

pytestmark = pytest.mark.browser

TRIAL = {"id": "t", "peg": "c1", "found": {"parts": [[0.2, 0], [0.6, 40], [0.2, 1800]], "spread": 3}}
PROCESS = "(m, gauge) => m.processOf({ gauge })"


def gauge(trial=None, lasting=None):
    return {"trial": trial, "checkIn": None, "lasting": lasting}


def test_what_is_set_replaces_the_slow_part_and_leaves_the_rest_its_proportions(ask):
    lasting = {"share": 0.1, "tauS": 600}
    by_default, tried = (ask("gauge", PROCESS, gauge(trial, lasting)) for trial in (None, TRIAL))
    assert by_default["parts"] == [[pytest.approx(0.2), 0], [pytest.approx(0.7), 60], [0.1, 600]]
    assert tried["parts"] == [[pytest.approx(0.225), 0], [pytest.approx(0.675), 40], [0.1, 600]]
    assert (by_default["spread"], tried["spread"]) == (3, 3)
    bare = {**TRIAL, "found": {"parts": [[1, 1800]], "spread": 3}}
    assert ask("gauge", PROCESS, gauge(bare, lasting)) == by_default


def test_without_a_setting_the_trial_or_the_default_counts(ask):
    assert ask("gauge", PROCESS, gauge(TRIAL)) == TRIAL["found"]
    assert ask("gauge", PROCESS, gauge())["parts"][-1] == [0.55, 1800]


TYPED = [
    ("20", "40", {"share": 0.4, "tauS": 1200}),
    (" 2,5 ", "12.5", {"share": 0.125, "tauS": 150}),
    ("", "40", None),
    ("20", "", None),
    ("0.5", "40", None),
    ("20", "100", None),
    ("241", "40", None),
    ("half an hour", "40", None),
]


@pytest.mark.parametrize(("minutes", "percent", "lasting"), TYPED)
def test_what_is_typed_is_taken_or_refused_in_words(ask, minutes, percent, lasting):
    found = ask("lasting", "(m, typed) => m.lastingTyped(typed)", {"minutes": minutes, "percent": percent})
    words = {"fault": "Write a share of 5 to 95 % and a time of 1 to 240 minutes."}
    assert found == (words if lasting is None else {"lasting": lasting})


@pytest.mark.parametrize("kept", [None, "x", {}, {"share": 2, "tauS": 600}, {"share": 0.4, "tauS": "600"}])
def test_a_kept_setting_that_nobody_could_have_typed_is_not_believed(ask, kept):
    assert ask("lasting", "(m, kept) => m.lastingFrom(kept)", kept) is None


MODEL = "(m, gauge) => m.lastingModel({ gauge })"


def test_the_sheet_says_what_counts_and_where_it_is_from(ask):
    lasting = {"share": 0.4, "tauS": 1200}
    said = [
        ask("lasting", MODEL, gauge(trial, hand))
        for trial, hand in [(None, None), (TRIAL, None), (TRIAL, lasting)]
    ]
    assert [one["now"].split("Now ")[1] for one in said] == [
        "55 % for about 30 min: the default.",
        "20 % for about 30 min: the trial on peg c1.",
        "40 % for about 20 min: set by hand.",
    ]
    assert [one["back"] for one in said] == [None, None, "Back to the trial on peg c1"]
    assert said[0]["about"][0].startswith("The default is 55 % for about 30 min. The time is")
    assert (said[2]["percent"], said[2]["minutes"]) == ("40", "20")


def test_the_basis_of_a_reading_says_that_it_was_set_by_hand(ask):
    code = "(m, [gauge, fixes]) => m.basisWords({ gauge }, { radius95M: 3, reading: { fixes, seconds: 30 } })"
    given = gauge(lasting={"share": 0.4, "tauS": 1200})
    words = "how long its errors last set by hand, 40 % for about 20 min"
    assert ask("placing", code, [given, 31]).endswith(words)
    assert "by hand" not in ask("placing", code, [given, 1])
    assert "by hand" not in ask("placing", code, [gauge(), 31])
