"""Behind a reverse proxy: who is believed, and everything under a path."""

import re
from dataclasses import replace

import pytest
from fastapi import FastAPI, Request

from fieldapp.server.enter_form import DEVICE_COOKIE
from fieldapp.server.proxy import add_way
from fieldapp.settings import Way

PASSED_ON = {
    "x-forwarded-for": "203.0.113.9",
    "x-forwarded-proto": "https",
    "x-forwarded-host": "course.example",
}
SITE = "/sites/small-links"


@pytest.fixture
def served(make_app, settings):
    """Makes the application as it is reached in some way."""

    def make(**way):
        return make_app(replace(settings, hosts=("course.example",), way=Way(**way)))

    return make


@pytest.fixture
def mirror():
    """Makes an application that is reached in some way and only says how it sees its visitor."""

    def make(**way):
        app = FastAPI()

        @app.get("/seen")
        def seen(request: Request):
            return {"client": request.client.host, "url": str(request.url)}

        add_way(app, Way(**way))
        return app

    return make


def seen(visitor, **headers):
    return visitor.get("/seen", headers=PASSED_ON | headers).json()


@pytest.mark.parametrize("proxy", ["127.0.0.1", "::1", "::ffff:127.0.0.1"])
def test_a_proxy_on_this_machine_is_believed_where_it_was_announced(visitor_to, mirror, proxy):
    found = seen(visitor_to(mirror(behind_proxy=True), proxy))
    assert found == {"client": "203.0.113.9", "url": "https://course.example/seen"}


def test_without_being_announced_nothing_of_it_is_believed(visitor_to, mirror):
    found = seen(visitor_to(mirror()))
    assert found == {"client": "127.0.0.1", "url": "http://127.0.0.1:8000/seen"}


@pytest.mark.parametrize("stranger", ["192.168.1.20", "203.0.113.7", "2001:db8::1"])
def test_nobody_else_is_believed_even_where_a_proxy_was_announced(visitor_to, mirror, stranger):
    found = seen(visitor_to(mirror(behind_proxy=True), stranger))
    assert found == {"client": stranger, "url": "http://127.0.0.1:8000/seen"}


def test_what_a_visitor_put_into_the_headers_does_not_count(visitor_to, mirror):
    proxy = visitor_to(mirror(behind_proxy=True))
    found = seen(
        proxy,
        **{"x-forwarded-for": "127.0.0.1, 203.0.113.9", "x-forwarded-host": "evil.example, course.example"},
    )
    assert found == {"client": "203.0.113.9", "url": "https://course.example/seen"}


def test_a_visitor_who_claims_to_be_this_machine_is_not_the_manager(visitor_to, served):
    proxy = visitor_to(served(behind_proxy=True))
    for claimed in ("127.0.0.1", "::1", "127.0.0.1, 127.0.0.1", ""):
        headers = PASSED_ON | {"x-forwarded-for": claimed}
        assert proxy.get("/api/sites", headers=headers).status_code == 401, claimed


def test_the_name_a_proxy_passes_on_is_checked_like_any_other(visitor_to, served):
    proxy = visitor_to(served(behind_proxy=True))
    headers = PASSED_ON | {"x-forwarded-host": "evil.example"}
    assert proxy.get("/trust", headers=headers).status_code == 421


@pytest.fixture
def crew(visitor_to, served, token_of):
    """Makes a phone of the crew behind a proxy that takes its path off, or leaves it on."""

    def make(way, **headers):
        app = served(behind_proxy=True, **way)
        answer = visitor_to(app, **PASSED_ON).enter(token_of("mark", of=app))
        assert answer.status_code == 303
        kept = [
            cookie for cookie in answer.headers.get_list("set-cookie") if cookie.startswith(DEVICE_COOKIE)
        ]
        phone = visitor_to(app, cookie=kept[0].partition(";")[0], **(PASSED_ON | headers))
        phone.answer, phone.kept = answer, kept[0]
        return phone

    return make


def test_the_cookie_of_an_https_proxy_is_for_https_and_for_the_path_only(crew):
    cookie = crew({"root_path": "/course"}).kept.lower()
    assert "; secure" in cookie
    assert "path=/course;" in cookie


def test_a_redirect_leads_to_the_path(crew):
    assert crew({"root_path": "/course"}).answer.headers["location"] == "/course/"


PAGES = ["/", SITE, f"{SITE}/set-out/square", "/trust", "/nowhere"]


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("root", ["/course", "/a/b"])
def test_every_address_on_a_page_lies_under_the_path(crew, path, root):
    page = crew({"root_path": root}).get(path, headers={"accept": "text/html"})
    found = re.findall(r'(?:href|src|action|data-[a-z]+-url)="([^"]*)"', page.text)
    own = [address for address in found if not address.startswith("#")]
    assert len(own) >= 3
    assert [address for address in own if not address.startswith(f"{root}/")] == []


@pytest.mark.parametrize("before", ["", "/course"])
def test_a_proxy_may_take_the_path_off_or_leave_it(crew, before):
    phone = crew({"root_path": "/course"})
    assert phone.get(f"{before}/api/sites").json()["sites"][0]["id"] == "small-links"
    page = phone.get(f"{before}{SITE}").text
    static = re.search(r'href="/course(/s/[^"]+\.css)"', page).group(1)
    assert phone.get(before + static).headers["content-type"].startswith("text/css")
    assert phone.get(f"{before}{SITE}/records.csv").status_code == 200


def test_the_path_without_its_last_slash_leads_to_the_path(crew):
    answer = crew({"root_path": "/course"}).get("/course")
    assert (answer.status_code, answer.headers["location"]) == (308, "/course/")


def test_a_path_that_only_begins_like_it_is_another(crew):
    assert crew({"root_path": "/course"}).get("/courses").status_code == 404


@pytest.mark.parametrize("before", ["", "/course"])
def test_a_refusal_under_a_path_says_where_things_are(crew, before):
    answer = crew({"root_path": "/course"}).get(f"{before}/api/sites/nowhere/holes/1/bundle").json()
    assert answer["type"] == "/course/problems/not-found-error"
    assert answer["instance"] == "/course/api/sites/nowhere/holes/1/bundle"
    lost = crew({"root_path": "/course"}).get(f"{before}/nowhere").json()
    assert lost["detail"] == "There is nothing at /course/nowhere; start at /course/."


def test_records_come_in_under_the_path_from_its_own_page(crew, send, mark):
    phone = crew({"root_path": "/course"}, origin="https://course.example", sec_fetch_site="same-origin")
    assert send(mark(), visitor=phone).json()["stored"]


def test_the_policy_is_the_same_under_a_path(crew, manager):
    phone = crew({"root_path": "/course"})
    policy = phone.get("/").headers["content-security-policy"]
    assert policy == manager.get("/").headers["content-security-policy"]
