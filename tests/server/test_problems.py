"""Refusals over HTTP: problem documents for programs, pages for people."""

import json

import pytest

RECORDS = "/api/sites/small-links/records"
JSON = {"content-type": "application/json"}


def body(text):
    return {"content": text, "headers": JSON}


PROBLEMS = {
    "an address that is not there": ("GET", "/api/nothing", {}, 404, "/api/nothing"),
    "an unknown site": ("GET", "/api/sites/heath/holes/1/bundle", {}, 404, "small-links"),
    "an unknown hole": ("GET", "/api/sites/small-links/holes/9/bundle", {}, 404, "hole"),
    "a hole in words": ("GET", "/api/sites/small-links/holes/one/bundle", {}, 422, "path.hole"),
    "records without a hole": ("GET", RECORDS, {}, 422, "query.hole"),
    "records since a word": ("GET", f"{RECORDS}?hole=1&since=then", {}, 422, "query.since"),
    "records since before the start": ("GET", f"{RECORDS}?hole=1&since=-1", {}, 422, "query.since"),
    "records since beyond the end": ("GET", f"{RECORDS}?hole=1&since={10**30}", {}, 422, "query.since"),
    "records of an unknown hole": ("GET", f"{RECORDS}?hole=9", {}, 404, "hole"),
    "records of an unknown site": ("GET", "/api/sites/heath/records?hole=1", {}, 404, "heath"),
    "records sent to an unknown site": (
        "POST",
        "/api/sites/heath/records",
        {"json": {"format": "fieldapp-records"}},
        404,
        "heath",
    ),
    "another method": ("PUT", RECORDS, {}, 405, "PUT"),
    "a form": ("POST", RECORDS, {"data": {"a": "b"}}, 415, "application/json"),
    "no content type": ("POST", RECORDS, {"content": b"{}"}, 415, "application/json"),
    "broken JSON": ("POST", RECORDS, body(b'{"format": '), 422, "JSON"),
    "an empty body": ("POST", RECORDS, body(b""), 422, "JSON"),
    "bytes that are no UTF-8": ("POST", RECORDS, body(b'{"a": "\xff"}'), 422, "JSON"),
    "a nest without end": ("POST", RECORDS, body(b"[" * 100_000), 422, "JSON"),
    "a number without end": ("POST", RECORDS, body(b"9" * 50_000), 422, "JSON"),
    "a list": ("POST", RECORDS, body(b"[]"), 422, "JSON object"),
    "another format": ("POST", RECORDS, {"json": {"format": "x"}}, 422, "fieldapp-records"),
    "another version": (
        "POST",
        RECORDS,
        {"json": {"format": "fieldapp-records", "version": 9, "records": []}},
        422,
        "version 9",
    ),
    "no records": ("POST", RECORDS, {"json": {"format": "fieldapp-records", "version": 1}}, 422, "records"),
    "a body too large": ("POST", RECORDS, body(b" " * 1_000_001), 413, "smaller batches"),
    "a static file of another release": (
        "GET",
        "/s/0123456789abcdef/phone/main.js",
        {},
        404,
        "load the page again",
    ),
    "an unknown problem": ("GET", "/problems/none", {}, 404, "none"),
}


@pytest.mark.parametrize("name", PROBLEMS)
def test_what_the_api_does_not_expect_gets_a_problem_answer(manager, name):
    method, path, what, status, word = PROBLEMS[name]
    answer = manager.ask(method, path, **what)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    problem = answer.json()
    assert {"type", "title", "status", "detail", "instance"} <= set(problem)
    assert (problem["status"], problem["instance"]) == (status, path.partition("?")[0])
    assert word in problem["detail"]
    assert "Traceback" not in answer.text


def test_a_body_that_grows_too_large_without_saying_its_length_is_refused(manager):
    async def pieces():
        for _ in range(11):
            yield b" " * 100_000

    answer = manager.post(RECORDS, content=pieces(), headers=JSON)
    assert answer.status_code == 413


def test_the_type_of_a_problem_can_be_looked_up(manager):
    problem = manager.get("/api/sites/heath/holes/1/bundle").json()
    told = manager.get(problem["type"])
    assert told.status_code == 200
    assert problem["title"] in told.text


def test_a_person_with_a_browser_gets_a_page_and_no_json(manager):
    answer = manager.get("/sites/heath/records.csv", headers={"accept": "text/html,*/*"})
    assert answer.status_code == 404
    assert "json" not in answer.headers["content-type"]
    assert "heath" in answer.text


def test_a_fault_of_the_server_is_a_problem_answer_without_a_traceback(manager, caplog, monkeypatch):
    def fault(*_):
        raise ZeroDivisionError("secret detail")

    monkeypatch.setattr("fieldapp.server.sites_api.standing_sites", fault)
    answer = manager.get("/api/sites")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert "secret" not in answer.text
    assert "content-security-policy" in answer.headers
    assert "secret detail" in caplog.text


def test_a_store_that_cannot_be_used_is_said_so(app, manager, send, mark, monkeypatch):
    from fieldapp.errors import StoreError

    def full(*_):
        raise StoreError("The database cannot be used: database or disk is full.")

    monkeypatch.setattr("fieldapp.workflow.taking_in.add_records", full)
    answer = send(mark())
    assert (answer.status_code, answer.json()["type"]) == (503, "/problems/store-error")


def test_every_problem_is_valid_json_for_strict_readers(manager):
    answer = manager.get("/api/sites/heath/holes/1/bundle")

    def refuse(word):
        raise AssertionError(word)

    json.loads(answer.text, parse_constant=refuse)
