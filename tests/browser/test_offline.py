"""Without signal: the pages open from the phone, and what is marked arrives later."""

from __future__ import annotations

import re
import signal
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import BrowserContext, Error, Page, expect

from tests.browser.waiting import wait_until

SITE, BUNKER = "skerry-bank", "4-right"
SET_OUT, FIELD = f"/sites/{SITE}/set-out/{BUNKER}", f"/field/{SITE}"
KEPT = """async (work) => {
  const settled = (request) => new Promise((done) => { request.onsuccess = () => done(request.result); });
  const database = await settled(indexedDB.open('fieldapp', 1));
  const store = database.transaction('kept', 'readwrite').objectStore('kept');
  const keys = (await settled(store.getAllKeys())).filter((key) => /^(bundle|field) /.test(key));
  for (const key of work.days ? keys : []) {
    const held = await settled(store.get(key));
    await settled(store.put({ ...held, keptAt: held.keptAt - work.days * 86400e3 }, key));
  }
  database.close();
  return keys.length;
}"""
FORGET = """new Promise((done) => {
  const request = indexedDB.deleteDatabase('fieldapp');
  request.onsuccess = request.onblocked = () => done(true);
})"""
FILES_KEPT = (
    "async () => (await (await caches.open((await caches.keys())[0] ?? 'none')).keys()).map((r) => r.url)"
)

pytestmark = pytest.mark.browser


def start_button(page: Page):
    return page.get_by_role("button", name="Start")


def wait_for_plans(page: Page, holes: int) -> None:
    """Wait until the list of the site and the plans of that many holes are kept."""
    wait_until(page, lambda: page.evaluate(KEPT, {}) == holes + 1)


@pytest.fixture
def worker(demo, phone):
    """A phone that has had the set-out page open once with signal, until all was kept."""
    worker = phone(demo.address)
    worker.open(SITE, BUNKER)
    worker.wait_until_kept()
    wait_for_plans(worker.page, 3)
    return worker


def test_after_one_visit_by_its_code_a_set_out_page_opens_without_signal_and_its_marks_arrive(worker, held):
    worker.context.set_offline(True)
    worker.page.goto(worker.address + SET_OUT)
    worker.start(person="Cold")
    worker.stand(53.6, -5.0)
    worker.expect_verdict("outside")
    worker.paint()
    expect(worker.sent).to_have_text("1 to send")
    worker.page.reload()
    start_button(worker.page).click()
    worker.paint()
    expect(worker.sent).to_have_text("2 to send")
    worker.context.set_offline(False)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    assert sorted(int(row["number"]) for row in held(worker.address, person="Cold")) == [1, 2]


def test_the_other_holes_and_the_field_page_are_kept_too(worker):
    worker.context.set_offline(True)
    page = worker.page
    page.goto(worker.address + FIELD)
    expect(page.get_by_role("heading", level=1)).to_contain_text("Skerry Bank")
    expect(page.locator(".kept")).to_contain_text("The plans of all 3 holes are kept on this phone")
    expect(page.locator(".warning")).to_contain_text("No signal to the server now.")
    page.locator(".bunker-row", has_text="5 green").click()
    expect(start_button(page)).to_be_visible()
    expect(page.get_by_role("heading", level=1)).to_have_text("5 green")


def test_a_field_page_opened_once_is_enough_for_every_hole(demo, phone):
    worker = phone(demo.address)
    worker.page.goto(worker.address + FIELD)
    worker.wait_until_kept()
    wait_for_plans(worker.page, 3)
    worker.context.set_offline(True)
    worker.page.goto(worker.address + SET_OUT)
    expect(start_button(worker.page)).to_be_visible()


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (f"/sites/{SITE}/set-out/pit", "There is no bunker 'pit' at Skerry Bank"),
        ("/sites/nowhere/set-out/pit", "none is kept on this phone"),
    ],
)
def test_without_signal_the_page_itself_says_what_is_not_there(worker, path, words):
    worker.context.set_offline(True)
    worker.page.goto(worker.address + path)
    expect(worker.page.get_by_role("alert")).to_contain_text(words)


def test_what_the_worker_does_not_keep_is_left_to_the_network(worker):
    worker.page.goto(f"{worker.address}/sites/{SITE}")
    expect(worker.page.locator(".masthead")).to_be_visible()
    missing = worker.page.goto(f"{worker.address}/sites/{SITE}/set-out/{BUNKER}/qr.svg")
    assert missing.headers["content-type"] == "image/svg+xml"
    status = worker.page.evaluate(
        "async (site) => (await fetch(`/api/sites/${site}/field`)).headers.get('cache-control')", SITE
    )
    assert status == "no-cache"
    addresses = worker.page.evaluate(FILES_KEPT)
    assert len([url for url in addresses if url.endswith(".js")]) == 4
    assert [url for url in addresses if "/api/" in url] == []


