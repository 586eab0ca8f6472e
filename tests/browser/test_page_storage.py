"""A phone whose storage is full or goes away: nothing the page still holds is forgotten."""

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-old"
SENDING = "**/api/sites/*/records"
FULL = """
for (const name of ['put', 'add']) IDBObjectStore.prototype[name] = function () {
  throw new DOMException('The storage is full.', 'QuotaExceededError');
};
"""
DELETE = """new Promise((done) => {
  const request = indexedDB.deleteDatabase('fieldapp');
  request.onsuccess = request.onerror = request.onblocked = () => done(true);
})"""

pytestmark = pytest.mark.browser


def test_with_the_storage_full_marks_arrive_still_count_and_can_be_taken_back(demo, phone, held):
    worker = phone(demo.address)
    worker.context.add_init_script(FULL)
    worker.open(SITE, BUNKER)
    worker.start(person="Full")
    for number in (1, 2):
        worker.main_button.click()
        worker.main_button.click()
        expect(worker.main_button).to_contain_text("not stored: see above")
        expect(worker.main_button).to_contain_text(f"Painted {number + 1}")
    expect(worker.page.locator(".head-progress")).to_have_text("2 of 49")
    worker.page.get_by_role("button", name="Undo 2", exact=True).click()
    expect(worker.page.locator(".head-progress")).to_have_text("1 of 49")
    expect(worker.sent).to_have_text("all sent")
    assert [record["kind"] for record in held(demo.address, person="Full")] == ["mark", "mark", "undo"]


def test_with_the_storage_full_a_yardage_check_says_that_it_is_not_stored_and_still_arrives(
    demo, phone, held, points_of
):
    worker = phone(demo.address)
    worker.context.add_init_script(FULL)
    worker.open(SITE, "4-right")
    worker.start(person="Full check")
    point = points_of(SITE, "4-right")[1]
    worker.stand(point["lat"], point["lon"])
    worker.page.get_by_role("button", name="More").click()
    worker.page.get_by_role("button", name="Check an edge").click()
    sheet = worker.page.locator("dialog[open]")
    sheet.get_by_role("button", name="Save check").click()
    expect(sheet.locator(".check-told")).to_have_text("Not stored: see the notice on the page.")
    sheet.get_by_role("button", name="Back to the point").click()
    expect(worker.sent).to_have_text("all sent")
    (row,) = held(demo.address, person="Full check")
    assert row["kind"] == "yardage"


def test_marks_waiting_when_the_storage_is_deleted_are_still_sent(demo, phone, held):
    worker = phone(demo.address)
    worker.open(SITE, "3-left")
    worker.start(person="Gone")
    worker.context.route(SENDING, lambda route: route.abort())
    worker.paint()
    expect(worker.sent).to_have_text("1 to send")
    worker.page.evaluate(DELETE)
    worker.paint()
    expect(worker.sent).to_have_text("2 to send")
    worker.context.unroute(SENDING)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    assert len(held(demo.address, person="Gone")) == 2
