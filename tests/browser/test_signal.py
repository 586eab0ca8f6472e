"""Whether the server is reached is told while working, not only once a mark waits."""

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

SITE, BUNKER = "skerry-bank", "4-right"
API = "**/api/sites/**"
LONGEST_MS = 15_000
"""Between two questions, where those before went unanswered."""
ENDED = "This link has ended."
NOT_IN = f"The server does not let this phone in: {ENDED} What you mark is kept on this phone."
SOON_MS = 15_000


@pytest.fixture
def worker(demo, phone):
    made = phone(demo.address, in_company=True)
    made.page.clock.install()
    made.open(SITE, BUNKER)
    made.start()
    expect(made.sent).to_have_text("all sent")
    return made


def close_the_door(route) -> None:
    route.fulfill(status=401, json={"title": "Not let in", "detail": ENDED})


def put_on_to_a_question(worker, outcome: str) -> None:
    """Put the page's clock on until the server was asked, or should have been."""
    with worker.page.expect_event(outcome, lambda asked: "/records?" in asked.url, timeout=SOON_MS):
        worker.page.clock.fast_forward(LONGEST_MS)


def test_the_head_says_no_signal_and_all_sent_again(worker):
    worker.context.route(API, lambda route: route.abort())
    for _ in range(2):
        put_on_to_a_question(worker, "requestfailed")
    expect(worker.sent).to_have_text("no signal", timeout=SOON_MS)
    worker.context.unroute(API)
    put_on_to_a_question(worker, "requestfinished")
    expect(worker.sent).to_have_text("all sent", timeout=SOON_MS)


def test_a_link_that_has_ended_is_told_at_once_and_on_the_start_panel(worker):
    worker.context.route(API, close_the_door)
    expect(worker.page.locator(".notice.is-danger")).to_have_text(NOT_IN, timeout=SOON_MS)
    expect(worker.page.locator(".notices-strip")).to_be_visible()
    worker.page.reload()
    expect(worker.page.locator(".start .warning").first).to_have_text(NOT_IN)


def test_the_way_to_the_plan_of_the_site_says_that_it_needs_signal(worker):
    worker.page.get_by_role("button", name="More").click()
    expect(worker.page.get_by_role("link", name="Plan of the site")).to_contain_text("needs signal")
