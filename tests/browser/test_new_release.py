"""A new release of the page: it waits until nobody sets out, and old and new modules never meet."""

from __future__ import annotations

import re
import shutil
import time
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

REPOSITORY = Path(__file__).parents[2]
SITE, BUNKER = "skerry-bank", "4-right"
RELEASES = """() => [...new Set(performance.getEntriesByType('resource')
  .map(({ name }) => /\\/s\\/([0-9a-f]+)\\//.exec(name)?.[1]).filter(Boolean))]"""
LOOK = "async () => (await navigator.serviceWorker.getRegistration()).update().then(() => true, () => false)"
WAITING = "async () => Boolean((await navigator.serviceWorker.getRegistration()).waiting)"
FETCH_ALL = """async () => {
  const own = /\\/s\\/([0-9a-f]+)\\//.exec(document.querySelector('script[type=module]').src)[1];
  const cache = await caches.open(`app-${own}`);
  const files = (await cache.keys()).map(({ url }) => url);
  const answers = await Promise.all(files.map((url) => fetch(url).then(({ status }) => status)));
  return [own, files.length, [...new Set(answers)]];
}"""

pytestmark = pytest.mark.browser


@pytest.fixture
def swap(start_server, tmp_path):
    """A function that puts a server of another release in place of one, on the same port and data."""

    def swapped(server, marker: str):
        checkout = tmp_path / marker
        for name in ("fieldapp", "web", "sample_sites"):
            shutil.copytree(REPOSITORY / name, checkout / name)
        with (checkout / "web/phone/session/walking.js").open("a", encoding="utf-8") as module:
            module.write(f"// {marker}\n")
        server.stop()
        return start_server(server.data, port=int(server.address.rsplit(":", 1)[1]), checkout=checkout)

    return swapped


def release_of(page: Page) -> str:
    (release,) = page.evaluate(RELEASES)
    return release


def served_release(worker) -> str:
    return re.search(r'"release": "(\w+)"', worker.context.request.get(f"{worker.address}/sw.js").text())[1]


def wait_until(page: Page, holds, seconds: float = 20) -> None:
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "it did not come about in time"
        page.wait_for_timeout(100)


def wait_until_it_waits(page: Page) -> None:
    wait_until(page, lambda: page.evaluate(LOOK) and page.evaluate(WAITING))


def test_a_new_release_waits_while_somebody_sets_out_and_comes_when_only_the_field_page_is_open(
    start_server, phone, swap
):
    server = start_server()
    worker = phone(server.address)
    worker.open(SITE, BUNKER)
    worker.start()
    worker.wait_until_kept()
    old = release_of(worker.page)
    swap(server, "next")
    new = served_release(worker)
    assert new != old
    wait_until_it_waits(worker.page)

    worker.paint()
    assert worker.page.evaluate(FETCH_ALL)[0::2] == [old, [200]]

    field = worker.context.new_page()
    field.goto(f"{worker.address}/field/{SITE}")
    expect(field.locator(".field-newer")).to_contain_text("Close every set-out page", timeout=20_000)
    field.get_by_role("button", name="Take it").click()
    expect(field.locator(".field-newer")).to_contain_text("Close every set-out page")
    assert release_of(field) == old
    again = worker.context.new_page()
    again.goto(f"{worker.address}/sites/{SITE}/set-out/4-old")
    expect(again.get_by_role("button", name="Start")).to_be_visible()
    assert release_of(again) == old
    worker.paint()
    assert worker.faults() == []

    again.close()
    worker.page.close()
    field.get_by_role("button", name="Take it").click()
    expect(field.locator(".field-newer")).to_be_hidden(timeout=20_000)
    wait_until(field, lambda: field.evaluate(RELEASES) == [new])
    worker.page = field
    worker.open(SITE, BUNKER)
    assert release_of(field) == new
    assert field.evaluate("caches.keys()") == [f"app-{new}"]
    worker.start()
    expect(worker.page.locator(".head-progress")).to_contain_text("2 of")


def test_the_field_page_alone_takes_a_new_release_by_itself_and_loads_once(start_server, phone, swap):
    server = start_server()
    worker = phone(server.address)
    worker.page.goto(f"{worker.address}/field/{SITE}")
    worker.wait_until_kept()
    swap(server, "next")
    new = served_release(worker)
    loads: list[str] = []
    worker.page.on("load", lambda page: loads.append(page.url))
    worker.page.evaluate(LOOK)
    wait_until(worker.page, lambda: loads != [])
    expect(worker.page.get_by_role("heading", level=1)).to_contain_text("Skerry Bank")
    assert release_of(worker.page) == new
    worker.page.wait_for_timeout(1500)
    assert len(loads) == 1


def test_a_release_that_cannot_be_fetched_whole_leaves_the_old_one_working(start_server, phone, swap):
    server = start_server()
    worker = phone(server.address)
    worker.open(SITE, BUNKER)
    worker.wait_until_kept()
    old = release_of(worker.page)
    swap(server, "broken")
    worker.context.route("**/script/set-out.js", lambda route: route.fulfill(status=503))
    worker.page.evaluate(LOOK)
    worker.page.wait_for_timeout(1500)
    assert worker.page.evaluate(WAITING) is False
    worker.context.set_offline(True)
    worker.open(SITE, BUNKER)
    assert release_of(worker.page) == old