def test_a_server_that_stalls_holds_the_page_up_no_longer_than_a_second_or_so(start_server, phone):
    server = start_server()
    worker = phone(server.address)
    worker.open(SITE, BUNKER)
    worker.wait_until_kept()
    server.process.send_signal(signal.SIGSTOP)
    try:
        worker.page.goto(server.address + SET_OUT)
        expect(start_button(worker.page)).to_be_visible(timeout=6000)
        worker.start()
        worker.paint()
        expect(worker.sent).to_have_text("1 to send")
    finally:
        server.process.send_signal(signal.SIGCONT)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent", timeout=20_000)


@pytest.fixture
def own_browser(chromium, chromium_command, tmp_path) -> Iterator[Callable[[], BrowserContext]]:
    """A function that starts a browser process of its own, each time on the same profile."""
    started: list[BrowserContext] = []

    def start() -> BrowserContext:
        for context in started:
            context.close()
        started[:] = [
            chromium.browser_type.launch_persistent_context(
                tmp_path / "profile",
                executable_path=chromium_command[0],
                args=chromium_command[1:],
                viewport={"width": 360, "height": 740},
            )
        ]
        return started[0]

    yield start
    for context in started:
        context.close()


def test_in_a_new_browser_with_the_server_gone_the_field_page_leads_to_guidance(
    start_server, own_browser, held
):
    server = start_server()
    first = own_browser().new_page()
    first.goto(server.address + FIELD)
    first.wait_for_function("() => navigator.serviceWorker.controller !== null", timeout=20_000)
    wait_for_plans(first, 3)
    server.stop(signal.SIGKILL)

    page = own_browser().new_page()
    with pytest.raises(Error, match="ERR_CONNECTION_REFUSED"):  # at once, though the worker is not up yet
        page.goto(f"{server.address}/sites/{SITE}/holes/4/board", timeout=10_000)
    page = own_browser().new_page()
    page.goto(server.address + FIELD)
    page.locator(".bunker-row", has_text="4 right").click()
    page.locator("#person").fill("Robin")
    page.locator('input[value="practice centimetre"]').check()
    start_button(page).click()
    expect(page.locator(".figure-value").first).to_have_text(re.compile(r"\d"))
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="This phone", exact=True).click()
    button = page.locator(".actions .main-button")
    button.click()
    button.click()
    expect(button).to_contain_text("stored on this phone")
    start_server(server.data, port=int(server.address.rsplit(":", 1)[1]))
    page.goto(server.address + FIELD)
    expect(page.locator(".field-records")).to_contain_text("All sent", timeout=20_000)
    assert len(held(server.address)) == 1


def test_a_plan_kept_two_days_ago_says_so_wherever_it_is_used(worker):
    worker.page.evaluate(KEPT, {"days": 2})
    worker.context.set_offline(True)
    worker.page.goto(worker.address + FIELD)
    expect(worker.page.locator(".kept")).to_contain_text("as on the server 2 days ago")
    worker.page.goto(worker.address + SET_OUT)
    worker.start()
    expect(worker.page.locator(".notices")).to_contain_text("2 days ago")
    worker.page.get_by_role("button", name="More").click()
    expect(worker.page.locator("dialog[open]")).to_contain_text(
        "Hole 4: revisions A and C, as on the server 2 days ago."
    )


def test_evicted_caches_are_filled_again_and_evicted_plans_fetched_again(worker):
    files = len(worker.page.evaluate(FILES_KEPT))
    worker.page.evaluate("async () => Promise.all((await caches.keys()).map((name) => caches.delete(name)))")
    worker.page.goto(worker.address + FIELD)
    wait_until(worker.page, lambda: len(worker.page.evaluate(FILES_KEPT)) == files)
    worker.page.evaluate(FORGET)
    worker.page.goto(worker.address + FIELD)
    wait_for_plans(worker.page, 3)
    worker.context.set_offline(True)
    worker.page.goto(worker.address + SET_OUT)
    expect(start_button(worker.page)).to_be_visible()


def test_a_plan_of_a_newer_kind_is_told_and_the_kept_one_goes_on(worker):
    newer = {"format": "fieldapp-bundle", "version": 2, "content_id": "new"}
    worker.context.route("**/bundle", lambda route: route.fulfill(json=newer))
    worker.page.goto(worker.address + SET_OUT)
    worker.start()
    expect(worker.page.locator(".notices")).to_contain_text("version 2, newer than this page can read")
    worker.context.unroute("**/bundle")
    worker.context.set_offline(True)
    worker.page.goto(worker.address + SET_OUT)
    expect(start_button(worker.page)).to_be_visible()


def test_a_phone_that_is_let_in_no_more_goes_on_with_the_kept_plan_and_says_so(worker):
    worker.context.route(
        "**/bundle", lambda route: route.fulfill(status=401, json={"detail": "Open the link."})
    )
    worker.page.goto(worker.address + SET_OUT)
    worker.start()
    expect(worker.page.locator(".notices")).to_contain_text("does not let this phone in: Open the link.")
