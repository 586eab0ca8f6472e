"""Who may do what: every address, tried by everybody."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fastapi import routing

from fieldapp.server.access import EVERYBODY, TABLE, needed_for, same_names
from fieldapp.server.app import create_app
from fieldapp.server.enter_form import DEVICE_COOKIE
from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.links import end_link, let_in, make_link
from fieldapp.workflow.sites import load_site

ROLES = ("look", "mark", "plan", "manage")
BATCH = {"format": "fieldapp-records", "version": 1, "records": []}
LONG_NAME = {"params": {"name": "x" * 300}}
LINK_FORM = {"name": "Kim", "role": "look", "for": "person"}

# who may, what the answer is then (None: one of another part of the program), and what is sent
ADDRESSES = {
    ("GET", "/enter/"): ("everybody", 303, {"params": {"pasted": "/enter/x"}}),
    ("GET", "/enter/{token}"): ("everybody", 200, {}),
    ("POST", "/enter/{token}"): ("everybody", 303, {"data": {"next": "/"}}),
    ("GET", "/s/{release}/{name:path}"): ("everybody", 200, {}),
    ("GET", "/problems/{slug}"): ("everybody", 200, {}),
    ("GET", "/sw.js"): ("everybody", 200, {}),
    ("GET", "/manifest.webmanifest"): ("everybody", 200, {}),
    ("GET", "/api/clock"): ("everybody", 200, {}),
    ("GET", "/trust"): ("everybody", 200, {}),
    ("GET", "/trust/authority.crt"): ("everybody", 404, {}),
    ("GET", "/s/{release}/shell/{name}"): ("everybody", 200, {}),
    ("GET", "/s/{release}/script/{name}.js"): ("everybody", 200, {}),
    ("GET", "/"): ("look", 200, {}),
    ("GET", "/sites/{site_id}"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/set-out/{bunker_id}"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/set-out/{bunker_id}/qr.svg"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/pegs"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/pegs/{bunker_id}"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/pegs/{bunker_id}/qr.svg"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/hand-in"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/captures/{record_id}"): ("look", 404, {}),
    ("GET", "/sites/{site_id}/holes/{hole}"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/holes/{hole}/yardage.csv"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/holes/{hole}/compare"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/holes/{hole}/sheet"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/holes/{hole}/sight"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/set-out-sheet"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/holes/{hole}/board"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/ties"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/ties.csv"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/baseline"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/baseline.csv"): ("look", 404, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/drawing.{kind}"): ("look", 200, {}),
    ("GET", "/field/{site_id}"): ("look", 200, {}),
    ("GET", "/field/{site_id}/qr.svg"): ("look", 200, {}),
    ("GET", "/api/me"): ("look", 200, {}),
    ("GET", "/api/description.json"): ("look", 200, {}),
    ("GET", "/api/sites"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/field"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/holes/{hole}/bundle"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/holes/{hole}/board"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/records"): ("look", 200, {"params": {"hole": 1}}),
    ("GET", "/sites/{site_id}/records.csv"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/records.geojson"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/photos/{photo_id}"): ("look", 404, {}),
    ("GET", "/api/sites/{site_id}/keep-clear"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/holes/{hole}/keep-clear"): ("look", 200, {}),
    ("PUT", "/api/sites/{site_id}/keep-clear"): ("plan", 428, {"json": {}}),
    ("POST", "/sites/{site_id}/holes/{hole}/keep-clear"): ("plan", 422, {"data": {"kind": "drain"}}),
    ("POST", "/sites/{site_id}/holes/{hole}/keep-clear/away"): ("plan", 412, {"data": {"id": "gone"}}),
    ("GET", "/api/sites/{site_id}/bunkers/{bunker_id}/draft"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/bunkers/{bunker_id}/drafts"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/bunkers/{bunker_id}/drafts/{number}"): ("look", 404, {}),
    ("PUT", "/api/sites/{site_id}/bunkers/{bunker_id}/draft"): ("plan", 428, {"json": {}}),
    ("POST", "/api/sites/{site_id}/bunkers/{bunker_id}/draft/give-up"): ("plan", 428, {"json": {}}),
    ("POST", "/api/sites/{site_id}/bunkers/{bunker_id}/draft/check"): ("plan", 422, {"json": {}}),
    ("POST", "/api/sites/{site_id}/outline/offset"): ("plan", 422, {"json": {}}),
    ("PUT", "/api/sites/{site_id}/photos/{photo_id}"): ("mark", 415, {}),
    ("POST", "/api/sites/{site_id}/records"): ("mark", 200, {"json": BATCH}),
    ("POST", "/api/sites/{site_id}/presence"): ("mark", 422, {"json": {}}),
    ("POST", "/sites/{site_id}/hand-in"): ("mark", 200, {"data": {}}),
    ("GET", "/sites/{site_id}/places"): ("mark", 200, {}),
    ("GET", "/sites/{site_id}/places/qr.svg"): ("mark", 200, {}),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan"): ("plan", 303, {"data": {"margin": "3"}}),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan/withdraw"): ("plan", None, {}),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/peg-plan/{record_id}/withdraw"): ("plan", 404, {}),
    ("POST", "/sites/{site_id}/captures/{record_id}/confirm"): ("plan", 404, {"data": {"name": "Kim"}}),
    ("GET", "/sites/{site_id}/import"): ("plan", 200, {"params": {"hole": "1"}}),
    ("POST", "/sites/{site_id}/import"): ("plan", 200, {"data": {"hole": "1"}}),
    ("POST", "/sites/{site_id}/import/file"): ("plan", 422, {"params": {"hole": "1"}}),
    ("POST", "/api/sites/{site_id}/imports"): ("plan", 422, LONG_NAME),
    ("GET", "/api/sites/{site_id}/imports/{import_id}"): ("plan", 404, {}),
    ("POST", "/api/sites/{site_id}/imports/{import_id}/preview"): ("plan", 404, {"json": {}}),
    ("POST", "/api/sites/{site_id}/imports/{import_id}/take"): ("plan", 404, {"json": {}}),
    ("GET", "/api/sites/{site_id}/backdrops"): ("look", 200, {}),
    ("GET", "/api/sites/{site_id}/backdrops/{backdrop_id}/picture"): ("look", 404, {}),
    ("GET", "/sites/{site_id}/backdrops"): ("plan", 200, {}),
    ("POST", "/api/sites/{site_id}/backdrops"): ("plan", 422, LONG_NAME),
    ("POST", "/api/sites/{site_id}/backdrops/{picture_id}/fit"): ("plan", 404, {"json": {}}),
    ("GET", "/api/sites/{site_id}/backdrops/{picture_id}/waiting"): ("plan", 404, {}),
    ("POST", "/api/sites/{site_id}/backdrops/{backdrop_id}/off"): ("plan", 404, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/issue"): ("plan", 404, {}),
    ("POST", "/sites/{site_id}/bunkers/{bunker_id}/issue"): ("plan", 409, {"data": {"name": "Kim"}}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/revisions"): ("look", 200, {}),
    ("GET", "/sites/{site_id}/bunkers/{bunker_id}/revisions.csv"): ("look", 422, {}),
    ("GET", "/sites/new"): ("plan", 200, {}),
    ("POST", "/sites/new"): ("plan", 422, {"data": {"name": " "}}),
    ("GET", "/sites/{site_id}/edit"): ("plan", 200, {}),
    ("POST", "/sites/{site_id}/edit/load"): ("plan", 404, {"data": {"number": "0"}}),
    ("POST", "/sites/{site_id}/edit/drop"): ("plan", 404, {"data": {"number": "0"}}),
    ("GET", "/sites/{site_id}/edit/holes/{hole}"): ("plan", 200, {}),
    ("POST", "/sites/{site_id}/edit/holes/{hole}"): ("plan", 422, {"data": {"number": "0", "green": "x"}}),
    ("GET", "/sites/{site_id}/edit/{part}"): ("plan", 404, {}),
    ("POST", "/sites/{site_id}/edit/{part}"): ("plan", 404, {"data": {"number": "0"}}),
    ("GET", "/sites/{site_id}/site.zip"): ("manage", 200, {}),
    ("POST", "/sites/from-zip"): ("manage", 422, {"data": {}}),
    ("GET", "/people"): ("manage", 200, {}),
    ("POST", "/people"): ("manage", 200, {"data": LINK_FORM}),
    ("POST", "/people/{link_id}/end"): ("manage", 303, {}),
}
FROM_ELSEWHERE = (
    {"origin": "https://evil.example"},
    {"origin": "null"},
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"},
)
NOT_IN = ("nobody", "an ended link", "a link that ran out", "another server's link")
SMALL_SITE = Path(__file__).parent.parent / "workflow" / "small_site"


def routes_of(app):
    """Return every (method, path) that an application answers to, whatever the framework's version."""
    contexts = getattr(routing, "iter_route_contexts", lambda routes: routes)(app.routes)
    return {
        (method, same_names(context.path)) for context in contexts for method in context.methods or {"ANY"}
    }


