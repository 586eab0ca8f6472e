"""Letting a phone in by a link."""

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fieldapp.server.enter_form import DEVICE_COOKIE, FORM_COOKIE, way_on
from fieldapp.server.sign_in_limit import SignInLimit
from fieldapp.settings import Way
from fieldapp.workflow.links import end_link, link_by_token, links_held

IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 17_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
    "Version/17.0 Mobile/15E148 Safari/604.1"
)


@pytest.fixture
def phone(visitor_to, app):
    return visitor_to(app, "192.168.1.20")


@pytest.fixture
def devices(app):
    def of_newest():
        return links_held(app.state.store)[0].devices

    return of_newest


def text_of(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))


def test_opening_a_link_shows_whom_it_is_for_and_changes_nothing(phone, token_of, devices):
    page = phone.get(f"/enter/{token_of('mark', 'Robin')}")
    assert page.status_code == 200
    assert "Let this phone in as Robin?" in text_of(page)
    assert "look, and mark what was painted" in text_of(page)
    assert DEVICE_COOKIE not in phone.cookies
    assert devices() == ()
    assert phone.get("/api/me").status_code == 401


def test_a_crews_link_says_that_it_is_a_crews(phone, token_of):
    page = text_of(phone.get(f"/enter/{token_of('mark', 'Early team', is_crew=True)}"))
    assert "Let this phone in with the crew Early team?" in page


def test_pressing_the_button_lets_the_phone_in_and_leads_on(phone, token_of, devices):
    token = token_of("mark", "Robin")
    answer = phone.post(
        f"/enter/{token}", data={"next": "/sites/small-links"}, headers={"user-agent": IPHONE}
    )
    assert (answer.status_code, answer.headers["location"]) == (303, "/sites/small-links")
    assert phone.get("/api/me").json() == {"name": "Robin", "role": "mark", "crew": False}
    assert [device.kind for device in devices()] == ["iPhone, Safari"]


def test_the_page_carries_where_to_go_on_into_its_form(phone, token_of):
    page = phone.get(f"/enter/{token_of()}?next=/field/small-links")
    assert '<input type="hidden" name="next" value="/field/small-links">' in page.text


@pytest.mark.parametrize(
    "wanted",
    [
        "https://evil.example/",
        "//evil.example/",
        "/\\evil.example/",
        "\\\\evil.example",
        "/\t/evil.example",
        "/\n/evil.example",
        "javascript:alert(1)",
        "evil.example",
        "",
        " /",
    ],
)
def test_a_link_never_leads_on_to_another_server(phone, token_of, wanted):
    assert way_on(wanted) == "/"
    answer = phone.post(f"/enter/{token_of()}", data={"next": wanted})
    assert answer.headers["location"] == "/"


@pytest.mark.parametrize("wanted", ["/", "/sites/small-links?a=1&b=2#bunker-square", "/field/%C3%A5"])
def test_an_own_path_is_led_on_to_as_it_is(wanted):
    assert way_on(wanted) == wanted


def test_letters_beyond_ascii_are_written_as_addresses_have_them():
    assert way_on("/field/å") == "/field/%C3%A5"


def test_the_address_of_a_link_is_neither_kept_nor_told(phone, token_of):
    for path in (f"/enter/{token_of()}", "/enter/guess"):
        headers = phone.get(path).headers
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] == "no-store"
    answer = phone.enter(token_of())
    assert (answer.headers["referrer-policy"], answer.headers["cache-control"]) == ("no-referrer", "no-store")


def test_the_cookie_is_another_secret_that_no_script_and_no_other_site_gets(phone, token_of):
    token = token_of()
    cookie = phone.enter(token).headers["set-cookie"]
    assert token not in cookie
    assert re.match(rf"{DEVICE_COOKIE}=[\w-]{{43}};", cookie)
    said = cookie.lower().split("; ")
    assert {"httponly", "samesite=lax", "path=/", "max-age=34560000"} <= set(said)
    assert "secure" not in said


def test_a_phone_that_came_by_https_keeps_its_cookie_to_https(visitor_to, app, token_of):
    phone = visitor_to(app, "192.168.1.20", base="https://127.0.0.1:8000")
    assert "; secure" in phone.enter(token_of()).headers["set-cookie"].lower()


