"""Practising indoors: a worker who walks by himself, and marks that never count."""

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"

pytestmark = pytest.mark.browser


@pytest.fixture
def practising(demo, phone):
    """A phone that practises like a survey receiver, with a clock that can be put on."""
    worker = phone(demo.address, is_kept=False)
    worker.page.clock.install()
    worker.open(SITE, BUNKER, "?start=7")
    worker.start("practice centimetre")
    return worker


def walk_to_the_point(worker) -> None:
    worker.page.get_by_role("button", name="Walk for me").click()
    worker.page.clock.run_for(45_000)
    worker.expect_verdict("inside")


def test_while_practising_the_page_says_practice_in_large_letters(practising):
    band = practising.page.locator(".practice strong")
    expect(band).to_be_visible()
    expect(band).to_have_text("PRACTICE")


def test_the_practice_worker_walks_to_the_point_until_he_stands_on_the_mark(practising):
    practising.expect_verdict("outside")
    walk_to_the_point(practising)


def test_a_practice_mark_is_held_as_practice_and_never_counted(practising, held, demo):
    walk_to_the_point(practising)
    number = practising.paint()
    practising.send_now()
    expect(practising.sent).to_have_text("practice")
    (row,) = held(demo.address)
    assert (row["practice"], row["receiver"], row["number"]) == (
        "true",
        "practice centimetre-grade",
        str(number),
    )
    desk = practising.context.new_page()
    desk.goto(f"{demo.address}/sites/{SITE}")
    expect(desk.locator(f"#bunker-{BUNKER}")).to_be_visible()
    expect(desk.locator("tr[data-mark]")).to_have_count(0)


def test_the_page_can_be_opened_for_practice(demo, phone):
    worker = phone(demo.address, is_kept=False)
    worker.open(SITE, BUNKER, "?receiver=practice&grade=centimetre")
    expect(worker.page.locator("input[value='practice centimetre']")).to_be_checked()