def cookie_of(store, role, end=None):
    """Let a device in an hour ago by a link of its own; `end` is what has become of the link since."""
    then = datetime.now(UTC) - timedelta(hours=1)
    ends_at = then + timedelta(minutes=30) if end == "ran out" else None
    made = make_link(store, "Robin", role, then, ends_at=ends_at)
    cookie = let_in(store, made.token, "", "", then + timedelta(minutes=1)).cookie
    if end == "ended":
        end_link(store, made.link.id, datetime.now(UTC))
    return cookie


class Club:
    """An application that trusts nobody by address, another that trusts this machine, and all who may come."""

    def __init__(self, settings, elsewhere, visitor_to):
        self.app = create_app(settings)
        self.demo = create_app(replace(settings, trust_this_machine=True))
        self.visitor_to = visitor_to
        store = self.app.state.store
        load_site(store, SMALL_SITE, datetime(2026, 5, 1, 8, 0, tzinfo=UTC))
        self.cookies = {role: cookie_of(store, role) for role in ROLES}
        self.cookies["an ended link"] = cookie_of(store, "manage", "ended")
        self.cookies["a link that ran out"] = cookie_of(store, "manage", "ran out")
        self.cookies["another server's link"] = cookie_of(elsewhere, "manage")

    def visitor(self, name):
        app = self.demo if name.endswith("in a demo") else self.app
        made = self.visitor_to(app, "127.0.0.1" if name.startswith("this machine") else "192.168.1.20")
        if name in self.cookies:
            made.cookies.set(DEVICE_COOKIE, self.cookies[name])
        return made