def test_under_a_proxys_path_the_cookie_and_every_address_stay_there(app, visitor_to, token_of):
    async def under_a_path(scope, receive, send):
        await app({**scope, "root_path": "/course", "path": "/course" + scope["path"]}, receive, send)

    phone = visitor_to(under_a_path, "192.168.1.20")
    token = token_of()
    assert f'action="/course/enter/{token}"' in phone.get(f"/enter/{token}").text
    answer = phone.enter(token)
    assert "path=/course;" in answer.headers["set-cookie"].lower()
    assert answer.headers["location"] == "/course/"


def test_a_cookie_lasts_no_longer_than_its_link(phone, token_of):
    cookie = phone.enter(token_of(minutes=11)).headers["set-cookie"].lower()
    assert 550 <= int(re.search(r"max-age=(\d+)", cookie)[1]) <= 601


def test_a_link_opens_on_as_many_devices_as_it_is_for(visitor_to, app, token_of, devices):
    token = token_of(most_devices=2)
    phones = [visitor_to(app, f"192.168.1.{number}") for number in range(3)]
    answers = [phone.enter(token) for phone in phones]
    assert [answer.status_code for answer in answers] == [303, 303, 401]
    assert "opened on 2 devices already" in answers[2].json()["detail"]
    assert "opened on 2 devices already" in phones[2].get(f"/enter/{token}").json()["detail"]
    assert len(devices()) == 2


def test_a_phone_that_is_in_does_not_count_again(phone, token_of, devices):
    token = token_of(most_devices=1)
    phone.enter(token)
    assert "This device is in already" in text_of(phone.get(f"/enter/{token}"))
    again = phone.enter(token)
    assert (again.status_code, "set-cookie" in again.headers) == (303, False)
    assert len(devices()) == 1
    assert phone.get("/api/me").status_code == 200


def test_a_phone_that_opens_another_link_is_told_and_becomes_the_others(phone, token_of):
    phone.enter(token_of("look", "Kim"))
    token = token_of("mark", "Robin")
    assert "This device is in as Kim now." in text_of(phone.get(f"/enter/{token}"))
    phone.enter(token)
    assert phone.get("/api/me").json()["name"] == "Robin"


def test_in_a_demo_the_page_says_that_the_link_is_for_others(manager, token_of):
    page = text_of(manager.get(f"/enter/{token_of()}"))
    assert "here it changes nothing" in page
    manager.enter(token_of())
    assert manager.get("/api/me").json()["name"] == "Manager at this machine"


def test_ending_a_link_shuts_out_every_phone_it_let_in_and_no_other(app, visitor_to, token_of):
    token, other = token_of(), token_of()
    phones = [visitor_to(app, "192.168.1.20") for _ in range(3)]
    for phone, by in zip(phones, (token, token, other), strict=True):
        phone.enter(by)
    ours = links_held(app.state.store)[1]
    end_link(app.state.store, ours.id, datetime.now(UTC))
    assert [phone.get("/api/me").status_code for phone in phones] == [401, 401, 200]
    assert "was ended" in visitor_to(app, "192.168.1.21").get(f"/enter/{token}").json()["detail"]
    assert visitor_to(app, "192.168.1.21").enter(token).status_code == 401


def test_a_link_that_ran_out_lets_nobody_in(phone, token_of):
    token = token_of(minutes=0.5)
    assert "has run out" in phone.get(f"/enter/{token}").json()["detail"]
    assert phone.enter(token).status_code == 401


@pytest.mark.parametrize(
    "change", [lambda t: t[:-1], lambda t: t + "x", str.swapcase, lambda _: "%00", lambda _: "é"]
)
def test_another_token_lets_nobody_in(phone, token_of, change):
    token = change(token_of())
    for answer in (phone.get(f"/enter/{token}"), phone.enter(token)):
        assert (answer.status_code, "set-cookie" in answer.headers) == (401, False)
        assert "not one of this server's" in answer.json()["detail"]


@pytest.fixture
def looked_up(monkeypatch):
    """The tokens that were looked up."""
    tokens = []

    def look_up(store, token):
        tokens.append(token)
        return link_by_token(store, token)

    monkeypatch.setattr("fieldapp.server.enter_pages.link_by_token", look_up)
    return tokens


