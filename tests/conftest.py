"""Fixtures for the whole suite: a real server process, a real browser, and a phone in a worker's hand."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

os.environ.setdefault(
    "OPENBLAS_NUM_THREADS", "1"
)  # before numpy: its threads wait for each other where others work
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # the processes that tests start need not compile everything

import pytest
from playwright.sync_api import Browser, Locator, Page, expect, sync_playwright

from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.links import make_link
from tests.server_forks import Branched

expect.set_options(timeout=10_000)  # a busy machine is slow, not wrong

REPOSITORY = Path(__file__).parent.parent
CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
NO_BROWSER = (
    "No Chromium found, so {count} browser tests did NOT run and the phone page is unproven here. "
    "Get one with 'sudo apt-get install chromium', or name one in FIELDAPP_CHROMIUM, and run again."
)

NO_CERTUTIL = (
    "No certutil found, so {count} tests of https by the machine's own authority did NOT run and it is unproven here. "
    "Get it with 'sudo apt-get install libnss3-tools' and run again."
)

IN_CI = " In CI this is a failure."


def chromium_path() -> str | None:
    """Return the browser to test with, or None."""
    named = os.environ.get("FIELDAPP_CHROMIUM")
    return named or shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_configure(config: pytest.Config) -> None:
    """Where the tests are to run in processes of their own, see what is missing before any of them is started."""
    if os.environ.get("CI") and config.getoption("numprocesses", None):
        if chromium_path() is None:
            raise pytest.UsageError(NO_BROWSER.format(count="all") + IN_CI)
        if shutil.which("certutil") is None:
            raise pytest.UsageError(NO_CERTUTIL.format(count="all") + IN_CI)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Where the tests run in processes of their own: a file's tests in one of them, so one demo server for it."""
    from xdist.scheduler import LoadFileScheduling

    config.option.loadscopereorder = False  # browser tests come last
    return LoadFileScheduling(config, log)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Browser tests come last. Without a browser, or certutil: fail in CI; elsewhere leave them out and say so.

    Playwright keeps an event loop running in this thread, in which tests that start a loop of their own cannot run.
    Several processes (-n 2) get their tests in this order too.
    """
    items.sort(key=lambda item: item.get_closest_marker("browser") is not None)
    if chromium_path() is None:
        _leave_out(config, items, "browser", NO_BROWSER)
    elif shutil.which("certutil") is None:
        _leave_out(config, items, "certutil", NO_CERTUTIL)


def _leave_out(config: pytest.Config, items: list[pytest.Item], marker: str, words: str) -> None:
    wanting = [item for item in items if item.get_closest_marker(marker)]
    if not wanting:
        return
    if os.environ.get("CI"):
        raise pytest.UsageError(words.format(count=len(wanting)) + IN_CI)
    items[:] = [item for item in items if item not in wanting]
    config.hook.pytest_deselected(items=wanting)
    _tell_at_the_end(config, marker, words.format(count=len(wanting)))


_LEFT_OUT = pytest.StashKey[tuple[str, str]]()


def _tell_at_the_end(config: pytest.Config, marker: str, words: str) -> None:
    config.stash[_LEFT_OUT] = (marker, words)
    if hasattr(config, "workeroutput"):
        config.workeroutput["left_out"] = (marker, words)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """Where the tests run in processes of their own: hear what a process left out."""
    left_out = getattr(node, "workeroutput", {}).get("left_out")
    if left_out:
        _tell_at_the_end(node.config, *left_out)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Say at the very end what did not run."""
    marker, words = config.stash.get(_LEFT_OUT, ("", ""))
    if words:
        terminalreporter.section(f"no {marker}", sep="=", red=True, bold=True)
        terminalreporter.line(words)


@pytest.fixture(scope="session")
def chromium_command() -> list[str]:
    """The browser's own command line, for a test that starts one by itself."""
    return [chromium_path() or "", *CHROMIUM_ARGUMENTS]


