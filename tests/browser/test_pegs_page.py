"""Pegs on the phone, without signal: the board, reports, and photos that arrive once each and without their place."""

from __future__ import annotations

import json
from contextlib import closing
from urllib.request import urlopen

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy import func, select

from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.store.tables import PHOTO
from tests.browser.test_accessibility import grave_faults
from tests.browser.waiting import wait_until
from tests.photos import jpeg_photo, told_beside

SITE, BUNKER = "skerry-bank", "4-right"
PEGS = f"/sites/{SITE}/pegs/{BUNKER}"
NEAR_R4A = {"latitude": 53.60185, "longitude": -4.99653, "accuracy": 3.0}
PHOTOS = "**/api/sites/*/photos/*"
WAITING = """async () => {
  const settled = (request) => new Promise((done) => { request.onsuccess = () => done(request.result); });
  const database = await settled(indexedDB.open('fieldapp', 1));
  const keys = await settled(database.transaction('kept').objectStore('kept').getAllKeys());
  database.close();
  return keys.filter((key) => key.startsWith('photo ')).length;
}"""
KEPT_PICTURES = WAITING.replace("'photo '", "'picture '")
FULL_OF_PHOTOS = """() => {
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (value, key) {
  if (String(key).startsWith('photo ')) throw new DOMException('The storage is full.', 'QuotaExceededError');
  return put.call(this, value, key);
};
}"""
SLOW_PICTURES = """() => {
  const write = HTMLCanvasElement.prototype.toBlob;
  HTMLCanvasElement.prototype.toBlob = function (...given) { setTimeout(() => write.apply(this, given), 600); };
}"""
FORTY_MB = """() => {
  const input = document.querySelector('input[aria-label="Take a photo"]');
  const files = new DataTransfer();
  files.items.add(new File([new Uint8Array(40e6)], 'large.jpg', { type: 'image/jpeg' }));
  input.files = files.files;
  input.dispatchEvent(new Event('change'));
}"""
LOOK = {"least": 44, "frames": ".tape-body"}

pytestmark = pytest.mark.browser


def start(page: Page, person: str = "Robin") -> None:
    page.locator("#person").fill(person)
    page.get_by_role("button", name="Start").click()
    expect(page.locator(".tape-work")).to_be_visible()


def open_pegs(worker, screen: str = "board", person: str = "Robin") -> Page:
    """Open a screen of the page of pegs and tape, some metres from r4a."""
    worker.context.set_geolocation(NEAR_R4A)
    worker.page.goto(f"{worker.address}{PEGS}#{screen}")
    start(worker.page, person)
    return worker.page


def picture(content: bytes) -> dict:
    return {"name": "peg.jpg", "mimeType": "image/jpeg", "buffer": content}


def take_photo(page: Page, number: int, count: int = 1) -> None:
    """Choose a picture with all that a camera writes, and wait until it is kept."""
    page.get_by_label("Choose a picture").set_input_files(picture(jpeg_photo(2400, 1800, number)))
    expect(page.locator(".peg-report .photo")).to_have_count(count)


def reports(address: str, person: str) -> list[dict]:
    """The peg reports the server tells phones of, of one person."""
    with urlopen(f"{address}/api/sites/{SITE}/holes/4/bundle") as answer:
        return [report for report in json.load(answer)["peg_reports"] if report["person"] == person]


def photos_held(server) -> int:
    with closing(open_store(Settings(data_dir=server.data))) as store, store.reading() as connection:
        return connection.execute(select(func.count()).select_from(PHOTO)).scalar()


