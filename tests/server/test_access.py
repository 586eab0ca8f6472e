"""Who may come in."""

import stat
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256

import pytest
from fastapi import Request

from fieldapp.errors import InputError
from fieldapp.server.access import COOKIE, crew_key
from fieldapp.settings import CREW_LINKS_FILE

NOW = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)
KEY = "a-key-long-enough-to-be-safe"
BEHIND_A_PROXY = [
    ("forwarded", "for=192.0.2.9"),
    ("x-forwarded-for", "192.0.2.9"),
    ("x-forwarded-host", "club.example"),
    ("x-forwarded-proto", "https"),
    ("x-real-ip", "192.0.2.9"),
    ("via", "1.1 proxy"),
]


@pytest.fixture
def crew_app(make_app, settings):
    _, opened = crew_key(replace(settings, crew_key=KEY, host="0.0.0.0"), NOW)
    return make_app(opened)


@pytest.mark.parametrize("address", ["127.0.0.1", "127.8.8.8", "::1", "::ffff:127.0.0.1"])
def test_this_machine_comes_in_as_the_manager(visitor_to, app, address):
    assert visitor_to(app, address).get("/api/sites").status_code == 200


@pytest.mark.parametrize("address", ["192.168.1.20", "8.8.8.8", "2001:db8::1", "::ffff:192.168.1.20"])
@pytest.mark.parametrize(
    "path", ["/", "/api/sites", "/sites/small-links", "/sites/small-links/records.csv", "/nowhere"]
)
def test_another_machine_without_a_link_stays_outside(visitor_to, app, address, path):
    answer = visitor_to(app, address).get(path)
    assert (answer.status_code, answer.json()["type"]) == (401, "/problems/access-error")


@pytest.mark.parametrize(("name", "value"), BEHIND_A_PROXY)
def test_a_request_that_a_proxy_here_passed_on_is_not_the_managers(visitor_to, app, name, value):
    assert visitor_to(app).get("/api/sites", headers={name: value}).status_code == 401


def test_this_machine_is_outside_too_where_it_is_not_trusted(visitor_to, make_app, settings):
    app = make_app(replace(settings, trust_this_machine=False))
    assert visitor_to(app).get("/api/sites").status_code == 401


def test_the_crews_link_lets_a_phone_in_for_good(visitor_to, crew_app):
    phone = visitor_to(crew_app, "192.168.1.20")
    assert phone.get("/api/sites").status_code == 401
    answer = phone.get(f"/enter/{KEY}")
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert phone.get("/api/sites").status_code == 200


def test_the_application_knows_who_asks(visitor_to, crew_app):
    @crew_app.get("/api/who")
    def who(request: Request):
        return request.state.role

    phone = visitor_to(crew_app, "192.168.1.20")
    phone.get(f"/enter/{KEY}")
    assert visitor_to(crew_app).get("/api/who").json() == "manager"
    assert phone.get("/api/who").json() == "crew"


def test_the_cookie_cannot_be_read_by_scripts_or_sent_by_other_sites(visitor_to, crew_app):
    cookie = visitor_to(crew_app, "192.168.1.20").get(f"/enter/{KEY}").headers["set-cookie"].lower()
    assert cookie.startswith(f"{COOKIE}={KEY};")
    assert "httponly" in cookie
    assert "samesite=lax" in cookie
    assert "secure" not in cookie


def test_the_cookie_stays_on_https_where_the_phone_came_by_it(visitor_to, crew_app):
    answer = visitor_to(crew_app, base="https://127.0.0.1:8000").get(f"/enter/{KEY}")
    assert "secure" in answer.headers["set-cookie"].lower()


@pytest.mark.parametrize("key", ["x", KEY[:-1], KEY + "x", KEY.upper(), "%00", "é"])
def test_another_link_lets_nobody_in(visitor_to, crew_app, key):
    answer = visitor_to(crew_app, "192.168.1.20").get(f"/enter/{key}")
    assert answer.status_code == 401
    assert "set-cookie" not in answer.headers


def test_a_made_up_cookie_lets_nobody_in(visitor_to, crew_app):
    phone = visitor_to(crew_app, "192.168.1.20")
    assert phone.get("/api/sites", headers={"cookie": f"{COOKIE}=guess"}).status_code == 401


def test_without_any_link_an_empty_cookie_lets_nobody_in(visitor_to, app):
    phone = visitor_to(app, "192.168.1.20")
    assert phone.get("/api/sites", headers={"cookie": f"{COOKIE}="}).status_code == 401


def test_only_the_hash_of_a_new_key_is_kept_and_only_its_owner_may_read_it(settings):
    key, opened = crew_key(settings, NOW)
    file = settings.data_dir / CREW_LINKS_FILE
    assert key not in file.read_text()
    assert sha256(key.encode()).hexdigest() in file.read_text()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert opened.crew_key_hashes == {sha256(key.encode()).hexdigest()}


def test_links_of_earlier_starts_stay_valid_until_the_file_is_deleted(settings):
    first, _ = crew_key(settings, NOW)
    second, opened = crew_key(settings, NOW)
    assert opened.crew_key_hashes == {sha256(key.encode()).hexdigest() for key in (first, second)}
    (settings.data_dir / CREW_LINKS_FILE).unlink()
    third, opened = crew_key(settings, NOW)
    assert opened.crew_key_hashes == {sha256(third.encode()).hexdigest()}


def test_a_key_of_ones_own_must_not_be_short(settings):
    with pytest.raises(InputError, match="too short"):
        crew_key(replace(settings, crew_key="short"), NOW)


GOOD_HOSTS = [
    "localhost:8000",
    "127.0.0.1:8000",
    "[::1]:8000",
    "192.168.1.50",
    "LOCALHOST",
    "localhost.",
    "club.lan:443",
]
BAD_HOSTS = [
    "evil.example",
    "evil.example:8000",
    "localhost.evil.example",
    "127.0.0.1.evil.example",
    "",
    "[::1",
    "a b",
]


@pytest.fixture
def named_app(make_app, settings):
    return make_app(replace(settings, hosts=("club.lan",)))


@pytest.mark.parametrize("host", GOOD_HOSTS)
def test_the_server_answers_to_its_own_names(visitor_to, named_app, host):
    assert visitor_to(named_app).get("/api/sites", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("host", BAD_HOSTS)
def test_the_server_answers_to_no_name_that_others_may_point_at_it(visitor_to, named_app, host):
    assert visitor_to(named_app).get("/api/sites", headers={"host": host}).status_code == 421


FROM_ELSEWHERE = [
    {"origin": "https://evil.example"},
    {"origin": "null"},
    {"origin": "http://127.0.0.1:9000"},
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"},
]


@pytest.mark.parametrize("headers", FROM_ELSEWHERE, ids=str)
def test_a_page_of_another_site_changes_nothing(visitor_to, app, mark, headers):
    answer = visitor_to(app).post("/api/sites/small-links/records", json={}, headers=headers)
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "headers", [{}, {"origin": "http://127.0.0.1:8000", "sec-fetch-site": "same-origin"}], ids=str
)
def test_the_servers_own_page_may_send_records(visitor_to, app, mark, send, headers):
    assert send(mark(), visitor=visitor_to(app, **headers)).status_code == 200
