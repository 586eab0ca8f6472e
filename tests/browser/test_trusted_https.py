"""Https by the machine's own authority in a real browser, which trusts it, does not, or was made to go on regardless.

Names of a course's network lead to this machine (nothing leaves it), so the pages' origins are really those.
"""

import os
import re
import signal
import ssl
import subprocess
import threading
import time
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import Error, expect

from fieldapp.server.authority import make_server, read_certified
from fieldapp.server.machine_names import read_names

pytestmark = [pytest.mark.browser, pytest.mark.certutil]

NAME = "course.lan"
ADDRESS = "192.168.1.50"
FOREIGN = "bank.example"
LEAD_HERE = f"--host-resolver-rules=MAP {NAME} 127.0.0.1, MAP {ADDRESS} 127.0.0.1, MAP {FOREIGN} 127.0.0.1"
OPTIONS = ("--https", "--name", NAME, "--name", ADDRESS, "--http-port", "0")
SET_OUT = "/sites/skerry-bank/set-out/4-right"
REGISTER = """async (type) => {
  const [style] = document.querySelectorAll('link[rel=stylesheet]');
  const script = style.href.replace('styles/shared.css', 'phone/session/random.js');
  try {
    await navigator.serviceWorker.register(script, { type });
    return null;
  } catch ({ name, message }) {
    return { name, message };
  }
}"""
WORDS = """async (given) => {
  const [style] = document.querySelectorAll('link[rel=stylesheet]');
  const module = style.href.replace('styles/shared.css', 'phone/session/page_security.js');
  const { pageSecurityWords } = await import(module);
  const { protocol, host } = location;
  return pageSecurityWords({ ...given, isSecure: isSecureContext, protocol, host });
}"""
LOCATE = """() => new Promise((done) => navigator.geolocation.getCurrentPosition(
  ({ coords }) => done([coords.latitude, coords.longitude]), ({ code, message }) => done([code, message])))"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("https")


@pytest.fixture(scope="module")
def server(folder, load_samples, server_process):
    """A real server with https of its own, under a name and an address of a course's network."""
    data = load_samples(folder / "data")
    server = server_process(data, "serve", options=OPTIONS)
    yield server
    if server.process.poll() is None:
        server.stop(signal.SIGKILL)


def enter(page, server, host=NAME):
    """Come in by a link of the server's."""
    page.goto(f"https://{host}:{port_of(server)}{server.link()}")
    page.get_by_role("button", name="Let this phone in").click()


def port_of(server):
    return printed(server, rf"https://{NAME}:(\d+)/")


def printed(server, pattern):
    """The first group of what a server prints once it is up; it may be printed a moment later."""
    end = time.monotonic() + 20
    while (found := re.search(pattern, "".join(server.printed))) is None:
        assert time.monotonic() < end, f"the server never printed {pattern}"
        time.sleep(0.05)
    return found.group(1)


@pytest.fixture(scope="module")
def browser_in(chromium, chromium_command):
    """A function that starts a browser whose trust store is that of a home folder of its own."""
    started = []

    def start(home):
        browser = chromium.browser_type.launch(
            executable_path=chromium_command[0],
            args=[*chromium_command[1:], LEAD_HERE],
            env={**os.environ, "HOME": str(home)},
        )
        started.append(browser)
        return browser

    yield start
    for browser in started:
        browser.close()


@pytest.fixture(scope="module")
def trusting(browser_in, folder, server):
    """A browser that trusts the authority as a phone does after the steps of the page: by the file it serves."""
    certificate = folder / "authority.crt"
    address = printed(server, r"(http://\S+)/trust")
    page = browser_in(folder / "fetching")
    with page.new_context() as context:
        certificate.write_bytes(context.request.get(f"{address}/trust/authority.crt").body())
    return browser_in(home_that_trusts(folder / "trusting", certificate))


def home_that_trusts(home, certificate):
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    for words in (["-N", "--empty-password"], ["-A", "-n", "course", "-t", "C,,", "-i", certificate]):
        subprocess.run(["certutil", *words, "-d", f"sql:{store}"], check=True)
    return home


@pytest.fixture(scope="module")
def stranger(browser_in, folder):
    """A browser that trusts nothing of this machine."""
    return browser_in(folder / "stranger")


@pytest.fixture
def page_of():
    """A function that opens a page with a position to give; contexts are closed at the end."""
    contexts = []

    def make(browser, **options):
        here = {"latitude": 53.5, "longitude": -5.0, "accuracy": 3}
        context = browser.new_context(geolocation=here, permissions=["geolocation"], **options)
        contexts.append(context)
        return context.new_page()

    yield make
    for context in contexts:
        context.close()


