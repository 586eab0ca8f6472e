"""The server or the browser is killed in the middle of the work, and every mark arrives once."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

SITE, BUNKER = "skerry-bank", "4-right"
SENDING = "**/api/sites/*/records"

pytestmark = pytest.mark.browser


def test_marks_made_while_the_server_is_dead_arrive_once_when_it_is_back(start_server, phone, held):
    server = start_server()
    worker = phone(server.address)
    worker.open(SITE, BUNKER)
    worker.start()
    worker.paint()
    server.stop(signal.SIGKILL)
    worker.paint()
    worker.paint()
    expect(worker.sent).to_contain_text("to send")
    start_server(server.data, port=int(server.address.rsplit(":", 1)[1]))
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    assert sorted(int(row["number"]) for row in held(server.address)) == [1, 2, 3]


class OwnBrowser:
    """A Chromium with a profile on disk, in a process group that can be killed at once."""

    def __init__(self, chromium: Browser, command: list[str], profile: Path) -> None:
        self.process = subprocess.Popen(
            [*command, "--headless=new", "--remote-debugging-port=0", f"--user-data-dir={profile}"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )
        found = (re.search(r"ws://\S+", line) for line in self.process.stderr)
        address = next(match.group(0) for match in found if match)
        self._drain = threading.Thread(target=self._read_on, daemon=True)
        self._drain.start()
        self.remote = chromium.browser_type.connect_over_cdp(address)
        self.page: Page = self.remote.contexts[0].new_page()

    def _read_on(self) -> None:
        with self.process.stderr as lines:
            for _ in lines:
                continue

    def kill(self) -> None:
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self._drain.join(timeout=5)


@pytest.fixture
def own_browser(chromium, chromium_command, tmp_path) -> Iterator[Callable[[], OwnBrowser]]:
    """A function that starts a browser, each time on the same profile."""
    started: list[OwnBrowser] = []

    def start() -> OwnBrowser:
        started.append(OwnBrowser(chromium, chromium_command, tmp_path / "profile"))
        return started[-1]

    yield start
    for browser in started:
        browser.kill()


def test_a_mark_stored_just_before_the_browser_is_killed_is_sent_once_after_it(demo, own_browser, held):
    address = f"{demo.address}/sites/{SITE}/set-out/{BUNKER}"
    first = own_browser()
    first.page.context.route(SENDING, lambda route: route.abort())
    first.page.goto(address)
    first.page.locator("#person").fill("Robin")
    first.page.get_by_role("button", name="Start").click()
    button = first.page.locator(".actions .main-button")
    button.click()
    button.click()
    expect(button).to_contain_text("stored on this phone")
    first.kill()
    assert held(demo.address) == []

    second = own_browser()
    second.page.goto(address)
    second.page.get_by_role("button", name="Start").click()
    expect(second.page.locator(".head-send")).to_have_text("all sent")
    expect(second.page.locator(".head-progress")).to_contain_text("1 of")
    assert [row["number"] for row in held(demo.address)] == ["1"]
