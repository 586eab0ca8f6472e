"""The description of the interface for programs is what the server does: every operation in it is tried."""

from collections import Counter
from functools import partial

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

from fieldapp.errors import FieldappError, FormatError
from fieldapp.model.visitor import may
from fieldapp.server.access import TABLE, same_names
from fieldapp.workflow import backdrops, imports
from fieldapp.workflow.apart_work import TASKS
from tests.drawings import bunker_dxf
from tests.field_records import record_id
from tests.photos import jpeg_photo
from tests.server.test_backdrops import PLACES, WORLD
from tests.server.test_imports_api import LAYERS, READING, sent

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
    max_examples=8, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
)
FEW = settings(TRIED, max_examples=3)
"""Where nothing is at what was made up."""
ONE = settings(TRIED, max_examples=1)
"""Where the answer hangs on who asks alone."""


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


def of_the_drawing(body):
    """Make what was made up of an import, or of a picture, one of what was sent before."""
    if "hole" in body and "outline" not in body and "device" not in body:
        wanted = {"reading": READING, "layers": LAYERS, "bunker": {"id": "square"}, "left_out": []}
        body.update({key: new for key, new in wanted.items() if isinstance(body.get(key, new), type(new))})
    if isinstance(body.get("places"), list):
        body.update(places=PLACES, keep=False)


def of_the_small_site(case, known=()):
    """Lead what was made up to where something is: the small site, its one hole, and the ids that are known."""
    known = {
        "site_id": "small-links",
        "hole": 1,
        "photo_id": record_id(5901),
        "bunker_id": "square",
        "number": 1,
        **dict(known),
    }
    for name in case.path_parameters or {}:
        case.path_parameters[name] = known.get(name, case.path_parameters[name])
    query = case.query or {}
    if isinstance(query.get("hole"), int):
        query["hole"] = 1
    if isinstance(query.get("world"), str):
        query.update(world=WORLD, system="course", unit="metre")
    if isinstance(case.body, dict) and isinstance(case.body.get("hole"), int):
        case.body["hole"] = 1
    if "If-Match" in (case.headers or {}):
        case.headers["If-Match"] = "*"
    of_the_square(case.body)
    if isinstance(case.body, dict):
        of_the_drawing(case.body)
    if isinstance(case.body, bytes):
        case.body = jpeg_photo()
    records = case.body.get("records") if isinstance(case.body, dict) else None
    for record in records if isinstance(records, list) else []:
        if isinstance(record, dict):
            record["site"] = "small-links"


@pytest.fixture
def read_here(monkeypatch):
    """Reads files in the server's own process, which is sooner."""

    def done(task, folder, asked, _limits, _started=None):
        try:
            return TASKS[task](folder, asked) | {"peak_bytes": 0}
        except FieldappError:
            raise
        except Exception as fault:
            raise FormatError("That is nothing that can be read.") from fault

    monkeypatch.setattr(imports, "run_apart", done)
    monkeypatch.setattr(backdrops, "run_apart", done)
    monkeypatch.setattr(imports, "AT_ONCE", 100)


@pytest.fixture
def known(manager, read_here):
    """The ids of a drawing that was sent, of a picture that waits, and of one that is kept."""
    base = "/api/sites/small-links/backdrops"
    waiting = manager.post(base, content=jpeg_photo()).json()
    kept = manager.post(base, params={"world": WORLD, "system": "course"}, content=jpeg_photo()).json()
    found = sent(manager, bunker_dxf(1020, 2200))
    return {"import_id": found["id"], "picture_id": waiting["id"], "backdrop_id": kept["id"]}


@pytest.mark.parametrize("where", ["anywhere", "small site"])
@pytest.mark.parametrize("mode", MODES, ids=lambda mode: mode.value)
def test_whatever_is_asked_the_answer_is_as_described(described, manager, mode, where, known):
    asked = [
        operation
        for operation in operations(described)
        if mode is GenerationMode.POSITIVE or can_be_asked_wrongly(operation)
    ]
    prepare, how = (
        (as_made_up, FEW) if where == "anywhere" else (partial(of_the_small_site, known=known), TRIED)
    )
    seen = {operation.label: tried(operation, mode, manager, prepare, how) for operation in asked}
    assert len(seen) >= 10
    assert all(seen.values()), "every operation was tried"
    if where == "small site" and mode is GenerationMode.POSITIVE:
        for label, answers in seen.items():
            assert answers[200] > 0, f"{label} {dict(answers)}: what is described is taken"


@pytest.mark.parametrize("visitor", ["a stranger", "one who may look"])
def test_who_may_not_is_refused_as_described(described, app, visitor_to, let_in, visitor):
    asks = visitor_to(app, "192.168.1.30") if visitor == "a stranger" else let_in("look")
    needed = {(method, same_names(path)): role for method, path, role in TABLE}
    for operation in operations(described):
        if "security" not in operation.definition.raw:
            wanted = {200}
        elif visitor == "a stranger":
            wanted = {401}
        else:
            role = needed[operation.method.upper(), same_names(operation.path)]
            wanted = {200, 404} if role == "look" else {403}
        seen = tried(operation, GenerationMode.POSITIVE, asks, of_the_small_site, ONE)
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
