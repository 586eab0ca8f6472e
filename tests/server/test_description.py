"""The description of the interface for programs is what the server does: every operation in it is tried."""

from collections import Counter

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from fieldapp.model.visitor import may
from fieldapp.server.access import TABLE, same_names
from tests.field_records import record_id
from tests.photos import jpeg_photo

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]
SQUARE = {"curve": "straight", "closed": True, "points": [[0, 0], [9, 0], [9, 9], [0, 9]]}
BASE = "http://127.0.0.1:8000"
MODES = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
TRIED = settings(
    max_examples=10, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
)
FEW = settings(TRIED, max_examples=3)
"""Where the answer hangs on who asks, or nothing is at what was made up."""


@pytest.fixture
def described(manager):
    return manager.get("/api/description.json").json()


def operations(described):
    return [result.ok() for result in schemathesis.openapi.from_dict(described).get_all_operations()]


def can_be_asked_wrongly(operation):
    """Whether there is anything to get wrong: a parameter, a body, or who asks."""
    raw = operation.definition.raw
    return any(raw.get(part) for part in ("parameters", "requestBody", "security"))


def answer_to(case, visitor):
    """Ask what schemathesis has made up, and hold the answer against the description."""
    sent = case.as_transport_kwargs(base_url=BASE)
    names = {"params": "params", "data": "content", "json": "json", "headers": "headers"}
    what = {name: sent[given] for given, name in names.items() if sent.get(given) is not None}
    answer = visitor.ask(sent["method"], sent["url"], **what)
    answer.request.read()
    case.validate_response(answer, checks=CHECKS)
    return answer.status_code


def tried(operation, mode, visitor, prepare, how=TRIED):
    seen = Counter()

    @how
    @given(case=operation.as_strategy(generation_mode=mode))
    def once(case):
        prepare(case)
        seen[answer_to(case, visitor)] += 1

    once()
    return seen


def as_made_up(_case):
    pass


def of_the_square(body):
    """Make what was made up of a draft one of a bunker that is there, and of an outline one that can be drawn."""
    if not isinstance(body, dict):
        return
    draft = body.get("draft", body)
    if isinstance(draft, dict) and isinstance(draft.get("bunker"), dict):
        draft["bunker"].update(id="square", hole=1)
    if isinstance(body.get("outline"), dict):
        body["outline"].update(SQUARE)
        body["by_m"] = 0.5


def of_the_small_site(case):
    """Lead what was made up to where something is: the small site, and its one hole."""
    known = {
        "site_id": "small-links",
        "hole": 1,
        "photo_id": record_id(5901),
        "bunker_id": "square",
        "number": 1,
    }
    for name in case.path_parameters or {}:
        case.path_parameters[name] = known.get(name, case.path_parameters[name])
    if case.query and isinstance(case.query.get("hole"), int):
        case.query["hole"] = 1
    if isinstance(case.body, dict) and isinstance(case.body.get("hole"), int):
        case.body["hole"] = 1
    if "If-Match" in (case.headers or {}):
        case.headers["If-Match"] = "*"
    of_the_square(case.body)
    if isinstance(case.body, bytes):
        case.body = jpeg_photo()
    records = case.body.get("records") if isinstance(case.body, dict) else None
    for record in records if isinstance(records, list) else []:
        if isinstance(record, dict):
            record["site"] = "small-links"


@pytest.mark.parametrize("prepare", [as_made_up, of_the_small_site])
@pytest.mark.parametrize("mode", MODES, ids=lambda mode: mode.value)
def test_whatever_is_asked_the_answer_is_as_described(described, manager, mode, prepare):
    asked = [
        operation
        for operation in operations(described)
        if mode is GenerationMode.POSITIVE or can_be_asked_wrongly(operation)
    ]
    how = FEW if prepare is as_made_up and mode is GenerationMode.POSITIVE else TRIED
    seen = {operation.label: tried(operation, mode, manager, prepare, how) for operation in asked}
    assert len(seen) >= 10
    assert all(seen.values()), "every operation was tried"
    if prepare is of_the_small_site and mode is GenerationMode.POSITIVE:
        for label, answers in seen.items():
            assert answers[200] > 0, f"{label} {dict(answers)}: what is described is taken"


@pytest.mark.parametrize("visitor", ["a stranger", "one who may look"])
def test_who_may_not_is_refused_as_described(described, app, visitor_to, let_in, visitor):
    asks = visitor_to(app, "192.168.1.30") if visitor == "a stranger" else let_in("look")
    for operation in operations(described):
        if "security" not in operation.definition.raw:
            wanted = {200}
        elif visitor == "a stranger":
            wanted = {401}
        else:
            wanted = {200, 404} if operation.method == "get" else {403}
        seen = tried(operation, GenerationMode.POSITIVE, asks, of_the_small_site, FEW)
        assert set(seen) <= wanted, operation.label


def test_everything_under_api_is_described_and_nothing_that_is_not_there(described, app):
    listed = {(method.upper(), path) for path, methods in described["paths"].items() for method in methods}
    own = {(method, same_names(path)) for method, path, _ in TABLE}
    assert {(method, same_names(path)) for method, path in listed} <= own
    assert {path for _, path in listed if path.startswith("/api/")} == {
        path for path in app.openapi()["paths"] if path.startswith("/api/")
    }


def test_an_operation_needs_a_device_that_was_let_in_unless_it_is_for_everybody(described):
    needed = {(method, same_names(path)): role for method, path, role in TABLE}
    for path, methods in described["paths"].items():
        for method, operation in methods.items():
            closed = may("manage", needed[method.upper(), same_names(path)])
            assert ("security" in operation) is closed
            assert ("401" in operation["responses"]) is closed


def test_every_refusal_is_described_as_a_problem_document(described):
    for methods in described["paths"].values():
        for operation in methods.values():
            refusals = [answer for code, answer in operation["responses"].items() if code >= "400"]
            assert refusals
            assert all(list(answer["content"]) == ["application/problem+json"] for answer in refusals)


def test_the_description_names_the_kinds_of_records_and_the_path_it_lies_under(app, visitor_to, described):
    kinds = {one["description"] for one in described["components"]["schemas"]["Record"]["oneOf"]}
    assert "A paint point was sprayed or pegged." in kinds

    async def under_a_path(scope, receive, send):
        await app({**scope, "root_path": "/course", "path": "/course" + scope["path"]}, receive, send)

    there = visitor_to(under_a_path).get("/api/description.json").json()
    assert there["servers"] == [{"url": "/course"}]
