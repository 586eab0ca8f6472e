"""Records leave the phone as a file when nothing else goes, and are read in at the desk."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
SENDING = "**/api/sites/*/records"
SHARES = """
window.__shared = [];
navigator.canShare = ({ files }) => files.every((file) => file.type === 'text/plain');
navigator.share = async ({ files }) => { window.__shared.push([files[0].name, await files[0].text()]); };
"""
CLOSED_AGAIN = """
navigator.canShare = () => true;
navigator.share = async () => { throw new DOMException('closed', 'AbortError'); };
"""
FULL = """
for (const name of ['put', 'add']) IDBObjectStore.prototype[name] = function () {
  throw new DOMException('The storage is full.', 'QuotaExceededError');
};
"""

pytestmark = pytest.mark.browser


@pytest.fixture
def cut_off(demo, phone):
    """A function that puts somebody to work without signal who has painted a few points."""

    def work(bunker=BUNKER, marks=2, script=None, person=None):
        worker = phone(demo.address)
        if script:
            worker.context.add_init_script(script)
        worker.context.route(
            SENDING, lambda route: route.abort() if route.request.method == "POST" else route.fallback()
        )
        worker.open(SITE, bunker)
        worker.start(person=person or bunker)
        for _ in range(marks):
            worker.paint()
        return worker

    return work


def hand_over(worker) -> None:
    worker.page.get_by_role("button", name="More", exact=True).click()
    worker.page.locator("dialog").get_by_role("button", name="Hand over as a file").click()


def saved(worker) -> tuple[str, bytes]:
    with worker.page.expect_download() as coming:
        hand_over(worker)
    with open(coming.value.path(), "rb") as file:
        return coming.value.suggested_filename, file.read()


def hand_in(page, address: str, name: str, content: bytes) -> None:
    page.goto(f"{address}/sites/{SITE}")
    page.get_by_role("link", name="Hand in a phone's file").click()
    page.get_by_label("Files from phones").set_input_files({"name": name, "mimeType": "", "buffer": content})
    page.get_by_role("button", name="Hand in").click()


def test_marks_without_signal_are_saved_as_a_file_handed_in_at_the_desk_and_not_doubled(
    demo, chromium, cut_off, held
):
    worker = cut_off(person="Carrier")
    name, content = saved(worker)
    assert name.startswith(f"fieldapp-records-{SITE}-")
    assert name.endswith(".json")
    assert json.loads(content)["counts"] == {"unsent": 2, "refused": 0, "sent": 0}
    expect(worker.page.locator(".notices")).to_contain_text(
        "2 records handed over as a file among this phone's downloads"
    )

    desk = chromium.new_context(java_script_enabled=False)
    page = desk.new_page()
    hand_in(page, demo.address, name, content)
    expect(page.locator(".handed-in")).to_contain_text("2 new, 0 held already, 0 refused")
    hand_in(page, demo.address, name, content)
    expect(page.locator(".handed-in")).to_contain_text("0 new, 2 held already, 0 refused")
    desk.close()

    worker.context.unroute(SENDING)
    worker.send_now()
    expect(worker.sent).to_have_text("all sent")
    assert len(held(demo.address, person="Carrier")) == 2


def test_a_phone_that_shares_text_only_shares_the_file_as_text(cut_off):
    worker = cut_off("3-left", script=SHARES)
    hand_over(worker)
    expect(worker.page.locator(".notices")).to_contain_text("2 records handed over as a file.")
    ((name, text),) = worker.page.evaluate("window.__shared")
    assert name.endswith(".json.txt")
    assert len(json.loads(text)["records"]) == 2


def test_sharing_that_is_closed_again_hands_nothing_over(cut_off):
    worker = cut_off("4-old", script=CLOSED_AGAIN, marks=1)
    hand_over(worker)
    expect(worker.page.locator(".notices")).to_contain_text("Nothing was handed over.")
    worker.read_notices()
    worker.page.locator(".notice").get_by_role("button", name="Put away").click()
    expect(worker.page.locator(".notice")).to_have_count(0)


def test_refused_records_can_be_put_away_once_handed_over_and_stay_on_the_phone(demo, phone):
    worker = phone(demo.address)

    def refuse(route):
        if route.request.method != "POST":
            return route.fallback()
        refused = [
            {"id": r["id"], "detail": "Not to be taken."}
            for r in json.loads(route.request.post_data)["records"]
        ]
        return route.fulfill(json={"stored": [], "refused": refused, "remarks": []})

    worker.context.route(SENDING, refuse)
    worker.open(SITE, "5-green")
    worker.start()
    worker.paint()
    notice = worker.page.locator(".notice.is-danger")
    expect(notice).to_contain_text("Not to be taken.")
    worker.read_notices()
    expect(notice.get_by_role("button", name="Put away")).to_have_count(0)
    with worker.page.expect_download():
        notice.get_by_role("button", name="Hand over as a file").click()
    notice.get_by_role("button", name="Put away").click()
    expect(notice).to_have_count(0)
    expect(worker.sent).to_have_text("all sent")
    worker.page.reload()
    worker.start()
    expect(worker.page.locator(".head-progress")).to_contain_text("1 of")
    expect(notice).to_have_count(0)
    _, content = saved(worker)
    assert json.loads(content)["counts"] == {"unsent": 0, "refused": 1, "sent": 0}


def test_a_full_storage_offers_the_file_with_what_only_the_page_holds(demo, cut_off):
    worker = cut_off("3-pot", marks=0, script=FULL)
    worker.main_button.click()
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("not stored: see above")
    notice = worker.page.locator(".notice.is-danger", has_text="could not store 1 record")
    worker.read_notices()
    with worker.page.expect_download() as coming:
        notice.get_by_role("button", name="Hand over as a file").click()
    with open(coming.value.path(), encoding="utf-8") as file:
        assert len(json.load(file)["records"]) == 1


def test_marks_that_could_not_be_sent_for_hours_are_offered_as_a_file(demo, phone):
    worker = phone(demo.address)
    worker.page.clock.install()
    worker.context.route(
        SENDING, lambda route: route.abort() if route.request.method == "POST" else route.fallback()
    )
    worker.open(SITE, "5-waste")
    worker.start()
    worker.main_button.click()
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("stored on this phone")
    worker.page.clock.fast_forward("05:00:00")
    notice = worker.page.locator(".notice", has_text="1 record waits to be sent, the oldest for 5 hours")
    worker.read_notices()
    expect(notice.get_by_role("button", name="Hand over as a file")).to_be_visible()
