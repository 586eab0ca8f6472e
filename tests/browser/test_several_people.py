"""Two phones on one outline: they see each other, and nothing is painted twice without being told."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

SITE = "skerry-bank"
API = "**/api/sites/**"
MARKS_SINCE = "**/api/sites/*/records?*"
NO_MARKS = {"sequence": 0, "marks": [], "undone": []}
SOON_MS = 8000
"""Well above the three seconds between two questions."""

pytestmark = pytest.mark.browser


@pytest.fixture
def at_work(demo, phone):
    """A function that puts somebody to work on a bunker."""

    def work(bunker, person):
        worker = phone(demo.address, in_company=True, is_kept=False)
        worker.open(SITE, bunker)
        worker.start(person=person)
        return worker

    return work


@pytest.fixture
def both_at_the_first(at_work, points_of):
    """A function that puts two to work on point 1 of a bunker, each having chosen it by a tap on the grass."""

    def both(bunker):
        workers = at_work(bunker, "Robin"), at_work(bunker, "Alex")
        point = points_of(SITE, bunker)[1]
        for worker in workers:
            worker.stand(point["lat"], point["lon"])
            boots = worker.page.locator(".boots")
            expect(boots).to_be_visible()
            box = boots.bounding_box()
            worker.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
            expect(worker.main_button).to_contain_text("Painted 1")
        return workers

    return both


def cut_off(worker):
    worker.context.route(API, lambda route: route.abort())


def connect(worker):
    worker.context.unroute(API)
    worker.send_now()


def test_two_at_the_same_point_are_told_by_name_and_in_the_picture(both_at_the_first):
    robin, alex = both_at_the_first("4-old")
    expect(robin.main_button).to_contain_text("Alex is at 1 too", timeout=SOON_MS)
    expect(alex.main_button).to_contain_text("Robin is at 1 too", timeout=SOON_MS)
    expect(robin.page.locator(".others text")).to_have_text("Alex")


def test_of_two_at_the_same_point_one_is_led_on_to_a_free_one_and_who_leaves_is_forgotten(
    at_work, both_at_the_first
):
    left, leaving = both_at_the_first("5-green")
    expect(left.main_button).to_contain_text("Alex is at 1 too", timeout=SOON_MS)
    leaving.page.goto("about:blank")
    robin, alex = at_work("3-left", "Robin"), at_work("3-left", "Alex")
    both = re.compile("Painted [12]")
    expect(robin.main_button).to_contain_text(both)
    robin.page.wait_for_timeout(SOON_MS)
    numbers = {worker.target_number() for worker in (robin, alex)}
    assert numbers == {1, 2}
    robin.page.wait_for_timeout(SOON_MS)
    assert {worker.target_number() for worker in (robin, alex)} == numbers
    expect(left.main_button).not_to_contain_text("Alex", timeout=30_000)
    leaving.page.go_back()


def test_the_next_point_is_one_that_nobody_else_is_at(both_at_the_first):
    robin, alex = both_at_the_first("3-pot")
    expect(robin.main_button).to_contain_text("Alex is at 1 too", timeout=SOON_MS)
    robin.context.route(MARKS_SINCE, lambda route: route.fulfill(json=NO_MARKS))
    alex.paint()
    expect(alex.main_button).to_contain_text("Painted 2")
    expect(robin.main_button).to_have_text("Painted 1", timeout=SOON_MS)
    robin.paint()
    expect(robin.main_button).to_contain_text("Painted 3")


def test_somebody_who_practises_is_seen_by_nobody(demo, phone, at_work):
    practising = phone(demo.address, in_company=True, is_kept=False)
    practising.open(SITE, "3-left")
    practising.start("practice centimetre", "Alex")
    robin = at_work("3-left", "Robin")
    robin.page.wait_for_timeout(5000)
    expect(robin.main_button).not_to_contain_text("Alex")
    expect(practising.main_button).not_to_contain_text("Robin")


def test_a_point_that_another_has_painted_asks_for_a_second_tap_with_the_name(both_at_the_first):
    robin, alex = both_at_the_first("5-waste")
    alex.paint()
    expect(alex.sent).to_have_text("all sent")
    expect(robin.page.locator(".head-progress")).to_have_text("1 of 149", timeout=SOON_MS)
    robin.page.get_by_role("button", name="Line", exact=True).click()
    expect(robin.main_button).to_have_attribute("data-state", "ready")
    expect(robin.main_button).to_contain_text("painted by Alex at")
    robin.main_button.click()
    expect(robin.main_button).to_contain_text("1 was painted by Alex at")
    expect(robin.page.locator(".head-progress")).to_have_text("1 of 149")
    robin.main_button.click()
    expect(robin.main_button).to_contain_text("stored on this phone")


def test_what_both_painted_without_signal_is_told_to_both_and_on_the_site_page(demo, both_at_the_first):
    robin, alex = both_at_the_first("4-right")
    cut_off(robin)
    assert robin.paint() == 1
    assert alex.paint() == 1
    expect(alex.sent).to_have_text("all sent")
    connect(robin)
    expect(robin.sent).to_have_text("all sent")
    for worker, name in ((robin, "Alex"), (alex, "Robin")):
        notice = worker.page.locator(".notice", has_text="1 was painted twice: by you at")
        expect(notice).to_contain_text(f"and by {name} at", timeout=20_000)
    notice = robin.page.locator(".notice", has_text="painted twice")
    robin.read_notices()
    notice.get_by_role("button", name="Put away").click()
    expect(notice).to_have_count(0)
    robin.page.reload()
    robin.start(person="Robin")
    expect(robin.page.locator(".head-progress")).to_contain_text("1 of")
    expect(notice).to_have_count(0)
    robin.page.goto(f"{demo.address}/sites/{SITE}")
    expect(robin.page.locator("#bunker-4-right .twice")).to_contain_text(
        "Point 1 of the sand edge was painted twice: by Robin at"
    )
    robin.page.go_back()
