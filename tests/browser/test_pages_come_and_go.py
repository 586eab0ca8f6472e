"""Tabs of one phone beside each other, and tabs closed at the worst moment: every mark arrives once."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

SITE = "skerry-bank"
SENDING = "**/api/sites/*/records"

pytestmark = pytest.mark.browser


@pytest.fixture
def worker(demo, phone):
    """A phone that is not at work yet."""
    return phone(demo.address)


def at_work(worker, bunker, person):
    worker.open(SITE, bunker)
    worker.start(person=person)


def second_tab(worker, bunker, person):
    """Another tab of the same phone, as a phone in its own right that shares the storage."""
    tab = object.__new__(type(worker))
    tab.address, tab.context = worker.address, worker.context
    tab.page = worker.context.new_page()
    at_work(tab, bunker, person)
    return tab


def cut_off(worker):
    worker.context.route(SENDING, lambda route: route.abort())


def test_marks_of_two_tabs_without_signal_all_arrive_once(demo, worker, held):
    at_work(worker, "4-old", "Tabs")
    tab = second_tab(worker, "4-right", "Tabs")
    cut_off(worker)
    for _ in range(3):
        worker.paint()
        tab.paint()
    worker.context.unroute(SENDING)
    for page in (worker, tab):
        page.send_now()
    for page in (worker, tab):
        expect(page.sent).to_have_text("all sent", timeout=20_000)
    rows = held(demo.address, person="Tabs")
    assert sorted((row["bunker"], row["number"]) for row in rows) == [
        (bunker, str(number)) for bunker in ("4-old", "4-right") for number in (1, 2, 3)
    ]


def test_a_tab_sends_what_a_closed_one_left(demo, worker, held):
    at_work(worker, "3-left", "Left")
    tab = second_tab(worker, "3-pot", "Left")
    cut_off(worker)
    tab.paint()
    tab.page.close()
    worker.context.unroute(SENDING)
    with worker.page.expect_response(SENDING) as answered:
        worker.send_now()
    assert answered.value.request.method == "POST"
    expect(worker.sent).to_have_text("all sent")
    assert len(held(demo.address, person="Left")) == 1


@pytest.mark.parametrize("reached", [True, False], ids=["the server had it", "it never got there"])
def test_a_page_closed_in_the_middle_of_sending_sends_once_when_it_is_opened_again(
    demo, worker, held, reached
):
    person = f"Closed {reached}"
    at_work(worker, "5-green", person)
    under_way = []

    def hold(route):
        if route.request.method != "POST":
            return route.fallback()
        if reached:
            under_way.append(route.fetch().status)
        else:
            under_way.append(0)
        return None

    worker.context.route(SENDING, hold)
    worker.paint()
    while not under_way:
        worker.page.wait_for_timeout(50)
    worker.page.close()
    worker.context.unroute(SENDING)
    worker.page = worker.context.new_page()
    at_work(worker, "5-green", person)
    expect(worker.sent).to_have_text("all sent", timeout=20_000)
    expect(worker.page.locator(".head-progress")).not_to_contain_text("0 of")
    assert len(held(demo.address, person=person)) == 1
