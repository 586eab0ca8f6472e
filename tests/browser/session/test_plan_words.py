"""What is said of the plans kept on the phone."""

import pytest

pytestmark = pytest.mark.browser

MINUTE, HOUR, DAY = 60e3, 3600e3, 86400e3
AGES = [
    (0, "just now"),
    (80e3, "just now"),
    (2 * MINUTE, "2 minutes ago"),
    (89 * MINUTE, "89 minutes ago"),
    (2 * HOUR, "2 hours ago"),
    (35 * HOUR, "35 hours ago"),
    (2 * DAY, "2 days ago"),
    (-2 * DAY, "at a time this phone's clock has not reached"),
]


@pytest.mark.parametrize(("age", "words"), AGES)
def test_an_age_is_told_in_the_unit_a_person_would_use(ask, age, words):
    assert ask("plan_words", "(m, age) => m.agoWords(1e12 - age, 1e12)", age) == words


def plan(age_ms=0, *revisions):
    return {
        "bundle": {"bunkers": [{"revision": letter} for letter in revisions or ("A",)]},
        "keptAt": 1e12 - age_ms,
    }


def test_a_plan_tells_its_revisions_and_how_old_it_is(ask):
    told = ask("plan_words", "(m, p) => m.planWords(p, 1e12)", plan(2 * DAY, "B", "A", "B"))
    assert told == "revisions B and A, as on the server 2 days ago"


KEPT = [
    ([None, None], "No plan is kept on this phone yet."),
    (
        [plan(), plan(3 * HOUR)],
        "The plans of all 2 holes are kept on this phone, as on the server 3 hours ago.",
    ),
    ([plan()], "The plan of the one hole is kept on this phone, as on the server just now."),
    ([plan(), None, None], "The plans of 1 of 3 holes are kept on this phone, as on the server just now."),
]


@pytest.mark.parametrize(("plans", "words"), KEPT)
def test_how_much_of_a_site_is_kept_is_as_old_as_its_oldest_plan(ask, plans, words):
    assert ask("plan_words", "(m, plans) => m.keptWords(plans, 1e12)", plans) == words


def test_a_newer_plan_is_announced_by_its_revision_or_by_what_moved(ask):
    newer = "(m, change) => m.newerWords(change)"
    assert ask("plan_words", newer, {"revisions": ["C"], "gone": []}) == "A newer plan is here: revision C."
    assert (
        ask("plan_words", newer, {"revisions": [], "gone": []}) == "A newer plan is here: points have moved."
    )
