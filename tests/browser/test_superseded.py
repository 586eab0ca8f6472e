"""A revision that is issued while paint of the older one goes on: at the desk, on the phones, on the site page."""

from __future__ import annotations

import re
from contextlib import closing

import pytest
from playwright.sync_api import Locator, Page, expect

from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from tests.browser.test_accessibility import PLAIN_FRAMES, grave_faults
from tests.bunker_drafts import save_moved

SITE, BUNKER = "skerry-bank", "4-right"
DESK = f"/sites/{SITE}/bunkers/{BUNKER}"
SOON_MS = 15_000
"""Well above the three seconds between two questions."""

pytestmark = pytest.mark.browser


def save_draft(demo, east_m: float) -> str:
    """Save a draft of the bunker, so many metres further east; return the revision it grew from."""
    with closing(open_store(Settings(data_dir=demo.data))) as store:
        return save_moved(store, SITE, BUNKER, east_m)


def issue_over_http(worker, revision: str) -> None:
    """Issue the draft as the desk's form does, all that it comes too near to acknowledged."""
    page = worker.context.request.get(f"{worker.address}{DESK}/issue").text()
    ticks = dict(re.findall(r'name="(near-[^"]+)" value="([^"]+)"', page))
    number = re.search(r'name="draft" value="(\d+)"', page)[1]
    fields = {"draft": number, "revision": revision, "name": "Ada", "why": "a drain lies there", **ticks}
    answer = worker.context.request.post(f"{worker.address}{DESK}/issue", form=fields, max_redirects=0)
    assert answer.status == 303, answer.text()


def notice(page: Page) -> Locator:
    return page.locator(".plan-notice")


def test_while_a_phone_sets_out_another_revision_is_issued(demo, phone, held, layout_faults):
    assert save_draft(demo, 0.05) == "C"
    worker, pegs, away = (phone(demo.address) for _ in range(3))
    worker.open(SITE, BUNKER)
    worker.start(person="Superseded")
    first = worker.paint()
    away.open(SITE, BUNKER)
    away.start(person="Away")
    away.send_no_records()
    away.context.set_offline(True)
    pegs.page.goto(f"{demo.address}/sites/{SITE}/pegs/{BUNKER}")
    pegs.page.locator("#person").fill("Pegs")
    pegs.page.get_by_role("button", name="Start").click()
    expect(pegs.page.locator(".tape-head")).to_contain_text("revision C")

    issue_over_http(worker, "D")

    expect(notice(worker.page)).to_contain_text("Superseded by D", timeout=SOON_MS)
    expect(notice(worker.page)).to_have_attribute("data-kind", "superseded")
    expect(notice(worker.page).locator(".superseded-sign")).to_be_visible()
    expect(notice(worker.page)).to_contain_text(
        "Paint from C already on the ground is told apart on the site page."
    )
    expect(notice(worker.page).get_by_role("button", name="Take D")).to_be_visible()
    expect(worker.page.locator(".head-part")).to_have_text("sand edge, revision C")
    assert layout_faults(worker.page) == []
    assert grave_faults(worker.page) == []
    pegs.send_now()
    expect(notice(pegs.page)).to_contain_text("Superseded by D", timeout=SOON_MS)
    expect(pegs.page.locator(".tape-head")).to_contain_text("revision C")
    assert grave_faults(pegs.page) == []

    away.paint()
    expect(notice(away.page)).to_be_hidden()
    second = worker.paint()
    worker.page.wait_for_function("document.querySelector('.head-send').textContent === 'all sent'")
    assert [row["revision"] for row in held(demo.address, person="Superseded")] == ["C", "C"]
    notice(worker.page).get_by_role("button", name="Take D").click()
    expect(worker.page.locator(".head-part")).to_have_text("sand edge, revision D")
    expect(notice(worker.page)).to_be_hidden()
    third = worker.paint()
    worker.page.wait_for_function("document.querySelector('.head-send').textContent === 'all sent'")
    assert [row["revision"] for row in held(demo.address, person="Superseded")] == ["C", "C", "D"]
    assert third in (first, second), "the work began anew on the new line"

    away.context.set_offline(False)
    away.send_now()
    expect(notice(away.page)).to_contain_text("Superseded by D", timeout=SOON_MS)
    away.page.reload()
    expect(away.page.get_by_text("revision D")).to_be_visible()


def test_the_list_of_bunkers_and_the_site_page_tell_paint_of_the_older_one_apart(demo, phone, held):
    worker = phone(demo.address)
    worker.page.goto(f"{demo.address}/field/{SITE}")
    card = worker.page.locator(".bunker-card", has_text="4 right").first
    expect(card.locator(".bunker-superseded")).to_contain_text("C is superseded by D")
    expect(card.locator(".bunker-superseded")).to_contain_text("2 points are painted from C")
    expect(card).to_contain_text("revision D")
    assert grave_faults(worker.page) == []
    worker.page.goto(f"{demo.address}/sites/{SITE}#bunker-{BUNKER}")
    section = worker.page.locator(f"#bunker-{BUNKER}")
    expect(section.locator(".issued")).to_contain_text("by Ada, from draft 1.")
    expect(section.locator(".issued q")).to_have_text("a drain lies there")
    expect(section.locator(".older-marks")).to_contain_text("against D, 2 still good, 0 to re-mark")
    section.get_by_role("link", name="Which ones").click()
    expect(worker.page.locator(".old-marks tbody tr")).to_have_count(2)
    expect(worker.page.locator(".old-marks .state").first).to_have_text("still good")


def test_a_draft_is_issued_and_two_revisions_compared_by_keyboard(demo, phone):
    assert save_draft(demo, -5.0) == "D"
    worker = phone(demo.address)
    page = worker.page
    found = {}

    def look(name: str) -> None:
        page.wait_for_load_state()
        page.evaluate(PLAIN_FRAMES)
        found[name] = grave_faults(page)

    page.goto(f"{demo.address}{DESK}/issue")
    look("issue")
    expect(
        page.get_by_text("A drawing is not a detection: have services located before digging.").first
    ).to_be_visible()
    ticks = page.get_by_role("checkbox")
    count = ticks.count()
    assert count >= 1
    page.get_by_label("It becomes revision").focus()
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("c")
    page.keyboard.press("Tab")
    page.keyboard.type("Kim")
    page.keyboard.press("Tab")
    page.keyboard.type("clear of the drain")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("had a revision C already; the next one free is E")
    look("issue, refused")
    expect(page.get_by_label("Why")).to_have_value("clear of the drain")
    page.get_by_label("It becomes revision").fill("E")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Not every nearness is acknowledged")
    ticks.first.focus()
    for _ in range(count):
        page.keyboard.press("Space")
        page.keyboard.press("Tab")
    expect(page.get_by_label("It becomes revision")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Revisions of 4 right")).to_be_visible()
    look("revisions")
    expect(page.locator(".revision-list tbody tr").first).to_contain_text("clear of the drain")
    expect(page.locator(".revision-list tbody tr").first).to_contain_text("to be kept clear")
    expect(page.locator(".old-marks .state").first).to_have_text("re-mark")
    page.get_by_label("old revision").focus()
    page.keyboard.press("c")
    page.keyboard.press("Tab")
    page.keyboard.type("d")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".title-block").first).to_contain_text("revision C, dashed")
    expect(page.locator(".title-block").first).to_contain_text("revision D, solid")
    expect(page.get_by_text(re.compile(r"mound foot"))).not_to_have_count(0)
    page.goto(f"{demo.address}{DESK}/revisions?old=Q")
    look("revisions, what cannot be compared")
    assert found == {name: [] for name in found}
