"""'Get ready for the field': rows in plain words and one verdict."""

import pytest

pytestmark = pytest.mark.browser

NOW = 1_780_000_000_000
PLAN = {"bundle": {"bunkers": [{"revision": "A"}]}, "keptAt": NOW - 1000}
READY = {
    "secure": {"isSecure": True},
    "homeScreen": None,
    "server": {"reached": True, "status": 200, "detail": ""},
    "page": {"state": "kept", "fault": None, "newer": False},
    "plans": {"held": [PLAN], "isFresh": True, "faults": []},
    "storage": {"canKeep": True, "persisted": True},
    "location": {"state": "fix", "accuracyM": 4},
    "clock": {"aheadS": 0.2, "withinS": 0.1},
    "battery": {"level": 0.8, "isCharging": False},
}
JUDGE = """(m, { facts, now }) => {
  const rows = m.readyRows(facts, now);
  return { rows: Object.fromEntries(rows.map((row) => [row.key, row])), verdict: m.readyVerdict(rows) };
}"""


@pytest.fixture
def judge(ask):
    def asked(**changes):
        return ask("ready", JUDGE, {"facts": READY | changes, "now": NOW})

    return asked


def test_a_phone_that_has_everything_is_ready(judge):
    found = judge()
    assert found["verdict"] == {
        "state": "ready",
        "title": "Ready for the field",
        "words": "Everything is on this phone.",
    }
    assert {row["state"] for row in found["rows"].values()} == {"good"}
    assert "homeScreen" not in found["rows"]


BAD = [
    ("secure", {"isSecure": False}, "plain http"),
    ("homeScreen", {"waiting": 0}, "Add to Home Screen"),
    ("homeScreen", {"waiting": 2}, "2 records wait in this tab: keep it until all are sent."),
    ("server", {"reached": False, "status": None, "detail": ""}, "The server is not reached."),
    ("server", {"reached": True, "status": 401, "detail": "Open the link."}, "not signed in. Open the link."),
    ("server", {"reached": True, "status": 503, "detail": "The disk is full."}, "unwell: The disk is full."),
    (
        "page",
        {"state": "missing", "fault": "certificate", "newer": False},
        "does not trust this server's certificate",
    ),
    ("page", {"state": "missing", "fault": "unsupported", "newer": False}, "keeps no pages"),
    ("page", {"state": "missing", "fault": "incomplete", "newer": False}, "only partly kept"),
    ("plans", {"held": [PLAN, None], "isFresh": False, "faults": []}, "1 of 2 holes"),
    ("plans", {"held": [PLAN], "isFresh": False, "faults": []}, "Whether they are the newest is not known."),
    ("plans", {"held": [], "isFresh": False, "faults": []}, "No plan is kept"),
    ("storage", {"canKeep": False, "persisted": False}, "store nothing"),
    ("location", {"state": "refused", "accuracyM": None}, "Location is refused"),
    ("location", {"state": "none", "accuracyM": None}, "no position has come"),
    ("location", {"state": "missing", "accuracyM": None}, "gives no position"),
]


@pytest.mark.parametrize(("key", "fact", "words"), BAD)
def test_what_is_missing_makes_it_not_ready_and_says_what_to_do_first(judge, key, fact, words):
    found = judge(**{key: fact})
    assert found["rows"][key]["state"] == "bad"
    assert words in found["rows"][key]["words"]
    assert found["verdict"]["state"] == "not ready"
    assert found["rows"][key]["remedy"] != ""
    assert found["verdict"]["words"] == f"{found['rows'][key]['title']} first. {found['rows'][key]['remedy']}"


MIND = [
    ("storage", {"canKeep": True, "persisted": False}, "The phone promises nothing"),
    ("page", {"state": "kept", "fault": None, "newer": True}, "A newer one waits"),
    ("location", {"state": "fix", "accuracyM": 1500}, "good to 1500 m only"),
    ("clock", {"aheadS": 172800, "withinS": 0.1}, "2 days ahead of the server's"),
    ("clock", {"aheadS": -7, "withinS": 0.1}, "7 s behind the server's"),
    ("battery", {"level": 0.2, "isCharging": False}, "20 %. Charge it"),
]


@pytest.mark.parametrize(("key", "fact", "words"), MIND)
def test_what_is_only_to_be_minded_still_lets_the_worker_go(judge, key, fact, words):
    found = judge(**{key: fact})
    assert found["rows"][key]["state"] == "mind"
    assert words in found["rows"][key]["words"]
    assert found["verdict"]["state"] == "ready"
    assert f"Mind: {found['rows'][key]['title'].lower()}." in found["verdict"]["words"]


def test_a_clock_is_wrong_only_beyond_what_the_measuring_leaves_open(judge):
    assert judge(clock={"aheadS": 7, "withinS": 3})["rows"]["clock"]["state"] == "good"
    assert judge(clock={"aheadS": 7, "withinS": 1})["rows"]["clock"]["state"] == "mind"


def test_what_a_phone_cannot_tell_has_no_row(judge):
    assert "battery" not in judge(battery=None)["rows"]


def test_nothing_is_judged_before_all_is_known(ask):
    facts = {key: fact for key, fact in READY.items() if key != "location"}
    found = ask("ready", JUDGE, {"facts": facts, "now": NOW})
    assert found["verdict"]["state"] == "checking"
    assert found["rows"]["location"]["state"] == "checking"


def test_the_most_basic_fault_comes_first(judge):
    found = judge(secure={"isSecure": False}, location={"state": "insecure", "accuracyM": None})
    assert found["verdict"]["words"].startswith("Address first.")
