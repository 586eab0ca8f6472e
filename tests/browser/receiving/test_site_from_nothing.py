"""A site made from nothing: by keyboard at the desk, its places read by a phone with and without signal."""

from __future__ import annotations

import math

import pytest
from playwright.sync_api import Page, expect

from tests.browser.receiving.conftest import STUB, Receiver

pytestmark = pytest.mark.browser

LAT, LON = 57.2, -9.4
METRES_TO_A_DEGREE = 111_300.0
EDIT = "/sites/heather-bank/edit"


def at(north_m: float, east_m: float = 0.0) -> tuple[float, float]:
    across = METRES_TO_A_DEGREE * math.cos(math.radians(LAT))
    return LAT + north_m / METRES_TO_A_DEGREE, LON + east_m / across


def fill(page: Page, label: str, text: str) -> None:
    """Come to a field by its label and type, as with Tab and keys."""
    field = page.get_by_label(label, exact=True).last
    field.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type(text)


def press(page: Page, name: str, role: str = "button") -> None:
    """Press a button or follow a link by keyboard."""
    page.get_by_role(role, name=name).first.focus()
    page.keyboard.press("Enter")


def saved(page: Page) -> None:
    expect(page.get_by_role("status")).to_contain_text("Saved (")


def choose_read(page: Page, label: str, words: str) -> None:
    """Choose the reading in a list whose words begin so."""
    field = page.get_by_label(label, exact=True).last
    option = field.locator("option", has_text=words).first
    field.focus()
    field.select_option(value=option.get_attribute("value"))


@pytest.fixture
def reader(demo, phone) -> Receiver:
    """A phone whose receiver is in the test's hands, before any page is open."""
    worker = phone(demo.address)
    worker.context.add_init_script(path=STUB)
    worker.page.clock.install()
    return Receiver(worker)


def stand(reader: Receiver, kind: str, place: tuple[float, float], hole: str = "", name: str = "") -> None:
    """Stand on a place for two minutes and keep it."""
    page = reader.page
    page.get_by_role("button", name=kind, exact=True).click()
    page.locator("#hole").fill(hole)
    if name:
        page.locator("#place-name").fill(name)
    fixes = reader.noisy(*place, 125)
    reader.play(fixes[:2])
    page.get_by_role("button", name="Hold still").click()
    reader.play(fixes[2:])
    page.get_by_role("button", name="Keep this place").click()
    expect(page.locator(".place-said")).to_contain_text("kept on this phone")


def test_from_a_name_to_a_hole_that_is_played(demo, phone, reader):
    desk = phone(demo.address).page
    desk.set_viewport_size({"width": 1280, "height": 800})
    desk.goto(demo.address)
    press(desk, "New site", "link")
    fill(desk, "name", "Heather Bank")
    desk.keyboard.press("Enter")
    expect(desk.get_by_role("heading", name="Still missing")).to_be_visible()

    field = reader.page
    field.goto(f"{demo.address}/sites/heather-bank/places")
    field.get_by_label("Your name").fill("Robin")
    field.get_by_role("button", name="Keep this place").click()
    expect(field.locator(".place-said")).to_contain_text("Give the peg a name.")
    stand(reader, "Peg", at(0), name="shed")
    stand(reader, "Tee", at(20), "1", "White")
    reader.worker.wait_until_kept()
    reader.worker.context.set_offline(True)
    stand(reader, "Turning point", at(150, 10), "1", "1")
    expect(field.locator("#place-name")).to_have_value("2")
    field.reload()
    expect(field.get_by_text("Turning point 1, hole 1, within")).to_be_visible()
    stand(reader, "Green", at(320), "1")
    expect(field.locator(".place-sent")).to_contain_text("2 to send")
    reader.worker.context.set_offline(False)
    reader.worker.send_now()
    expect(field.locator(".place-sent")).to_contain_text("all sent")

    desk.reload()
    expect(desk.get_by_text("Peg shed: read")).to_be_visible()
    press(desk, "How the course grid lies", "link")
    desk.get_by_label("A grid of our own").focus()
    desk.keyboard.press("Space")
    choose_read(desk, "the place it hangs on", "Peg shed")
    press(desk, "Save")
    saved(desk)
    expect(desk.get_by_text("So the whole grid lies within")).to_be_visible()
    press(desk, "Next: There is no hole yet.", "link")
    fill(desk, "number", "1")
    fill(desk, "name", "First")
    press(desk, "Save")
    saved(desk)
    press(desk, "Give its green a place", "link")
    choose_read(desk, "its place is", "Green 1")
    choose_read(desk, "the turning points are", "the one turning point read by Robin")
    press(desk, "Save")
    saved(desk)
    press(desk, "Next: Hole 1 has no tee", "link")
    fill(desk, "hole", "1")
    fill(desk, "name", "White")
    choose_read(desk, "its place is", "Tee 1 White")
    press(desk, "Save")
    saved(desk)

    desk.goto(f"{demo.address}{EDIT}/pegs")
    fill(desk, "name on the peg", "shed")
    choose_read(desk, "its place is", "Peg shed")
    press(desk, "Save")
    saved(desk)
    desk.goto(f"{demo.address}{EDIT}")
    expect(desk.get_by_role("heading", name="Nothing is missing")).to_be_visible()
    press(desk, "Load the site")
    expect(desk.get_by_role("heading", name="Heather Bank", level=1)).to_be_visible()
    assert desk.url.endswith("/sites/heather-bank")
    desk.goto(f"{demo.address}/sites/heather-bank/holes/1")
    expect(desk.get_by_role("heading", level=1)).to_contain_text("First")
    expect(desk.locator("svg.of-hole .spot-tee")).to_have_count(1)


