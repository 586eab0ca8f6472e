"""What the page says when the server says no."""

import json

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
SENDING = "**/api/sites/*/records"
BUNDLE = "**/bundle"
CREW = "This server is for the crew: open the link that was printed where it was started, once on each phone."

pytestmark = pytest.mark.browser


@pytest.fixture
def worker(demo, phone):
    """A phone that has had the page open before, so that a plan is kept on it."""
    worker = phone(demo.address)
    worker.open(SITE, BUNKER)
    return worker


def answer_with(worker, address: str, status: int, **problem: str) -> None:
    worker.context.route(address, lambda route: route.fulfill(status=status, json=problem))


def test_a_server_that_lets_nobody_in_is_told_with_what_to_do(worker):
    answer_with(worker, SENDING, 401, title="Not let in", detail=CREW)
    worker.start()
    worker.paint()
    expect(worker.page.locator(".notices")).to_contain_text(f"The server did not take 1 record: {CREW}")
    expect(worker.sent).to_have_text("1 to send")


def test_a_record_that_was_refused_is_no_longer_to_send(worker):
    def refuse(route):
        (record,) = json.loads(route.request.post_data)["records"]
        refusal = {"id": record["id"], "detail": "It is held already with other content."}
        route.fulfill(json={"stored": [], "refused": [refusal], "remarks": []})

    worker.context.route(SENDING, refuse)
    worker.start()
    worker.paint()
    expect(worker.sent).to_have_text("1 refused")
    expect(worker.page.locator(".notices")).to_contain_text("It is held already with other content.")


def test_a_record_that_was_refused_is_sent_when_the_page_is_opened_anew_and_the_server_takes_it(
    worker, demo, held
):
    worker.context.route(
        SENDING,
        lambda route: route.fulfill(
            status=422,
            content_type="application/problem+json",
            json={"type": "t", "title": "No", "status": 422, "detail": "Of a newer kind."},
        ),
    )
    worker.start(person="Newer")
    worker.paint()
    expect(worker.page.locator(".notices")).to_contain_text("Of a newer kind.")
    expect(worker.sent).to_have_text("1 refused")
    worker.context.unroute(SENDING)
    worker.page.reload()
    worker.start(person="Newer")
    expect(worker.sent).to_have_text("all sent")
    expect(worker.page.locator(".notices")).not_to_contain_text("Of a newer kind.")
    expect(worker.page.locator(".head-progress")).to_contain_text("1 of")
    assert len(held(demo.address, person="Newer")) == 1


def test_what_a_proxy_turns_away_waits_and_is_sent_once_it_lets_it_through(worker, demo, held):
    page = "<h1>413 Request Entity Too Large</h1>"
    worker.context.route(
        SENDING, lambda route: route.fulfill(status=413, content_type="text/html", body=page)
    )
    worker.start(person="Passed")
    worker.paint()
    expect(worker.page.locator(".notices")).to_contain_text("The server answered 413.")
    expect(worker.sent).to_have_text("1 to send")
    worker.context.unroute(SENDING)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    assert len(held(demo.address, person="Passed")) == 1


def test_a_hole_that_is_gone_is_told_although_a_plan_is_kept(worker):
    answer_with(worker, BUNDLE, 404, title="Not found", detail="Skerry Bank has no hole 4 any more.")
    worker.page.reload()
    expect(worker.page.get_by_role("heading")).to_have_text("Not found")
    expect(worker.page.get_by_role("alert")).to_have_text("Skerry Bank has no hole 4 any more.")


@pytest.mark.parametrize("fault", ["unwell", "not reached"])
def test_without_an_answer_the_page_works_on_with_the_plan_it_kept(worker, fault):
    if fault == "unwell":
        answer_with(worker, BUNDLE, 503, detail="The disk is full.")
    else:
        worker.context.route(BUNDLE, lambda route: route.abort())
    worker.page.reload()
    worker.start()
    expect(worker.page.locator(".notices")).to_contain_text("Working with the plan kept here")
