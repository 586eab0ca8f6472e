"""The door: this machine, the server's own names, pages of other sites."""

from dataclasses import replace

import pytest

BEHIND_A_PROXY = [
    ("forwarded", "for=192.0.2.9"),
    ("x-forwarded-for", "192.0.2.9"),
    ("x-forwarded-host", "club.example"),
    ("x-forwarded-proto", "https"),
    ("x-real-ip", "192.0.2.9"),
    ("via", "1.1 proxy"),
]


@pytest.mark.parametrize("address", ["127.0.0.1", "127.8.8.8", "::1", "::ffff:127.0.0.1"])
def test_in_a_demo_this_machine_comes_in_as_the_manager(visitor_to, app, address):
    assert visitor_to(app, address).get("/api/me").json()["role"] == "manage"


@pytest.mark.parametrize("address", ["192.168.1.20", "8.8.8.8", "2001:db8::1", "::ffff:192.168.1.20"])
@pytest.mark.parametrize("path", ["/", "/api/sites", "/sites/small-links", "/people", "/nowhere"])
def test_another_machine_without_a_link_stays_outside(visitor_to, app, address, path):
    answer = visitor_to(app, address).get(path)
    assert (answer.status_code, answer.json()["type"]) == (401, "/problems/access-error")


@pytest.mark.parametrize(("name", "value"), BEHIND_A_PROXY)
def test_a_request_that_a_proxy_here_passed_on_is_not_the_managers(visitor_to, app, name, value):
    assert visitor_to(app).get("/api/sites", headers={name: value}).status_code == 401


def test_by_itself_an_application_trusts_no_machine(visitor_to, make_app, settings):
    app = make_app(type(settings)(data_dir=settings.data_dir))
    assert visitor_to(app).get("/api/sites").status_code == 401


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
    {"origin": "null", "sec-fetch-site": "cross-site"},
    {"origin": "http://127.0.0.1:8000", "sec-fetch-site": "cross-site"},
]


@pytest.mark.parametrize("headers", FROM_ELSEWHERE, ids=str)
def test_a_page_of_another_site_changes_nothing(visitor_to, app, mark, headers):
    answer = visitor_to(app).post("/api/sites/small-links/records", json={}, headers=headers)
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "http://127.0.0.1:8000", "sec-fetch-site": "same-origin"},
        {"origin": "null", "sec-fetch-site": "same-origin"},
    ],
    ids=str,
)
def test_the_servers_own_page_may_send_records(visitor_to, app, mark, send, headers):
    assert send(mark(), visitor=visitor_to(app, **headers)).status_code == 200
