"""No record is lost and none is doubled, whatever becomes of the network and the pages."""

import json

import pytest
from playwright.sync_api import expect

SITE = "skerry-bank"
SENDING = "**/api/sites/*/records"

pytestmark = pytest.mark.browser


@pytest.fixture
def at_work(demo, phone):
    """A function that opens a bunker of its own on a new phone; the painter is called after the test's bunker."""

    def work(bunker, site=SITE):
        worker = phone(demo.address)
        worker.open(site, bunker)
        worker.start(person=bunker)
        return worker

    return work


def cut_off(worker) -> None:
    worker.context.route(SENDING, lambda route: route.abort())


def connect(worker) -> None:
    worker.context.unroute(SENDING)
    worker.send_now()


def test_a_mark_without_signal_waits_through_a_reload_and_is_sent_once(at_work, demo, held):
    worker = at_work("3-pot")
    cut_off(worker)
    worker.paint()
    expect(worker.sent).to_have_text("1 to send")
    worker.page.reload()
    worker.start(person="3-pot")
    expect(worker.sent).to_have_text("1 to send")
    connect(worker)
    expect(worker.sent).to_have_text("all sent")
    assert len(held(demo.address, person="3-pot")) == 1


def test_records_are_sent_in_the_order_in_which_they_were_made(at_work):
    worker = at_work("5-waste")
    posted = []

    def watch(route):
        posted.extend(json.loads(route.request.post_data)["records"])
        route.continue_()

    cut_off(worker)
    for _ in range(4):
        worker.paint()
    worker.context.route(SENDING, watch)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    assert [record["target"]["number"] for record in posted] == [1, 2, 3, 4]


def test_a_mark_whose_answer_is_lost_is_held_once(at_work, demo, held):
    worker = at_work("3-left")
    taken = []

    def take_and_say_nothing(route):
        taken.append(route.fetch().status)
        route.abort()

    worker.context.route(SENDING, take_and_say_nothing)
    worker.paint()
    expect(worker.sent).to_have_text("1 to send")
    assert 200 in taken
    connect(worker)
    expect(worker.sent).to_have_text("all sent")
    assert len(held(demo.address, person="3-left")) == 1


def test_two_pages_of_one_phone_do_not_double_a_mark(at_work, demo, held):
    worker = at_work("4-old")
    cut_off(worker)
    worker.paint()
    second = worker.context.new_page()
    second.goto(worker.page.url)
    expect(second.get_by_role("button", name="Start")).to_be_visible()
    worker.context.unroute(SENDING)
    for page in (worker.page, second):
        page.evaluate("dispatchEvent(new Event('online'))")
    expect(worker.sent).to_have_text("all sent", timeout=20_000)
    assert len(held(demo.address, person="4-old")) == 1


def test_a_mark_of_a_second_phone_comes_to_the_first_and_moves_it_on(demo, phone, at_work):
    first = phone(demo.address)
    first.open(SITE, "4-right")
    first.start()
    expect(first.main_button).to_contain_text("Painted 1")
    second = at_work("4-right")
    second.paint()
    expect(second.sent).to_have_text("all sent")
    expect(first.main_button).to_contain_text("Painted 2", timeout=8000)
    expect(first.page.locator(".head-progress")).to_contain_text("1 of")


def test_a_site_that_always_fails_holds_up_no_other_site(at_work, demo, held):
    worker = at_work("7-right", "vindeloga")
    cut_off(worker)
    worker.paint()
    worker.open(SITE, "5-green")
    worker.start(person="5-green")
    worker.paint()
    expect(worker.sent).to_have_text("2 to send")
    worker.context.route(
        "**/api/sites/vindeloga/records",
        lambda route: route.fulfill(status=404, json={"detail": "There is no site 'vindeloga'."}),
    )
    worker.context.unroute(SENDING)
    worker.send_now()
    expect(worker.sent).to_have_text("1 to send")
    assert len(held(demo.address, person="5-green")) == 1
    expect(worker.page.locator(".notices")).to_contain_text("its site is not on this server any more")
