"""The records of a phone as one file, and when the page offers it."""

import json

import pytest

pytestmark = pytest.mark.browser

AT_MS = 1_777_627_800_000
HOUR_MS = 3_600_000


def lists(**changes):
    return {"site": "s", "device": "d", "person": "Robin", "unsent": [{"id": "u"}], "refused": [{"id": "r"}],
            "sent": [{"id": "a"}, {"id": "b"}]} | changes  # fmt: skip


def test_the_file_holds_every_record_unsent_ones_first_under_a_header(ask):
    file = ask("hand_over", "(m, [given, at]) => m.handOverFile(given, at)", [lists(), AT_MS])
    document = json.loads(file["text"])
    assert [record["id"] for record in document.pop("records")] == ["u", "r", "a", "b"]
    assert document == {
        "format": "fieldapp-records", "version": 1, "site": "s", "device": "d", "person": "Robin",
        "made_at": "2026-05-01T09:30:00.000Z", "counts": {"unsent": 1, "refused": 1, "sent": 2},
    }  # fmt: skip
    assert file["name"] == "fieldapp-records-s-20260501-0930"


LONG = [
    (0, None, None),
    (3, 1, None),
    (1, 5, "1 record waits to be sent, the oldest for 5 hours. Kept on this phone."),
    (12, 72, "12 records wait to be sent, the oldest for 3 days. Kept on this phone."),
]


@pytest.mark.parametrize(("waiting", "hours", "words"), LONG)
def test_records_that_could_not_be_sent_for_long_are_offered_as_a_file(ask, waiting, hours, words):
    oldest = None if hours is None else AT_MS - hours * HOUR_MS
    given = [{"waiting": waiting, "oldestAt": oldest}, AT_MS]
    found = ask("hand_over", "(m, given) => m.longUnsent(...given)", given)
    assert (found and found["words"]) == words
    assert found is None or [act["name"] for act in found["acts"]] == ["handOver"]


@pytest.mark.parametrize(
    ("handed", "acts"),
    [([None], ["handOver"]), (["t", None], ["handOver"]), (["t"], ["handOver", "putRefusedAway"])],
)
def test_refused_records_can_be_put_away_only_once_all_were_handed_over(ask, handed, acts):
    refused = [{"handedOver": at} for at in handed]
    assert ask("hand_over", "(m, refused) => m.refusedActs(refused).map((a) => a.name)", refused) == acts


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("saved", "downloads"),
        ("shared", "2 records handed over as a file."),
        ("left", "Nothing was handed over."),
    ],
)
def test_what_became_of_it_is_told(ask, how, words):
    assert words in ask("hand_over", "(m, how) => m.givenWords(how, 2)", how)
