"""The phone's own storage is full, by the browser's real limit: it is said, the work goes on, the file is offered."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

from tests.conftest import PHONE

SITE, BUNKER = "skerry-bank", "4-right"
SENDING = "**/api/sites/*/records"

pytestmark = pytest.mark.browser


@pytest.fixture
def opened(chromium, chromium_command, tmp_path, demo):
    """A function that opens a browser on one profile on disk, where the browser's limits hold, and the page in it."""
    contexts = []

    def start(quota=None):
        context = chromium.browser_type.launch_persistent_context(
            tmp_path / "profile",
            executable_path=chromium_command[0],
            args=chromium_command[1:],
            viewport=PHONE,
        )
        contexts.append(context)
        context.route(
            SENDING, lambda route: route.abort() if route.request.method == "POST" else route.fallback()
        )
        page = context.pages[0]
        if quota is not None:
            limits = context.new_cdp_session(page)
            limits.send("Storage.overrideQuotaForOrigin", {"origin": demo.address, "quotaSize": quota})
        page.goto(f"{demo.address}/sites/{SITE}/set-out/{BUNKER}")
        page.locator("#person").fill("Quota")
        page.get_by_role("button", name="Start").click()
        return page

    yield start
    for context in contexts:
        context.close()


def test_with_the_quota_used_up_the_work_goes_on_and_nothing_is_lost(demo, opened, held):
    """The browser is started anew for the limit, since it remembers for half a minute how much room there was."""
    page = opened()
    _press(page.locator(".actions .main-button"))
    expect(page.locator(".actions .main-button")).to_contain_text("stored on this phone")
    page.context.close()

    page = opened(quota=1)
    button = page.locator(".actions .main-button")
    expect(button).to_contain_text("Painted 2")
    _press(button)
    expect(button).to_contain_text("not stored: see above")
    expect(page.locator(".head-progress")).to_contain_text("2 of")
    notice = page.locator(".notice.is-danger", has_text="could not store 1 record")
    page.locator(".notices-strip").click()
    with page.expect_download() as coming:
        notice.get_by_role("button", name="Hand over as a file").click()
    with open(coming.value.path(), encoding="utf-8") as file:
        numbers = [record["target"]["number"] for record in json.load(file)["records"]]
    assert numbers == [1, 2]

    page.context.unroute(SENDING)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator(".head-send")).to_have_text("all sent", timeout=20_000)
    expect(notice).to_have_count(0)
    assert sorted(row["number"] for row in held(demo.address, person="Quota")) == ["1", "2"]


def _press(button) -> None:
    button.click()
    if button.get_attribute("data-state") == "asking":
        button.click()
