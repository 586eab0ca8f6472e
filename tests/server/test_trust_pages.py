"""The pages that lead to trusting this machine, on plain http and on the https side."""

import re
from datetime import UTC, datetime
from ipaddress import ip_address

import pytest
from cryptography import x509

from fieldapp.server.app import create_app
from fieldapp.server.machine_names import LOOPBACK, Names
from fieldapp.server.own_certificate import open_certificate
from fieldapp.server.trust_pages import Trust, create_trust_app

NOW = datetime(2026, 5, 1, 8, 0, tzinfo=UTC)
IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_4 like Mac OS X) AppleWebKit/605.1.15 Version/18.4 Safari/604.1"
)
ANDROID = "Mozilla/5.0 (Linux; Android 14; Pixel) AppleWebKit/537.36 Chrome/130.0 Mobile Safari/537.36"
ELSEWHERE = "192.168.1.20"


@pytest.fixture
def trust(tmp_path):
    names = Names(("pc.local",), (ip_address("192.168.1.50"),)) | LOOPBACK
    return Trust(open_certificate(tmp_path / "data", Names(("course.lan",)), names, NOW), 8000)


@pytest.fixture
def plain(visitor_to, trust):
    """Makes a phone that asks by plain http."""

    def make(agent=IPHONE, base="http://192.168.1.50:8001"):
        return visitor_to(create_trust_app(trust), ELSEWHERE, base, user_agent=agent, accept="text/html")

    return make


@pytest.fixture
def secure(visitor_to, settings, trust):
    app = create_app(settings, trust)
    yield visitor_to(app, ELSEWHERE, "https://192.168.1.50:8000", user_agent=ANDROID)
    app.state.store.close()


def words(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text)).replace("&amp;", "&")


def test_it_is_open_to_a_phone_without_a_link_on_both_sides(plain, secure):
    for page in (plain().get("/trust"), secure.get("/trust")):
        assert page.status_code == 200
        assert "Trust this machine" in page.text


@pytest.mark.parametrize(
    ("agent", "first"),
    [(IPHONE, "iphone"), (ANDROID, "android"), ("", "android")],
    ids=["iPhone", "Android", "none"],
)
def test_the_asking_phones_own_steps_come_first_and_the_others_after(plain, agent, first):
    shown = re.findall(r'<section class="phone-steps" id="(\w+)"', plain(agent).get("/trust").text)
    assert shown[0] == first
    assert sorted(shown) == ["android", "iphone"]


def test_an_iphone_is_told_both_parts(plain):
    said = words(plain().get("/trust"))
    install = said.index("Settings › General › VPN & Device Management")
    turn_on = said.index("Settings › General › About › Certificate Trust Settings")
    assert install < turn_on
    assert "After the first part alone nothing works yet" in said
    assert "Remove Profile" in said


def test_an_android_phone_is_told_of_the_lock_and_the_notice(plain):
    said = words(plain(ANDROID).get("/trust"))
    assert "Encryption & credentials › Install a certificate › CA certificate" in said
    assert "needs a screen lock" in said
    assert "the network may be monitored" in said
    assert "Remove or Uninstall" in said


@pytest.mark.parametrize(
    ("browser", "told"), [("CriOS/130.0", True), ("FxiOS/130.0", True), ("Version/18.4", False)]
)
def test_another_browser_on_an_iphone_is_sent_to_safari(plain, browser, told):
    page = plain(IPHONE.replace("Version/18.4", browser)).get("/trust")
    assert ("Open this page in Safari first" in page.text) is told


def test_it_says_what_the_authority_may_vouch_for_until_when_and_that_no_phone_was_tried(plain, trust):
    said = words(plain().get("/trust"))
    assert "course.lan, pc.local, 192.168.1.50" in said
    assert f"ends by itself on {trust.own.authority.ends_at:%Y-%m-%d}" in said
    assert "not tried on a real phone" in said


def test_the_fingerprint_shown_is_the_certificates(plain, trust):
    page = plain().get("/trust").text
    shown = re.search(r'<code class="fingerprint">(.*?)</code>', page).group(1)
    digits = re.sub(r"<[^>]+>|\s", "", shown)
    assert digits == trust.own.authority.fingerprint.replace(":", "")


def test_the_certificate_comes_as_phones_take_it(plain, secure, trust):
    for answer in (plain().get("/trust/authority.crt"), secure.get("/trust/authority.crt")):
        assert answer.headers["content-type"] == "application/x-x509-ca-cert"
        found = x509.load_der_x509_certificate(answer.content)
        assert found == trust.own.authority.certificate
        assert b"PRIVATE KEY" not in answer.content


ADDRESSES = [
    ("http://192.168.1.50:8001", "https://192.168.1.50:8000/"),
    ("http://pc.local:8001", "https://pc.local:8000/"),
    ("http://[::1]:8001", "https://[::1]:8000/"),
    ("http://evil.example:8001", "https://course.lan:8000/"),
    ("http://10.9.9.9:8001", "https://course.lan:8000/"),
]


@pytest.mark.parametrize(("base", "there"), ADDRESSES)
def test_it_leads_on_to_https_at_the_name_asked_if_the_certificate_has_it(plain, base, there):
    links = re.findall(r'href="(https://[^"]+)"', plain(base=base).get("/trust").text)
    assert set(links) == {there}


def test_https_on_its_usual_port_needs_no_number(trust):
    assert Trust(trust.own, 443).https_url() == "https://course.lan/"


@pytest.mark.parametrize("path", ["/", "/sites/small-links", "/enter/some-key", "/sites/x/set-out/y"])
def test_everything_else_by_plain_http_leads_to_the_page(plain, path):
    answer = plain().get(path)
    assert (answer.status_code, answer.headers["location"]) == (303, "/trust")
    assert "set-cookie" not in answer.headers


@pytest.mark.parametrize(
    ("method", "path"), [("POST", "/api/sites/a/records"), ("GET", "/api/sites"), ("PUT", "/")]
)
def test_a_program_is_told_where_the_rest_is(plain, method, path):
    answer = plain().ask(method, path, headers={"accept": "application/json"})
    assert answer.status_code == 404
    assert "everything else is at https://192.168.1.50:8000/." in answer.json()["detail"]


def test_the_page_carries_the_same_policy_as_every_other(plain, manager):
    assert (
        plain().get("/trust").headers["content-security-policy"]
        == (manager.get("/").headers["content-security-policy"])
    )


def test_styles_come_by_plain_http_too(plain):
    sheets = re.findall(r'href="(/s/[^"]+\.css)"', plain().get("/trust").text)
    assert len(sheets) == 3
    assert {plain().get(sheet).status_code for sheet in sheets} == {200}


@pytest.mark.parametrize(
    ("base", "said"),
    [
        ("http://192.168.1.50:8000", "plain http gives no position"),
        ("https://192.168.1.50:8000", "certificate that this browser accepts"),
    ],
)
def test_without_an_authority_it_says_that_nothing_is_to_be_trusted(visitor_to, app, base, said):
    visitor = visitor_to(app, ELSEWHERE, base)
    page = visitor.get("/trust")
    assert said in page.text
    assert "authority.crt" not in page.text
    refused = visitor.get("/trust/authority.crt")
    assert (refused.status_code, refused.json()["type"]) == (404, "/problems/not-found-error")