def test_after_too_many_wrong_links_none_is_looked_up_for_a_while(visitor_to, app, token_of, looked_up):
    app.state.sign_in_limit = SignInLimit(most=10)
    stranger = visitor_to(app, "192.168.1.66")
    codes = [
        stranger.ask(("GET", "POST")[n % 2], f"/enter/guess{n}", **({"data": {"next": "/"}} if n % 2 else {}))
        for n in range(11)
    ]
    assert [answer.status_code for answer in codes] == [401] * 10 + [429]
    last = codes[-1]
    assert 290 <= int(last.headers["retry-after"]) <= 300
    assert "wait 5 minutes" in last.json()["detail"]
    assert visitor_to(app, "192.168.1.67").get("/enter/guess").status_code == 401
    assert stranger.get(f"/enter/{token_of()}").status_code == 429
    assert len(looked_up) == 11


def test_wrong_device_cookies_count_too_and_keep_out_no_device_that_is_in(visitor_to, app, token_of, let_in):
    app.state.sign_in_limit = SignInLimit(most=3)
    phone = let_in()
    strangers = [visitor_to(app, "192.168.1.20") for _ in range(3)]
    for number, stranger in enumerate(strangers):
        assert phone.get(f"/enter/{token_of()}").status_code == 200
        stranger.cookies.set(DEVICE_COOKIE, f"guess{number}")
        assert [stranger.get("/api/sites").status_code for _ in range(3)] == [401] * 3
    assert visitor_to(app, "192.168.1.20").get(f"/enter/{token_of()}").status_code == 429
    assert phone.get("/api/me").status_code == 200


FORMS = {
    "JSON": ({"json": {"next": "/"}}, 415),
    "no body at all": ({}, 415),
    "a body too large": ({"data": {"next": "x" * 20_000}}, 413),
    "too many fields": (
        {"content": "a=1&" * 60, "headers": {"content-type": "application/x-www-form-urlencoded"}},
        422,
    ),
    "bytes that are no text": (
        {"content": b"next=%ff", "headers": {"content-type": "application/x-www-form-urlencoded"}},
        422,
    ),
    "raw bytes": (
        {"content": b"next=\xff", "headers": {"content-type": "application/x-www-form-urlencoded"}},
        422,
    ),
}


@pytest.mark.parametrize("name", FORMS)
def test_a_body_that_is_no_small_form_is_refused_and_lets_nobody_in(phone, token_of, devices, name):
    what, status = FORMS[name]
    assert phone.post(f"/enter/{token_of()}", **what).status_code == status
    assert devices() == ()


def test_a_form_of_no_known_origin_counts_only_with_the_pages_own_secret(phone, token_of):
    """Browsers post from a page under no-referrer with the origin "null", as pages of other sites may too."""
    token = token_of()
    from_nowhere = {"origin": "null"}
    assert phone.post(f"/enter/{token}", data={"form": "x"}, headers=from_nowhere).status_code == 403
    secret = re.search(r'name="form" value="([\w-]+)"', phone.get(f"/enter/{token}").text)[1]
    assert phone.post(f"/enter/{token}", data={"form": "x"}, headers=from_nowhere).status_code == 403
    assert phone.post(f"/enter/{token}", data={"form": ""}, headers=from_nowhere).status_code == 403
    assert phone.post(f"/enter/{token}", data={"form": secret}, headers=from_nowhere).status_code == 303


def test_the_forms_secret_is_sent_with_this_sites_own_requests_only(phone, token_of):
    cookie = phone.get(f"/enter/{token_of()}").headers["set-cookie"].lower()
    assert cookie.startswith(FORM_COOKIE)
    assert {"httponly", "samesite=strict", "path=/enter"} <= set(cookie.split("; "))


def test_a_fault_while_entering_writes_no_token_into_the_log(phone, token_of, monkeypatch, caplog):
    def fault(*_):
        raise ZeroDivisionError

    token = token_of()
    monkeypatch.setattr("fieldapp.server.enter_pages.link_by_token", fault)
    assert phone.get(f"/enter/{token}").status_code == 500
    assert "/enter/..." in caplog.text
    assert token not in caplog.text


def test_behind_a_proxy_the_link_lets_in_at_the_public_name(make_app, visitor_to, settings, token_of):
    app = make_app(replace(settings, hosts=("course.example",), way=Way(behind_proxy=True)))
    phone = visitor_to(
        app, base="http://course.example", x_forwarded_proto="https", x_forwarded_for="192.0.2.9"
    )
    answer = phone.enter(token_of(of=app))
    assert (answer.status_code, "secure" in answer.headers["set-cookie"].lower()) == (303, True)
