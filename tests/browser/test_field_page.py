"""The phone's own page of a site, and the check before leaving the yard."""

import pytest
from playwright.sync_api import expect

SITE = "skerry-bank"
IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
    "Version/18.5 Mobile/15E148 Safari/604.1"
)
INSECURE = "Object.defineProperty(globalThis, 'isSecureContext', { value: false });"
NO_CERTIFICATE = """navigator.serviceWorker.register = () =>
  Promise.reject(new DOMException('An SSL certificate error occurred.', 'SecurityError'));"""
TOO_SMALL = """() => [...document.querySelectorAll('button, a[href]')]
  .filter((e) => e.getClientRects().length > 0)
  .filter((e) => Math.min(e.getBoundingClientRect().height, e.getBoundingClientRect().width) < 56)
  .map((e) => e.textContent)"""
TOO_WIDE = """() => [...document.querySelectorAll('html, body, main, .field-page *')]
  .filter((e) => !e.closest('svg') && e.getClientRects().length > 0)
  .filter((e) => e.getBoundingClientRect().right > innerWidth + 0.5 || e.getBoundingClientRect().left < -0.5)
  .map((e) => `${e.tagName}.${e.className} ${e.textContent.slice(0, 40)}`)"""

pytestmark = pytest.mark.browser


@pytest.fixture
def worker(demo, phone):
    worker = phone(demo.address)
    worker.stand(53.6, -5.0, accuracy=4.0)
    return worker


def open_field(worker):
    worker.page.goto(f"{worker.address}/field/{SITE}")
    expect(worker.page.locator(".kept")).to_contain_text("all 3 holes", timeout=20_000)


def get_ready(worker):
    worker.page.get_by_role("button", name="Get ready for the field").click()
    expect(worker.page.locator(".ready-verdict")).not_to_have_attribute(
        "data-state", "checking", timeout=40_000
    )


def row(worker, key):
    return worker.page.locator(f".ready-row[data-key={key}]")


def test_a_phone_with_signal_a_position_and_everything_kept_is_ready(worker):
    open_field(worker)
    get_ready(worker)
    expect(worker.page.locator(".ready-verdict")).to_contain_text("Ready for the field")
    for key, words in {
        "secure": "secure connection",
        "server": "this phone is let in",
        "page": "it opens without signal",
        "plans": "These are the newest.",
        "storage": "",
        "location": "good to 4 m",
        "clock": "Right, within",
    }.items():
        expect(row(worker, key)).to_contain_text(words)
    worker.page.reload()
    expect(worker.page.locator(".main-button")).to_contain_text("ready when checked just now")


def test_without_signal_it_is_not_ready_and_says_what_to_do_first(worker):
    open_field(worker)
    worker.wait_until_kept()
    worker.context.set_offline(True)
    get_ready(worker)
    expect(worker.page.locator(".ready-verdict")).to_contain_text("Server first. Go where there is signal")
    expect(row(worker, "page")).to_contain_text("it opens without signal")
    expect(row(worker, "plans")).to_contain_text("Whether they are the newest is not known.")


def test_whoever_may_mark_is_led_to_reading_places_and_nobody_else_is(worker):
    to_places = worker.page.get_by_role("link", name="Read places for the plan")
    looks = {"name": "Lou", "role": "look", "crew": False}
    worker.page.route("**/api/me", lambda route: route.fulfill(json=looks))
    with worker.page.expect_response("**/api/me"):
        open_field(worker)
    expect(to_places).to_be_hidden()
    worker.page.unroute("**/api/me")
    open_field(worker)
    to_places.click()
    expect(worker.page).to_have_url(f"{worker.address}/sites/{SITE}/places")
    worker.page.get_by_role("link", name="Field page").click()
    expect(worker.page).to_have_url(f"{worker.address}/field/{SITE}")