@pytest.mark.parametrize("host", [NAME, ADDRESS])
def test_a_phone_that_trusts_the_authority_gets_everything(trusting, page_of, server, host):
    page = page_of(trusting)
    enter(page, server, host)
    page.goto(f"https://{host}:{port_of(server)}{SET_OUT}")
    expect(page.get_by_role("button", name="Start")).to_be_visible()
    assert page.evaluate("isSecureContext")
    assert page.evaluate(LOCATE) == [53.5, -5.0]
    assert page.evaluate(REGISTER, "module") is None
    assert page.evaluate(WORDS, {"workerFault": None, "trustUrl": "/trust"}) is None


@pytest.mark.parametrize("host", [NAME, ADDRESS])
def test_a_phone_that_does_not_trust_it_opens_nothing(stranger, page_of, server, host):
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page_of(stranger).goto(f"https://{host}:{port_of(server)}{SET_OUT}")


def test_a_name_the_certificate_does_not_carry_opens_nothing(trusting, page_of, server):
    with pytest.raises(Error, match="ERR_CERT_COMMON_NAME_INVALID"):
        page_of(trusting).goto(f"https://{FOREIGN}:{port_of(server)}/")


class Sign(BaseHTTPRequestHandler):
    """A page that only the name constraint keeps from a phone that trusts the authority."""

    def do_GET(self):
        self.send_response(200)
        self.end_headers()
        self.wfile.write(b"<title>thief</title>")

    def log_message(self, *_):
        pass


@pytest.fixture
def stolen(folder, server):
    """A function that serves with what the authority's stolen key makes for some names; it gives the port."""
    running = []

    def serve(*names):
        authority = read_certified((server.data / "https" / "authority.pem").read_bytes())
        pem = folder / "stolen.pem"
        pem.write_bytes(make_server(authority, read_names(names), "thief", datetime.now(UTC)).pem())
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(pem)
        thief = ThreadingHTTPServer(("127.0.0.1", 0), Sign)
        thief.handle_error = lambda *_: None
        thief.socket = context.wrap_socket(thief.socket, server_side=True)
        thread = threading.Thread(target=thief.serve_forever)
        thread.start()
        running.append((thief, thread))
        return thief.server_port

    yield serve
    for thief, thread in running:
        thief.shutdown()
        thread.join()
        thief.server_close()


def test_a_stolen_authority_cannot_imitate_another_name(trusting, page_of, stolen):
    page = page_of(trusting)
    page.goto(f"https://{NAME}:{stolen(NAME)}/")
    assert page.title() == "thief", (
        "what it may vouch for opens, so that the refusal below is the constraint's"
    )
    with pytest.raises(Error, match="ERR_CERT_INVALID"):
        page.goto(f"https://{FOREIGN}:{stolen(FOREIGN)}/")


@pytest.mark.parametrize("kind", ["classic", "module"])
def test_behind_a_warning_tapped_away_the_page_says_that_nothing_is_kept(stranger, page_of, server, kind):
    page = page_of(stranger, ignore_https_errors=True)
    enter(page, server)
    page.goto(f"https://{NAME}:{port_of(server)}{SET_OUT}")
    assert page.evaluate("isSecureContext")
    assert page.evaluate(LOCATE) == [53.5, -5.0]
    fault = page.evaluate(REGISTER, kind)
    assert fault["name"] == "SecurityError"
    words = page.evaluate(WORDS, {"workerFault": fault, "trustUrl": "/trust"})
    assert f"open https://{NAME}:{port_of(server)}/trust" in words
    assert "a warning was tapped away" in words


def test_the_page_on_plain_http_leads_to_the_https_one(trusting, page_of, server):
    page = page_of(trusting)
    enter(page, server)
    page.goto(f"{server.address.replace('127.0.0.1', NAME)}/sites/skerry-bank")
    assert page.url.endswith("/trust")
    assert page.evaluate("isSecureContext") is False
    page.get_by_role("link", name=f"https://{NAME}:{port_of(server)}/").first.click()
    expect(page.get_by_role("link", name="Skerry Bank")).to_be_visible()
    assert page.evaluate("isSecureContext")


def test_the_set_out_page_on_plain_http_from_another_machine_says_what_does_not_work(
    stranger, page_of, start_server
):
    demo = start_server()
    page = page_of(stranger)
    page.goto(f"{demo.address.replace('127.0.0.1', ADDRESS)}{SET_OUT}")
    warning = page.locator(".warning").first
    expect(warning).to_contain_text(f"plain http, from {ADDRESS}")
    expect(warning).to_contain_text("no position and no compass")
    expect(warning).to_contain_text("ask whoever runs this server for its https address")


def test_a_renewed_certificate_needs_nothing_of_a_phone(trusting, page_of, server, server_process):
    server.stop()
    before = (server.data / "https" / "server.pem").read_bytes()
    (server.data / "https" / "server.pem").unlink()
    again = server_process(server.data, "serve", int(port_of(server)), options=OPTIONS)
    try:
        assert (server.data / "https" / "server.pem").read_bytes() != before
        page = page_of(trusting)
        enter(page, again)
        expect(page.get_by_role("link", name="Skerry Bank")).to_be_visible()
    finally:
        again.stop(signal.SIGKILL)