def test_a_photo_taken_without_signal_arrives_once_and_without_its_place(demo, phone, layout_faults):
    worker = phone(demo.address)
    page, before = open_pegs(worker), photos_held(demo)
    worker.wait_until_kept()
    sent: list[bytes] = []
    worker.context.on("response", lambda answer: keep_what_came(answer.request, sent))

    worker.context.set_offline(True)
    page.reload()
    start(page)
    board = page.locator(".board-row")
    expect(board).to_have_count(3)
    expect(board.first).to_contain_text("r4a")
    expect(page.locator(".board-lead")).to_contain_text("Search 4.9 m round the spot")
    board.first.click()
    expect(page.locator(".peg-search-words")).to_contain_text("Search 4.9 m round it")
    page.get_by_label("How to find it").fill("300 mm behind the yellow broom")
    take_photo(page, 1)
    page.reload()
    start(page)
    expect(page.locator(".peg-report .photo")).to_have_count(1)
    expect(page.get_by_label("How to find it")).to_have_value("300 mm behind the yellow broom")
    page.get_by_role("button", name="Found", exact=True).click()
    expect(page.locator(".peg-acts .peg-told")).to_have_text("Found with 1 photo: kept on this phone.")
    expect(page.locator(".tape-send")).to_have_text("1 to send, 1 photo to send")
    expect(page.locator(".peg-known")).to_contain_text("300 mm behind the yellow broom")
    assert layout_faults(page, **LOOK, root=".tape-body") == []
    assert grave_faults(page) == []
    page.reload()
    start(page)
    expect(page.locator(".tape-send")).to_have_text("1 to send, 1 photo to send")
    assert sent == []

    other = worker.context.new_page()
    other.goto(f"{demo.address}{PEGS}#board")
    start(other)
    worker.context.route(PHOTOS, slowly)
    worker.context.set_offline(False)
    for one in (page, other, page, other):
        one.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator(".tape-send")).to_have_text("all sent", timeout=20_000)
    expect(other.locator(".tape-send")).to_have_text("all sent", timeout=20_000)
    assert len(sent) == 1
    assert set(told_beside(jpeg_photo(2400, 1800, 1))) == {"APP1", "COM"}
    assert set(told_beside(sent[0])) <= {"APP2"}, (
        "a browser may write which colours these are, and nothing else"
    )
    assert page.evaluate(WAITING) == 0
    (report,) = reports(demo.address, "Robin")
    (photo,) = report["photos"]
    with urlopen(f"{demo.address}/api/sites/{SITE}/photos/{photo}") as answer:
        assert told_beside(answer.read()) == []
    assert photos_held(demo) == before + 1
    expect(page.locator(".peg-page > .photos .photo")).to_have_count(1)

    colleague = phone(demo.address)
    colleague.page.goto(f"{demo.address}/field/{SITE}")
    expect(colleague.page.locator(".kept")).to_contain_text("The plans of all 3 holes are kept on this phone")
    wait_until(colleague.page, lambda: colleague.page.evaluate(KEPT_PICTURES) >= 1)
    colleague.page.goto(f"{demo.address}{PEGS}#peg/r4a")
    start(colleague.page, "Kim")
    colleague.context.set_offline(True)
    colleague.page.get_by_role("button", name="Photo 1, larger or smaller").click()
    expect(colleague.page.locator(".photo.is-large canvas")).to_be_visible()


def keep_what_came(asked, sent: list[bytes]) -> None:
    if asked.method == "PUT":
        sent.append(asked.post_data_buffer)


def slowly(route) -> None:
    """Let the answer come late, so that there is time to send a second time."""
    answer = route.fetch()
    route.fulfill(response=answer)


def test_a_photo_whose_answer_is_lost_is_sent_again_and_stored_once(demo, phone):
    worker = phone(demo.address)
    page = open_pegs(worker, "peg/r4c", "Lost")
    before, tries = photos_held(demo), []

    def lose_the_first(route):
        if route.request.method != "PUT":
            return route.continue_()
        tries.append(route.fetch().status)
        return route.abort() if len(tries) == 1 else route.fulfill(json={"stored": route.request.url[-36:]})

    worker.context.route(PHOTOS, lose_the_first)
    take_photo(page, 2)
    page.get_by_role("button", name="Missing", exact=True).click()
    expect(page.locator(".tape-send")).to_have_text("1 photo to send")
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator(".tape-send")).to_have_text("all sent")
    assert tries == [200, 200]
    assert photos_held(demo) == before + 1


def test_what_is_no_photo_is_said_in_a_sentence_and_the_report_stays(demo, phone, layout_faults):
    worker = phone(demo.address)
    page = open_pegs(worker, "peg/r4a", "Wrong")
    told = page.locator(".peg-report .peg-told")
    page.get_by_label("How to find it").fill("by the drain")
    page.get_by_label("Take a photo").set_input_files(picture(b"no"))
    expect(told).to_contain_text("no picture that this phone can read")
    page.evaluate(FORTY_MB)
    expect(told).to_contain_text("That file is 40 MB; a photo may have 30 MB. It was not taken,")
    assert layout_faults(page, **LOOK) == []
    page.evaluate(FULL_OF_PHOTOS)
    page.get_by_label("Take a photo").set_input_files(picture(jpeg_photo()))
    expect(told).to_contain_text("no room left for the photo")
    expect(page.locator(".peg-report .photo")).to_have_count(0)
    expect(page.get_by_label("How to find it")).to_have_value("by the drain")
    page.get_by_role("button", name="Moved", exact=True).click()
    expect(page.locator(".peg-acts .peg-told")).to_have_text("Moved: kept on this phone.")
    expect(page.locator(".tape-send")).to_have_text("all sent")
    (report,) = reports(demo.address, "Wrong")
    assert (report["peg"], report["state"], report["note"], report["photos"]) == (
        "r4a",
        "moved",
        "by the drain",
        [],
    )
    page.get_by_role("button", name="Take back: moved").click()
    expect(page.locator(".peg-known")).not_to_contain_text("Moved")
    expect(page.locator(".tape-send")).to_have_text("all sent")
    assert reports(demo.address, "Wrong") == []