@pytest.fixture(scope="session")
def chromium(chromium_command: list[str]) -> Iterator[Browser]:
    """A headless Chromium for the session."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_command[0], args=CHROMIUM_ARGUMENTS)
        yield browser
        browser.close()


class ServerProcess:
    """A real `fieldapp demo` or `fieldapp serve` process, on a free port unless one is named.

    Nobody may use `serve` without a link, and it starts for a manager's only: one is made first.
    """

    def __init__(
        self,
        data: Path,
        verb: str = "demo",
        port: int = 0,
        environment: dict[str, str] | None = None,
        options: tuple[str, ...] = (),
        checkout: Path = REPOSITORY,
    ) -> None:
        self.data = data
        if verb == "serve":
            self.manager_link = self.link("manage", "Manager")
        self.process = _started(
            [verb, "--port", str(port), "--data", str(data), *options],
            checkout,
            {**os.environ, "PYTHONUNBUFFERED": "1", **(environment or {})},
        )
        self.printed: list[str] = []
        self.address = self._read_address()
        self._reader = threading.Thread(target=self._drain, daemon=True)
        self._reader.start()

    def link(self, role: str = "mark", name: str = "Robin", **more: object) -> str:
        """Make an invitation link to this server's data; return its path."""
        with closing(open_store(Settings(data_dir=self.data))) as store:
            return f"/enter/{make_link(store, name, role, datetime.now(UTC), **more).token}"

    def _read_address(self) -> str:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.printed.append(line)
            found = re.search(r"http://[\w.\[\]:]+:\d+", line)
            if found:
                return found.group(0)
        self.process.stdout.close()
        self.process.wait()
        raise AssertionError("the server ended before it printed its address:\n" + "".join(self.printed))

    def _drain(self) -> None:
        with self.process.stdout as printed:
            self.printed.extend(printed)

    def stop(self, how: int = signal.SIGINT) -> int:
        """Send a signal and return the exit code."""
        self.process.send_signal(how)
        code = self.process.wait(timeout=20)
        self._reader.join(timeout=5)
        return code


def _started(
    words: list[str], checkout: Path, environment: dict[str, str]
) -> subprocess.Popen[str] | Branched:
    if checkout == REPOSITORY:
        return Branched(words, checkout, environment)
    return subprocess.Popen(
        [sys.executable, "-m", "fieldapp", *words],
        cwd=checkout,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=environment,
    )


@pytest.fixture(scope="session")
def server_process() -> type[ServerProcess]:
    """The class of server processes, for a fixture that needs one longer than a test."""
    return ServerProcess


@pytest.fixture
def start_server(tmp_path: Path) -> Iterator[Callable[..., ServerProcess]]:
    """A function that starts a server process; all are killed at the end."""
    started: list[ServerProcess] = []

    def start(
        data: Path | None = None,
        verb: str = "demo",
        port: int = 0,
        *options: str,
        checkout: Path = REPOSITORY,
        **environment: str,
    ) -> ServerProcess:
        server = ServerProcess(data or tmp_path / "data", verb, port, environment, options, checkout)
        started.append(server)
        return server

    yield start
    for server in started:
        if server.process.poll() is None:
            server.stop(signal.SIGKILL)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServerProcess]:
    """One demo server for a test module."""
    server = ServerProcess(tmp_path_factory.mktemp("demo"))
    yield server
    server.stop(signal.SIGKILL)


PHONE = {"width": 360, "height": 740}
WATCH_FOR_FAULTS = (
    "window.__faults = [];"
    "document.addEventListener('securitypolicyviolation',"
    " e => __faults.push(`policy: ${e.effectiveDirective} ${e.blockedURI}`));"
    "addEventListener('error', e => __faults.push(`error: ${e.message}`));"
    "addEventListener('unhandledrejection', e => __faults.push(`rejection: ${e.reason}`));"
)
SENDS_NOTHING = """{ const asks = globalThis.fetch;
globalThis.fetch = (url, how) => how?.method === 'POST' && String(url).endsWith('/records') && !globalThis.maySend
  ? Promise.reject(new TypeError('no signal')) : asks(url, how); }"""

KEEP_NOTHING = "navigator.serviceWorker.register = () => new Promise(() => {});"


