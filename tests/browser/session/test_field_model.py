"""What the page of a whole site shows from what is on the phone."""

import pytest

pytestmark = pytest.mark.browser

NOW = 1_780_000_000_000
HOLE = {
    "number": 4,
    "name": "Long Ebb",
    "bundle_url": "/b4",
    "content_id": "c",
    "bunkers": [{"id": "r", "name": "4 right", "revision": "B", "points": 3}],
}
INDEX = {"site": "s", "name": "Skerry", "holes": [HOLE], "pegs": 0}
OUTLINES = [{"id": "sand", "points": [[1, 0, 0, 0], [2, 1, 0, 1], [3, 2, 0, 2]]}]
MARK = {"bunker": "r", "outline": "sand", "number": 1, "revision": "B", "practice": False, "person": "Ada"}
BUNDLE = {
    "bunkers": [{"id": "r", "name": "4 right", "revision": "B", "outlines": OUTLINES}],
    "marks": [{**MARK, "id": "m1"}, {**MARK, "id": "m0", "number": 2, "revision": "A"}],
}
OWN = {
    "id": "m2",
    "kind": "mark",
    "site": "s",
    "hole": 4,
    "practice": False,
    "person": "Robin",
    "made_at": "2026-05-01T08:00:00Z",
    "target": {"bunker": "r", "outline": "sand", "number": 3, "revision": "B"},
}
EMPTY = {"waiting": 0, "refused": [], "faults": [], "unkept": 0}
TELL = """(m, given) => m.fieldModel({
  ...given, plans: new Map(given.plans), nowMs: given.now,
  hrefOf: (id) => `/to/${id}`, pegsHrefOf: (id) => `/pegs/${id}`,
})"""


@pytest.fixture
def tell(ask):
    def asked(**changes):
        given = {"index": INDEX, "plans": [], "records": [], "outbox": EMPTY, "fault": None, "now": NOW}
        return ask("field_model", TELL, given | changes)

    return asked


def test_progress_counts_the_marks_of_everybody_and_this_phones_own(tell):
    page = tell(plans=[["/b4", {"bundle": BUNDLE, "keptAt": NOW}]], records=[OWN])
    (bunker,) = page["holes"][0]["bunkers"]
    assert (bunker["done"], bunker["points"], bunker["progress"]) == (2, 3, "2 of 3")
    assert (bunker["href"], bunker["pegsHref"]) == ("/to/r", "/pegs/r")
    assert (bunker["href"], bunker["isKept"]) == ("/to/r", True)


def test_records_of_another_site_do_not_count(tell):
    page = tell(plans=[["/b4", {"bundle": BUNDLE, "keptAt": NOW}]], records=[OWN | {"site": "other"}])
    assert page["holes"][0]["bunkers"][0]["done"] == 1


def test_a_hole_that_is_not_kept_says_so_and_how_many_points_it_has(tell):
    (hole,) = tell()["holes"]
    assert hole["kept"] == "Not on this phone yet"
    assert (hole["bunkers"][0]["progress"], hole["bunkers"][0]["isKept"]) == ("3 points", False)


def test_an_old_plan_says_how_old_it_is(tell):
    page = tell(plans=[["/b4", {"bundle": BUNDLE, "keptAt": NOW - 2 * 86400e3}]])
    assert page["holes"][0]["kept"] == "As on the server 2 days ago"


FAULTS = [
    ({"detail": "Failed to fetch"}, INDEX, "No signal to the server now."),
    ({"detail": "Failed to fetch"}, None, "nothing of this site is kept on this phone"),
    ({"status": 401, "detail": "Open the link."}, INDEX, "does not let this phone in: Open the link."),
    ({"status": 404, "detail": "There is no site."}, None, "The server says: There is no site."),
]


@pytest.mark.parametrize(("fault", "index", "words"), FAULTS)
def test_why_there_is_nothing_fresh_is_said_in_words(tell, fault, index, words):
    assert words in tell(fault=fault, index=index)["fault"]


def test_what_waits_is_counted(tell):
    page = tell(outbox=EMPTY | {"waiting": 3})
    assert (page["send"], page["canSend"]) == ("3 to send", True)
    assert tell()["send"] == "All sent"


def test_all_is_called_sent_only_once_the_storage_was_looked_into(tell):
    page = tell(outbox=EMPTY | {"unread": True})
    assert (page["send"], page["records"]) == ("Looking what waits", "")


def test_photos_that_wait_are_told_and_can_be_sent(tell):
    page = tell(outbox={**EMPTY, "photos": 2})
    assert (page["send"], page["canSend"]) == ("2 photos to send", True)
    assert "until the server has them" in page["records"]
