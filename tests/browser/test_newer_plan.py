"""A newer plan that comes in the middle of the work: announced, and taken only by the worker."""

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
BUNDLE = "**/holes/4/bundle"
SINCE = "**/api/sites/*/records?*"

pytestmark = pytest.mark.browser


@pytest.fixture
def worker(demo, phone):
    """A phone at work with the kept plan, the server's not having come."""
    worker = phone(demo.address)
    worker.open(SITE, BUNKER)
    worker.context.route(BUNDLE, lambda route: route.abort())
    worker.page.reload()
    worker.start(person="Newer")
    expect(worker.page.locator(".notices")).to_contain_text("Working with the plan kept here")
    return worker


def tell_of(route, bunkers: list[dict]) -> None:
    """Have the server tell of the revisions of bunkers with the marks since."""
    revisions = {bunker["id"]: bunker["revision"] for bunker in bunkers}
    route.fulfill(json={"sequence": 0, "marks": [], "undone": [], "revisions": revisions})


def signal_comes(worker, revision: str | None) -> None:
    """Let the server's plan through, of another revision where one is named, and have the page ask."""
    bundle = worker.context.request.get(f"{worker.address}/api/sites/{SITE}/holes/4/bundle").json()
    for bunker in bundle["bunkers"]:
        bunker["revision"] = revision or bunker["revision"]
    worker.context.unroute(BUNDLE)
    worker.context.route(SINCE, lambda route: tell_of(route, bundle["bunkers"]))
    worker.context.route(BUNDLE, lambda route: route.fulfill(json=bundle | {"content_id": "another"}))
    worker.send_now()


def test_a_newer_revision_is_announced_and_waits_for_a_tap(worker, held):
    signal_comes(worker, "Q")
    notice = worker.page.locator(".plan-notice")
    expect(notice).to_contain_text("Superseded by Q")
    expect(notice).to_contain_text("You work from C. Paint from C already on the ground is told apart")
    expect(worker.page.locator(".head-part")).to_have_text("sand edge, revision C")
    worker.paint()
    expect(worker.page.locator(".head-part")).to_have_text("sand edge, revision C")
    worker.page.get_by_role("button", name="Take Q").click()
    expect(worker.page.locator(".head-part")).to_have_text("sand edge, revision Q")
    expect(worker.page.locator(".head-progress")).to_contain_text("0 of")
    expect(worker.page.locator(".plan-notice")).to_be_hidden()
    expect(worker.sent).to_have_text("all sent")
    assert [row["revision"] for row in held(worker.address, person="Newer")] == ["C"]


def test_choosing_what_to_paint_takes_the_newer_plan(worker):
    signal_comes(worker, "R")
    expect(worker.page.locator(".plan-notice")).to_be_visible()
    worker.page.locator(".head").click()
    worker.page.locator(".outline-choice").first.click()
    expect(worker.page.locator(".head-part")).to_contain_text("revision R")
    expect(worker.page.locator(".plan-notice")).to_be_hidden()


def test_a_fresh_plan_of_the_same_revision_is_taken_without_a_word(worker):
    signal_comes(worker, None)
    expect(worker.page.locator(".notices")).not_to_contain_text("Working with the plan kept here")
    expect(worker.page.locator(".plan-notice")).to_be_hidden()
    expect(worker.page.locator(".head-part")).to_have_text("sand edge, revision C")
