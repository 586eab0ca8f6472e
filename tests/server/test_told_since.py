"""What changed among the marks of a hole: the same question of many phones is answered and packed once."""

import gzip
from dataclasses import asdict

from fieldapp.errors import NotFoundError
from fieldapp.server import told_since
from fieldapp.server.told_since import Question, answer_all
from fieldapp.workflow.records import records_since

SINCE = "/api/sites/small-links/records?hole=1"
FIRST = Question("small-links", 1, 0)


def test_many_marks_come_packed_to_those_who_can_unpack_and_plain_to_others(app, manager, send, mark):
    send(*(mark(number) for number in range(1, 20)))
    told = asdict(records_since(app.state.store, *FIRST))
    packed = manager.get(SINCE, headers={"accept-encoding": "gzip"})
    plain = manager.get(SINCE, headers={"accept-encoding": "identity"})
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert packed.json() == plain.json() == told
    assert "accept-encoding" in packed.headers["vary"].lower()
    assert int(packed.headers["content-length"]) < len(plain.content) / 3


def test_a_short_answer_comes_plain(manager, send, mark):
    send(mark(1))
    answer = manager.get(f"{SINCE}&since=1", headers={"accept-encoding": "gzip"})
    assert "content-encoding" not in answer.headers
    assert answer.json() == {
        "sequence": 1,
        "marks": [],
        "undone": [],
        "revisions": {"square": "A", "egg": "A"},
    }


def test_the_same_question_of_many_is_answered_once(app, send, mark, monkeypatch):
    send(*(mark(number) for number in range(1, 9)))
    asked = []

    def counted(store, *question):
        asked.append(question)
        return records_since(store, *question)

    monkeypatch.setattr(told_since, "records_since", counted)
    second = Question("small-links", 1, 1)
    answers = answer_all(app.state.store, [FIRST, second, FIRST, FIRST])
    assert asked == [FIRST, second]
    assert answers[0] is answers[2] is answers[3]
    assert gzip.decompress(answers[0].packed) == answers[0].plain


def test_a_question_without_an_answer_spoils_no_other(app, send, mark):
    send(mark(1))
    nowhere, found = answer_all(app.state.store, [Question("heath", 1, 0), FIRST])
    assert isinstance(nowhere, NotFoundError)
    assert b'"number":1' in found.plain