@pytest.fixture(scope="module")
def club(tmp_path_factory, visitor_to):
    elsewhere = open_store(Settings(data_dir=tmp_path_factory.mktemp("other")))
    made = Club(Settings(data_dir=tmp_path_factory.mktemp("club")), elsewhere, visitor_to)
    yield made
    for store in (made.app.state.store, made.demo.state.store, elsewhere):
        store.close()


def asked(app, path):
    """Return an address at which there is something; a link in it is a new one."""
    made = make_link(app.state.store, "Kim", "look", datetime.now(UTC))
    values = {
        "token": made.token,
        "release": app.state.assets.release,
        "name:path": "phone/main.js",
        "name": "field",
        "slug": "access-error",
        "site_id": "small-links",
        "bunker_id": "square",
        "kind": "csv",
        "hole": "1",
        "photo_id": "00000000-0000-4000-8000-000000005901",
        "link_id": made.link.id,
        "import_id": "0" * 24,
        "picture_id": "0" * 24,
        "backdrop_id": "0" * 24,
        "record_id": "00000000-0000-4000-8000-000000000000",
        "number": "1",
    }
    for name, value in values.items():
        path = path.replace(f"{{{name}}}", value)
    return path


def test_the_table_holds_every_address_the_program_answers_and_no_other(club):
    listed = {(method, same_names(path)) for method, path, _ in TABLE}
    assert routes_of(club.app) == listed


def test_the_table_says_what_was_meant():
    assert {(method, path): needed for method, path, needed in TABLE} == {
        address: row[0] for address, row in ADDRESSES.items()
    }


def test_no_address_is_taken_for_another(club):
    for method, path, needed in TABLE:
        assert needed_for(method, asked(club.app, path)) == needed


def expected(visitor, needed):
    if needed == EVERYBODY:
        return None
    if visitor in NOT_IN or visitor in ("another machine in a demo", "this machine where links count"):
        return 401
    role = "manage" if visitor == "this machine in a demo" else visitor
    return None if ROLES.index(role) >= ROLES.index(needed) else 403


VISITORS = (
    *ROLES,
    *NOT_IN,
    "this machine in a demo",
    "another machine in a demo",
    "this machine where links count",
)


