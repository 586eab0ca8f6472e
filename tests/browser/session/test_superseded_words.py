"""What the phone says of a revision that stands no more, and when it has news."""

import pytest

pytestmark = pytest.mark.browser

BUNDLE = {
    "bunkers": [{"id": "r", "name": "Right", "revision": "B"}, {"id": "l", "name": "Left", "revision": "A"}]
}
FRESH = {"bunkers": [{"id": "r", "revision": "C"}, {"id": "l", "revision": "A"}]}
NOTICE = "(m, [job, told]) => m.planNotice(job, told)"


@pytest.mark.parametrize(
    ("told", "by"), [({}, None), ({"r": "B"}, None), ({"r": "C", "l": "Z"}, "C"), ({"l": "B"}, None)]
)
def test_only_another_revision_of_the_bunker_in_hand_supersedes(ask, told, by):
    assert ask("superseded", "(m, [b, told]) => m.supersededBy(b, 'r', told)", [BUNDLE, told]) == by
    assert ask("superseded", "(m, [b, told]) => m.supersededBy(b, 'gone', told)", [BUNDLE, told]) is None


def notice(ask, bunker="r", **told):
    job = {"bundle": BUNDLE, "bunkerId": bunker}
    return ask("superseded", NOTICE, [job, {"newer": None, "change": None, "revisions": {}} | told])


def test_it_is_said_at_once_and_can_be_taken_once_its_plan_is_here(ask):
    assert notice(ask) is None
    told = notice(ask, revisions={"r": "C"})
    assert (told["kind"], told["title"], told["take"]) == ("superseded", "Superseded by C", None)
    assert told["words"].startswith("You work from B. Paint from B already on the ground")
    assert notice(ask, newer=FRESH, change={"revisions": ["C"], "gone": []})["take"] == "Take C"


def test_a_plan_that_changes_another_bunker_is_a_newer_plan_only(ask):
    told = notice(ask, bunker="l", newer=FRESH, change={"revisions": ["C"], "gone": []})
    assert (told["kind"], told["title"]) == ("newer", "A newer plan is here: revision C.")
    assert told["take"] == "Take it"


def test_a_bunker_that_was_taken_out_is_told_and_nobody_is_led_to_another_unseen(ask):
    heard = "(m, [was, told, bundle]) => m.heard(was, told, bundle, 'r')"
    after = ask("superseded", heard, [{"r": "B", "l": "A"}, {"l": "A"}, BUNDLE])
    assert after == {"r": None, "l": "A"}
    of_hole = "(m, [was, told, bundle]) => m.heard(was, told, bundle, 'r', true)"
    assert ask("superseded", of_hole, [{"r": "B"}, {}, BUNDLE]) == {"r": None}
    assert ask("superseded", of_hole, [{"r": "B"}, {"r": "B"}, BUNDLE]) == {"r": "B"}
    told = notice(ask, revisions=after)
    assert (told["kind"], told["title"], told["take"]) == ("superseded", "Right is out of the plan", None)
    assert "You work from B, and no revision of it stands on this hole." in told["words"]
    change = {"revisions": [], "gone": ["Right"]}
    left = {"bunkers": BUNDLE["bunkers"][1:]}
    assert notice(ask, newer=left, change=change)["take"] == "Take the new plan"
    assert notice(ask, newer={"bunkers": []}, change=change)["take"] is None


def test_what_is_told_of_another_hole_takes_nothing_out(ask):
    heard = "(m, [was, told, bundle]) => m.heard(was, told, bundle, 'r')"
    assert ask("superseded", heard, [{"r": "B"}, {"x": "A"}, BUNDLE]) == {"r": "B", "x": "A"}
    assert notice(ask, revisions={"x": "A"}) is None
    assert notice(ask, revisions={}) is None


ROWS = [
    ({"kept": "B", "stands": "B", "painted": ["B", "B"]}, None),
    (
        {"kept": "B", "stands": "C", "painted": ["B"]},
        "B is superseded by C | The plan of C is not on this phone yet.",
    ),
    (
        {"kept": "C", "stands": "C", "painted": ["B", "C"]},
        "B is superseded by C | 1 point is painted from B: the site page tells what to re-mark.",
    ),
    (
        {"kept": "C", "stands": "C", "painted": ["A", "B", "B"]},
        "A, B are superseded by C | 3 points are painted from A, B: the site page tells what to re-mark.",
    ),
]


@pytest.mark.parametrize(("given", "words"), ROWS)
def test_the_list_of_bunkers_tells_of_plans_and_paint_of_an_older_revision(ask, given, words):
    found = ask("superseded", "(m, given) => m.supersededRow(given)", given)
    assert (found and f"{found['title']} | {found['words']}") == words


@pytest.mark.parametrize(
    ("told", "news"), [({"r": "B"}, False), ({"r": "C"}, True), ({"x": "C"}, False), ({}, False)]
)
def test_what_is_told_is_news_where_the_list_has_another(ask, told, news):
    index = {"holes": [BUNDLE]}
    assert ask("superseded", "(m, [index, told]) => m.isNews(index, told)", [index, told]) is news
    assert ask("superseded", "(m, told) => m.isNews(null, told)", told) is False