def test_a_clicked_line_and_what_is_typed_survives_a_closed_tab(demo, phone):
    desk = phone(demo.address)
    page = desk.page
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(f"{demo.address}/sites/skerry-bank/edit/holes/5")
    lines = page.get_by_label("turning points, one a line")
    before = lines.input_value()
    sheet = page.locator("svg.of-clicks")
    sheet.scroll_into_view_if_needed()
    tee, green = (
        page.locator(f"svg.of-clicks .spot-{kind}").first.bounding_box() for kind in ("tee", "green")
    )
    x, y = (
        (tee[key] + green[key] + (tee[side] + green[side]) / 2) / 2
        for key, side in (("x", "width"), ("y", "height"))
    )
    page.mouse.click(x, y)
    clicked = lines.input_value()
    assert clicked.startswith(f"{before}\n")
    expect(page.locator("#clicked circle")).to_have_count(2)
    site = page.evaluate("fetch('/api/sites/skerry-bank/holes/5/bundle').then((answer) => answer.json())")
    plate, (east, north) = site["hole"]["tees"][0], map(float, clicked.splitlines()[-1].split(", "))
    middle = [(plate[axis] + site["hole"]["green"][at]) / 2 for at, axis in enumerate(("x", "y"))]
    assert math.dist((east, north), middle) < 8
    page.goto(f"{demo.address}/")
    page.goto(f"{demo.address}/sites/skerry-bank/edit/holes/5")
    expect(page.get_by_text("is back in the fields. It is not saved yet.")).to_be_visible()
    assert lines.input_value() == clicked
    page.get_by_role("button", name="Put it away").click()
    expect(page.get_by_text("is back in the fields")).to_have_count(0)
    assert lines.input_value() == before


def test_a_save_without_signal_stays_on_the_page_with_what_was_typed_and_goes_through_later(demo, phone):
    desk = phone(demo.address)
    page = desk.page
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{demo.address}/sites/new")
    fill(page, "name", "Gorse Bank")
    desk.context.set_offline(True)
    press(page, "Begin")
    told = page.get_by_text("Not saved: the server does not answer.")
    expect(told).to_be_visible()
    expect(page.get_by_label("name", exact=True)).to_have_value("Gorse Bank")
    press(page, "Begin")
    expect(told).to_be_visible()
    desk.context.set_offline(False)
    press(page, "Begin")
    expect(page.get_by_role("heading", name="Still missing")).to_be_visible()

    press(page, "There is no hole yet.", "link")
    fill(page, "number", "1")
    fill(page, "name", "First")
    desk.context.set_offline(True)
    press(page, "Save")
    expect(told).to_be_visible()
    desk.context.set_offline(False)
    press(page, "Save")
    saved(page)
    expect(page.get_by_label("name", exact=True).first).to_have_value("First")