def test_a_photo_that_the_server_refuses_stays_on_the_phone_and_is_told_of(demo, phone):
    worker = phone(demo.address)
    page = open_pegs(worker, "peg/r4a", "Refused")
    problem = {"type": "about:blank", "title": "Conflict", "status": 409, "detail": "It is held already."}
    kind = "application/problem+json"
    worker.context.route(
        PHOTOS, lambda route: route.fulfill(status=409, body=json.dumps(problem), content_type=kind)
    )
    take_photo(page, 3)
    page.get_by_role("button", name="Missing", exact=True).click()
    words = "The server could not take 1 photo: It is held already. Kept on this phone."
    expect(page.locator(".notices-words")).to_have_text(words)
    expect(page.locator(".tape-send")).to_have_text("1 photo to send")
    assert page.evaluate(WAITING) == 1
    assert [report["state"] for report in reports(demo.address, "Refused")] == ["missing"]
    worker.context.unroute(PHOTOS)
    page.reload()
    start(page)
    expect(page.locator(".tape-send")).to_have_text("all sent")
    wait_until(page, lambda: page.evaluate(WAITING) == 0)


def test_a_new_peg_is_driven_where_the_phone_is_and_the_desk_sees_it(demo, phone):
    worker = phone(demo.address)
    page = open_pegs(worker, "board", "Driver")
    page.get_by_role("button", name="New peg here").click()
    name = page.get_by_label("Name on the peg")
    expect(name).to_have_value("r4d")
    name.fill("R4a")
    save = page.get_by_role("button", name="Save new peg")
    save.click()
    expect(page.locator(".peg-told", has_text="There is a peg r4a already")).to_be_visible()
    name.fill("hedge-1")
    page.get_by_label("How to find it").fill("under the hedge")
    save.click()
    expect(page.locator(".board .peg-told")).to_have_text("Peg hedge-1: kept on this phone.")
    row = page.locator('.board-row[data-peg="hedge-1"]')
    expect(row).to_have_attribute("data-state", "new")
    row.click()
    expect(page.locator(".peg-search-words")).to_contain_text("the peg's own place 4.9 m (95 %)")
    expect(page.locator(".tape-send")).to_have_text("all sent")
    page.goto(f"{demo.address}/sites/{SITE}/pegs")
    expect(page.locator('[data-peg="hedge-1"]')).to_contain_text("Placed by a crew, within 4.86 m (95 %).")


def test_every_state_of_the_pegs_is_laid_out_well_and_can_be_read(demo, phone, layout_faults):
    worker = phone(demo.address)
    page = worker.page
    page.goto(f"{demo.address}{PEGS}#board")
    start(page, "States")
    found = {"board, no position": (layout_faults(page, **LOOK), grave_faults(page))}
    for screen in ("board", "peg/r4b", "newpeg"):
        page.evaluate("to => { location.hash = to; }", screen)
        for accuracy in (3.0, 60.0, 0.02):
            worker.context.set_geolocation({**NEAR_R4A, "accuracy": accuracy})
            page.wait_for_timeout(120)
            for width, size in ((360, "100%"), (320, "200%"), (1280, "100%")):
                page.set_viewport_size({"width": width, "height": 740})
                page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
                found[f"{screen}, {accuracy}, {width}, {size}"] = (layout_faults(page, **LOOK), [])
        found[f"{screen}, to be read"] = ([], grave_faults(page))
    assert found == {name: ([], []) for name in found}


def test_a_photo_goes_to_its_peg_though_the_screen_was_left_while_it_was_read(demo, phone):
    page = open_pegs(phone(demo.address), "peg/r4a")
    page.evaluate(SLOW_PICTURES)
    page.get_by_label("Choose a picture").set_input_files(picture(jpeg_photo(800, 600, 7)))
    expect(page.locator(".peg-report")).to_contain_text("Reading the picture")
    page.evaluate("location.hash = 'peg/r4b'")
    expect(page.locator(".tape-head, h1").filter(has_text="Peg r4b").first).to_be_visible()
    page.get_by_role("button", name="Missing", exact=True).click()
    expect(page.locator(".peg-acts .peg-told")).to_contain_text("kept on this phone")
    expect(page.locator(".peg-report .photo")).to_have_count(0)
    page.evaluate("location.hash = 'peg/r4a'")
    expect(page.locator(".peg-report .photo")).to_have_count(1)
    page.get_by_role("button", name="Found", exact=True).click()
    expect(page.locator(".peg-acts .peg-told")).to_contain_text("Found with 1 photo")