def test_a_location_that_is_refused_is_told_with_what_to_do(worker):
    worker.context.clear_permissions()
    open_field(worker)
    get_ready(worker)
    expect(worker.page.locator(".ready-verdict")).to_have_attribute("data-state", "not ready")
    expect(row(worker, "location")).to_contain_text("Location is refused for this page.")


def test_a_clock_two_days_off_is_told(worker):
    worker.page.add_init_script("const now = Date.now; Date.now = () => now() + 2 * 86400e3;")
    open_field(worker)
    get_ready(worker)
    expect(row(worker, "clock")).to_contain_text("2 days ahead of the server's")
    expect(row(worker, "clock")).to_contain_text("Records keep the phone's own time.")


def test_behind_a_certificate_that_was_clicked_through_it_says_that_the_page_will_not_open_without_signal(
    worker,
):
    worker.page.add_init_script(NO_CERTIFICATE)
    open_field(worker)
    get_ready(worker)
    expect(row(worker, "page")).to_contain_text("without signal this page will not open")
    expect(worker.page.locator(".ready-verdict")).to_contain_text("This page first.")


def test_over_plain_http_it_says_what_will_not_work(worker):
    worker.page.add_init_script(INSECURE)
    open_field(worker)
    get_ready(worker)
    expect(worker.page.locator(".ready-verdict")).to_contain_text("Address first.")
    expect(row(worker, "location")).to_contain_text("Over plain http the phone gives no position.")


def test_in_an_iphones_tab_the_home_screen_comes_first_with_what_waits_in_the_tab(demo, phone):
    worker = phone(demo.address, user_agent=IPHONE)
    worker.send_no_records()
    worker.open(SITE, "3-pot")
    worker.start(person="Tab")
    worker.paint()
    open_field(worker)
    expect(worker.page.locator(".ready-verdict")).to_contain_text("Home screen first.")
    expect(row(worker, "homeScreen")).to_contain_text("1 record waits in this tab")


def test_what_is_painted_counts_and_what_waits_is_sent_from_here(worker, held):
    worker.send_no_records()
    worker.open(SITE, "3-left")
    worker.start(person="Waits")
    worker.paint()
    open_field(worker)
    expect(worker.page.locator(".bunker-row", has_text="3 left")).to_contain_text("1 of 38")
    expect(worker.page.locator(".field-records")).to_contain_text("1 to send")
    worker.page.evaluate("globalThis.maySend = true")
    worker.page.get_by_role("button", name="Send now").click()
    expect(worker.page.locator(".field-records")).to_contain_text("All sent")
    assert len(held(worker.address, person="Waits")) == 1


@pytest.mark.parametrize(("width", "height"), [(320, 640), (360, 740), (768, 1024), (1280, 800)])
def test_rows_are_large_and_nothing_is_cut_off(worker, width, height):
    worker.page.set_viewport_size({"width": width, "height": height})
    open_field(worker)
    get_ready(worker)
    assert worker.page.evaluate(TOO_SMALL) == []
    assert worker.page.evaluate(TOO_WIDE) == []
    worker.context.set_offline(True)
    worker.page.get_by_role("button", name="Check again").click()
    expect(worker.page.locator(".ready-verdict")).to_have_attribute("data-state", "not ready", timeout=40_000)
    assert worker.page.evaluate(TOO_WIDE) == []


def test_the_page_can_be_put_on_the_home_screen(worker):
    open_field(worker)
    manifest = worker.page.evaluate(
        "fetch(document.querySelector('link[rel=manifest]').href).then((a) => a.json())"
    )
    assert manifest["start_url"] == f"/field/{SITE}"


@pytest.mark.parametrize(("agent", "count"), [(IPHONE, 1), (None, 0)], ids=["an iPhone", "another phone"])
def test_the_set_out_page_asks_an_iphones_tab_for_the_home_screen_before_the_start(demo, phone, agent, count):
    worker = phone(demo.address, user_agent=agent)
    worker.open(SITE, "4-right")
    asking = worker.page.get_by_role("alert").filter(has_text="put this page on the home screen")
    expect(asking).to_have_count(count)