@pytest.mark.parametrize("visitor", VISITORS)
@pytest.mark.parametrize("address", ADDRESSES, ids=" ".join)
def test_each_address_answers_whom_it_should_and_nobody_else(club, address, visitor):
    method, path = address
    needed, status, what = ADDRESSES[method, path]
    wanted = expected(visitor, needed) or status
    answer = club.visitor(visitor).ask(method, asked(club.app, path), **what)
    if wanted is None:
        assert answer.status_code not in (401, 403)
    else:
        assert answer.status_code == wanted
    if wanted in (401, 403):
        assert answer.headers["content-type"] == "application/problem+json"
        assert set(answer.json()) >= {"type", "title", "status", "detail"}


@pytest.mark.parametrize("headers", FROM_ELSEWHERE, ids=str)
@pytest.mark.parametrize("visitor", ["manage", "this machine in a demo"])
@pytest.mark.parametrize("address", [each for each in ADDRESSES if each[0] in ("POST", "PUT")], ids=" ".join)
def test_a_page_of_another_site_changes_nothing_by_a_managers_hand(club, address, visitor, headers):
    method, path = address
    what = ADDRESSES[method, path][2]
    answer = club.visitor(visitor).ask(method, asked(club.app, path), headers=headers, **what)
    assert answer.status_code == 403


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "POST"])
def test_another_method_is_not_let_through(club, method):
    answer = club.visitor("manage").ask(method, "/sites/small-links")
    assert (answer.status_code, answer.headers["allow"]) == (405, "GET, HEAD")


@pytest.mark.parametrize(
    "path",
    ["/", "/sites/small-links", "/sites/small-links/holes/1/yardage.csv", "/sites/small-links/records.csv"],
)
def test_what_may_be_had_may_be_asked_after_without_its_body(club, path):
    whole = club.visitor("look").get(path)
    head = club.visitor("look").ask("HEAD", path)
    assert (head.status_code, head.content) == (200, b"")
    assert {**head.headers, "date": ""} == {**whole.headers, "date": ""}
    assert club.visitor("another server's link").ask("HEAD", path).status_code == 401
    assert club.visitor("look").ask("HEAD", "/people").status_code == 403


def test_an_address_that_only_takes_in_has_nothing_to_be_asked_after(club):
    answer = club.visitor("manage").ask("HEAD", "/api/sites/small-links/presence")
    assert (answer.status_code, answer.headers["allow"]) == (405, "POST")


def test_an_address_that_is_not_in_the_table_is_refused_though_the_program_has_it(make_app, visitor_to):
    app = make_app()

    @app.get("/api/forgotten")
    def forgotten():
        raise AssertionError

    assert visitor_to(app).get("/api/forgotten").status_code == 404
    assert visitor_to(app, "192.168.1.20").get("/api/forgotten").status_code == 401


def test_who_is_not_let_in_learns_what_to_do(club):
    for visitor, word in zip(
        NOT_IN, ("ask the manager", "was ended", "has run out", "ask the manager"), strict=True
    ):
        page = club.visitor(visitor).get("/", headers={"accept": "text/html"})
        assert (page.status_code, word in page.text, "ask the manager" in page.text) == (401, True, True)
        assert "To the sites" not in page.text
        assert word in club.visitor(visitor).get("/api/sites").json()["detail"]


def test_who_may_not_do_this_learns_what_the_link_is_for(club):
    problem = club.visitor("look").post("/api/sites/small-links/records", json=BATCH).json()
    assert problem["type"] == "/problems/role-error"
    assert problem["detail"].startswith(
        "The link of Robin is to look at sites, plans and records; "
        "this is for those who may look, and mark what was painted."
    )


def test_each_visitor_is_known_by_the_link(club):
    assert club.visitor("plan").get("/api/me").json() == {"name": "Robin", "role": "plan", "crew": False}
    here = club.visitor("this machine in a demo").get("/api/me").json()
    assert here == {"name": "Manager at this machine", "role": "manage", "crew": True}


@pytest.mark.parametrize("cookie", ["", "guess", "a" * 43, "%00", "é" * 43, "a" * 10_000])
def test_a_made_up_cookie_lets_nobody_in(club, visitor_to, cookie):
    header = f"{DEVICE_COOKIE}={cookie}".encode()
    stranger = visitor_to(club.app, "192.168.1.20")
    assert stranger.get("/api/sites", headers={"cookie": header}).status_code == 401


def test_a_links_own_token_is_no_cookie(club, visitor_to):
    stranger = visitor_to(club.app, "192.168.1.20")
    stranger.cookies.set(
        DEVICE_COOKIE, make_link(club.app.state.store, "Kim", "look", datetime.now(UTC)).token
    )
    assert stranger.get("/api/sites").status_code == 401