class Phone:
    """One browser context with its own storage, permission to locate, and a set-out page.

    It hears of no company unless that is asked for: the server still tells of the phones of tests just before.
    Where it is not to be kept, the page stays as it is before its worker is there, at a third less work.
    """

    def __init__(
        self,
        chromium: Browser,
        address: str,
        in_company: bool = False,
        is_kept: bool = True,
        **options: object,
    ) -> None:
        self.address = address
        self.context = chromium.new_context(
            viewport=PHONE, device_scale_factor=2, has_touch=True, permissions=["geolocation"], **options
        )
        self.context.add_init_script(WATCH_FOR_FAULTS)
        if not is_kept:
            self.context.add_init_script(KEEP_NOTHING)
        if not in_company:
            self.context.route("**/presence", lambda route: route.fulfill(json={"others": []}))
        self.page: Page = self.context.new_page()
        self.page.set_default_timeout(10_000)

    def send_no_records(self) -> None:
        """Have every page of the phone, now and loaded again, keep its records until `maySend` is set in it.

        What a test cuts from outside can slip through while pages change or close.
        """
        self.context.add_init_script(SENDS_NOTHING)
        self.page.evaluate(f"() => {SENDS_NOTHING}")

    def enter(self, link: str) -> None:
        """Open an invitation link of the server and press its button."""
        self.page.goto(self.address + link)
        self.page.get_by_role("button", name="Let this phone in").click()
        self.page.wait_for_url(lambda url: "/enter/" not in url)

    def open(self, site: str, bunker: str, query: str = "") -> None:
        """Open the set-out page of a bunker."""
        self.page.goto(f"{self.address}/sites/{site}/set-out/{bunker}{query}")
        expect(self.page.get_by_role("button", name="Start")).to_be_visible()

    def start(self, receiver: str = "phone", person: str = "Robin") -> None:
        """Fill in the start panel and press Start."""
        self.page.locator("#person").fill(person)
        self.page.locator(f'input[name=receiver][value="{receiver}"]').check()
        self.page.get_by_role("button", name="Start").click()
        expect(self.page.locator(".work")).to_be_visible()

    def stand(self, lat: float, lon: float, accuracy: float = 0.02) -> None:
        """Give the page one position."""
        self.context.set_geolocation({"latitude": lat, "longitude": lon, "accuracy": accuracy})

    def read_notices(self) -> None:
        """Open the whole of what the strip above everything says."""
        self.page.locator(".notices-strip").click()

    def wait_until_kept(self) -> None:
        """Wait until the worker keeps the page, so that it opens without signal."""
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null", timeout=20_000)

    @property
    def main_button(self) -> Locator:
        """The one large button."""
        return self.page.locator(".actions .main-button")

    def target_number(self) -> int:
        """Return the number on the large button."""
        found = re.search(r"(\d+)", self.main_button.inner_text())
        assert found, self.main_button.inner_text()
        return int(found.group(1))

    def paint(self) -> int:
        """Mark the point aimed at, with the second tap where one is asked for, and wait until it is stored."""
        expect(self.main_button).to_have_attribute("data-state", "ready")
        number = self.target_number()
        self.main_button.click()
        if self.main_button.get_attribute("data-state") == "asking":
            self.main_button.click()
        expect(self.main_button).to_contain_text("stored on this phone")
        expect(self.main_button).to_have_attribute("data-state", "ready")
        return number

    @property
    def sent(self) -> Locator:
        """Where the head says how many records wait."""
        return self.page.locator(".head-send")

    def send_now(self) -> None:
        """Have the page send what waits, as it does by itself when the network comes back."""
        self.page.evaluate("dispatchEvent(new Event('online'))")

    def verdict(self) -> str:
        """Return the verdict the page gives now."""
        return self.page.locator(".verdict").get_attribute("data-verdict") or ""

    def expect_verdict(self, kind: str) -> None:
        """Wait for a verdict."""
        expect(self.page.locator(".verdict")).to_have_attribute("data-verdict", kind)

    def faults(self) -> list[str]:
        """Return errors and policy violations the page met."""
        return self.page.evaluate("__faults")


@pytest.fixture(scope="session")
def phone_class() -> type[Phone]:
    """The class of phones, for a fixture that needs one longer than a test; who makes one closes it."""
    return Phone


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Callable[..., Phone]]:
    """A function that makes a phone for a server; no phone may end a test with a fault."""
    phones: list[Phone] = []

    def make(address: str, **options: object) -> Phone:
        phones.append(Phone(chromium, address, **options))
        return phones[-1]

    yield make
    faults = [fault for made in phones for fault in made.faults()]
    for made in phones:
        made.context.close()
    assert faults == []
