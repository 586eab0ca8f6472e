"""Links in a real browser: a manager makes one, a phone comes in by it, and is shut out when it is ended."""

import signal
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from fieldapp.settings import Settings
from fieldapp.shipped_files import sample_site_folders
from fieldapp.store.engine import open_store
from fieldapp.workflow.links import end_link, links_held
from fieldapp.workflow.sites import load_site

pytestmark = pytest.mark.browser
SITE, BUNKER = "skerry-bank", "4-right"
WIDTHS = [320, 1280]
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"],
    "rules": {"target-size": {"enabled": True}},
}


@pytest.fixture(scope="module")
def data(tmp_path_factory):
    folder = tmp_path_factory.mktemp("links")
    store = open_store(Settings(data_dir=folder))
    for site in sample_site_folders():
        load_site(store, site, datetime(2026, 5, 1, tzinfo=UTC))
    store.close()
    return folder


@pytest.fixture(scope="module")
def serving(data, server_process):
    server = server_process(data, "serve")
    yield server
    server.stop(signal.SIGKILL)


def end_links(data, name):
    store = open_store(Settings(data_dir=data))
    for link in links_held(store):
        if link.name == name:
            end_link(store, link.id, datetime.now(UTC))
    store.close()


def records_held(data):
    from fieldapp.workflow.records import held_records_of

    store = open_store(Settings(data_dir=data))
    held = held_records_of(store)
    store.close()
    return len(held)


def test_a_manager_makes_a_link_by_form_and_a_phone_comes_in_by_it(serving, phone):
    manager = phone(serving.address, java_script_enabled=False)
    manager.page.goto(serving.address + serving.manager_link)
    manager.page.get_by_role("button", name="Let this phone in").click()
    manager.page.get_by_role("link", name="People").click()
    manager.page.get_by_label("Name of the person or crew").fill("Kim")
    manager.page.get_by_role("button", name="Make the link").click()
    address = manager.page.get_by_label("Address to copy").input_value()
    expect(manager.page.locator("svg.qr-code")).to_be_visible()

    worker = phone(serving.address)
    worker.enter(address.removeprefix(serving.address))
    worker.open(SITE, BUNKER)
    assert worker.page.request.get(f"{serving.address}/api/me").json()["name"] == "Kim"


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without"])
def test_a_page_that_lets_nobody_in_takes_the_pasted_link_and_goes_on(serving, phone, scripts):
    """As a page opened from an iPhone's home screen for the first time: no cookie, and no address bar."""
    worker = phone(serving.address, java_script_enabled=scripts)
    worker.page.goto(f"{serving.address}/field/{SITE}")
    box = worker.page.get_by_label("Paste your invitation link here")
    box.fill("what I had copied before")
    worker.page.get_by_role("button", name="Go on").click()
    expect(worker.page.locator(".notice")).to_contain_text("no invitation link of this server")
    box.fill(f"Your link: {serving.address}{serving.link()}")
    worker.page.get_by_role("button", name="Go on").click()
    worker.page.get_by_role("button", name="Let this phone in").click()
    worker.page.wait_for_url(f"{serving.address}/field/{SITE}")
    assert worker.page.request.get(f"{serving.address}/api/me").json()["name"] == "Robin"


def test_the_button_works_where_the_browser_says_no_origin(serving, phone):
    """A page under no-referrer posts with the origin "null"; the request must be seen as this server's own."""
    seen = []
    worker = phone(serving.address)
    worker.page.on("request", lambda request: seen.append(request) if request.method == "POST" else None)
    worker.enter(serving.link())
    (posted,) = seen
    headers = posted.all_headers()
    assert (headers["origin"], "referer" in headers) == ("null", False)
    assert worker.page.request.get(f"{serving.address}/api/me").status == 200


def test_a_page_of_another_site_cannot_let_a_phone_in(serving, phone):
    trap = f'<form method="post" action="{serving.address}{serving.link()}"><button>Win</button></form>'
    worker = phone(serving.address)
    worker.page.route(
        "http://elsewhere.example/", lambda route: route.fulfill(content_type="text/html", body=trap)
    )
    worker.page.goto("http://elsewhere.example/")
    with worker.page.expect_response(lambda answer: "/enter/" in answer.url) as answered:
        worker.page.get_by_role("button", name="Win").click()
    assert answered.value.status == 403
    assert worker.page.request.get(f"{serving.address}/api/me").status == 401


def test_marks_of_a_phone_whose_link_was_ended_wait_and_go_out_once_it_is_let_in_again(
    serving, data, phone, points_of
):
    worker = phone(serving.address)
    worker.enter(serving.link("mark", "Robin"))
    worker.open(SITE, BUNKER)
    worker.start(person="Robin")
    first = points_of(SITE, BUNKER)[1]
    worker.stand(first["lat"], first["lon"])
    end_links(data, "Robin")
    worker.paint()
    expect(worker.sent).to_contain_text("1 to send")
    expect(worker.page.locator("body")).to_contain_text("The link of Robin was ended")
    assert records_held(data) == 0

    again = worker.context.new_page()
    again.goto(serving.address + serving.link("mark", "Robin"))
    again.get_by_role("button", name="Let this phone in").click()
    again.wait_for_url(lambda url: "/enter/" not in url)
    worker.send_now()
    expect(worker.sent).to_contain_text("all sent")
    assert records_held(data) == 1


@pytest.mark.parametrize("width", WIDTHS)
def test_every_page_of_links_fits_the_screen_and_is_open_to_all(serving, phone, width):
    made = phone(serving.address)
    made.page.set_viewport_size({"width": width, "height": 740})
    long_name = "The early team of the far holes beyond the burn"
    link = serving.link("mark", long_name, is_crew=True)

    def fits():
        found = Axe().run(made.page, options=RULES)
        assert found.violations_count == 0, found.generate_report()
        assert made.page.evaluate("document.documentElement.scrollWidth") <= width

    made.page.goto(serving.address)
    fits()
    made.page.goto(serving.address + link)
    fits()
    made.enter(serving.link("manage", f"Manager at {width} px"))
    made.page.goto(serving.address + "/people")
    fits()
    made.page.get_by_label("Name of the person or crew").fill(long_name)
    made.page.get_by_role("button", name="Make the link").click()
    drawn = made.page.locator("svg.qr-code").bounding_box()
    assert drawn["width"] == drawn["height"] >= 180
    fits()
