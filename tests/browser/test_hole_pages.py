"""The pages of a hole in a real browser: forms without script, an address that says all, words large enough to read."""

from __future__ import annotations

import io

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

pytestmark = pytest.mark.browser

HOLE = "/sites/skerry-bank/holes/4"
LEAST_PX = 12.0
TEXT_HEIGHTS = """(selector) => [...document.querySelectorAll(`${selector} text`)].map((text) => {
  const drawn = text.closest('svg');
  const share = drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width;
  return parseFloat(getComputedStyle(text).fontSize) * share;
})"""


@pytest.fixture
def page(chromium, demo):
    """A browser without scripts, as the pages need none."""
    context = chromium.new_context(
        base_url=demo.address, viewport={"width": 360, "height": 740}, java_script_enabled=False
    )
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("selector", [".of-carry", ".of-hole"])
def test_drawings_are_legible_at_360_px(chromium, demo, selector):
    page = chromium.new_page(viewport={"width": 360, "height": 740})
    page.goto(f"{demo.address}{HOLE}?bunker=4-right")
    heights = page.evaluate(TEXT_HEIGHTS, selector)
    page.close()
    assert len(heights) > 4
    assert min(heights) >= LEAST_PX


def test_an_aim_line_is_typed_and_the_address_holds_it(page):
    page.goto(HOLE)
    page.get_by_label("aside, yd").fill("20")
    page.get_by_label("along the line of play, yd").fill("250")
    page.get_by_label("landing allowance, yd").fill("10")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text("Your aim line passes 20")).to_be_visible()
    first = page.locator("table", has_text="On your aim line").first.inner_text()
    page.goto(page.url)
    assert page.locator("table", has_text="On your aim line").first.inner_text() == first
    expect(page.get_by_label("aside, yd")).to_have_value("20")


def test_choosing_another_bunker_keeps_the_aim_line(page):
    page.goto(f"{HOLE}?offset=20&side=left&at=250")
    page.get_by_label("bunker", exact=True).select_option("4-right")
    page.get_by_label("tee", exact=True).select_option("4-forward")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_text("Your aim line passes 20")).to_be_visible()
    expect(page.locator("#carry .title-block")).to_contain_text("4 right from Forward tee")
    assert page.url.endswith("#carry")


def test_what_cannot_be_read_is_told_beside_the_form_and_can_be_mended(page):
    page.goto(HOLE)
    page.get_by_label("along the line of play, yd").fill("far")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("alert")).to_contain_text("'far' is no length for the distance along")
    expect(page.get_by_label("along the line of play, yd")).to_have_value("far")
    page.get_by_label("along the line of play, yd").fill("250")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("alert")).to_have_count(0)


def test_the_players_typed_last_are_there_at_the_next_visit(page):
    page.goto(f"{HOLE}/compare")
    page.get_by_label("Players and how far").fill("Anna 262\nKim 190")
    page.get_by_role("button", name="Compare").click()
    expect(page.get_by_text("now asked: Anna; no longer asked: Kim")).to_be_visible()
    page.goto("/")
    page.goto(f"{HOLE}/compare")
    expect(page.get_by_label("Players and how far")).to_have_value("Anna 262\nKim 190")
    expect(page.get_by_role("row", name="Anna 262")).to_be_visible()


def test_the_ways_from_site_to_hole_to_each_of_its_pages(page):
    page.goto("/sites/skerry-bank")
    page.locator(f"main a[href$='{HOLE}']").first.click()
    for name, heading in {
        "Sheet to print": "Sheet of Hole 4",
        "Old against new": "Old against new",
        "Sight from the tee": "Sight from the tee",
    }.items():
        page.get_by_role("link", name=name).first.click()
        expect(page.get_by_role("heading", level=1)).to_contain_text(heading)
        page.get_by_role("link", name="Hole 4, Long Ebb").first.click()
    with page.expect_download() as download:
        page.get_by_role("link", name="Download as CSV").click()
    assert download.value.suggested_filename == "skerry-bank-hole-4-yardage.csv"


A4_BETWEEN_MARGINS_PX = int((210 - 2 * 14) / 25.4 * 96)
WIDEST_TABLE = (
    "() => [Math.max(...[...document.querySelectorAll('table')].map((table) => table.getBoundingClientRect().right)),"
    " document.documentElement.clientWidth]"
)


def test_a_printed_page_of_a_hole_keeps_each_bunker_together(chromium, demo):

    page = chromium.new_page()
    page.goto(f"{demo.address}{HOLE}")
    pages = [found.extract_text() for found in PdfReader(io.BytesIO(page.pdf(format="A4"))).pages]
    page.emulate_media(media="print")
    page.set_viewport_size({"width": A4_BETWEEN_MARGINS_PX, "height": 1000})
    wide, sheet = page.evaluate(WIDEST_TABLE)
    assert wide <= sheet + 0.5
    page.close()
    for name, revision in (("4 old", "A"), ("4 right", "C")):
        (printed,) = [text for text in pages if f"{name} revision {revision}" in text]
        block = printed.split(f"{name} revision {revision}")[1].split("revision")[0]
        assert "Straight at its middle" in block
        assert "middle, off the line" in block
    assert len(pages) == 3


@pytest.fixture
def printed(chromium, demo):
    """Prints a page of a hole; returns the text of each of its pages."""

    def read(asked, paper):
        page = chromium.new_page()
        page.goto(f"{demo.address}{asked}")
        pages = PdfReader(io.BytesIO(page.pdf(format=paper))).pages
        page.close()
        return [found.extract_text() for found in pages]

    return read


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_printed_page_of_a_hole_says_where_its_aim_line_goes_and_leaves_the_form_out(printed, paper):
    text = " ".join(" ".join(printed(f"{HOLE}?offset=20&at=262&allowance=10", paper)).split())
    assert "Your aim line passes 20 yd right of the line of play, at 262 yd along it" in text
    assert "10 yd for landing are added to every carry" in text
    assert "Work it out" not in text
    assert "Aim line, straight" not in text


@pytest.mark.parametrize("height", ["11in", "10in", "9in"])
def test_the_cautions_do_not_take_a_printed_page_for_themselves(chromium, demo, height):
    """Letter, and Letter as far as wider margins leave it."""
    page = chromium.new_page()
    page.goto(f"{demo.address}{HOLE}?offset=20&at=262&allowance=10")
    pages = PdfReader(io.BytesIO(page.pdf(width="8.5in", height=height))).pages
    page.close()
    (last,) = [text for found in pages if "Before anybody digs" in (text := found.extract_text())]
    assert len(last.split("Before anybody digs")[0].split()) > 50


def test_on_which_side_a_shot_passes_the_sand_is_read_without_scrolling_at_360_px(page):
    page.goto(HOLE)
    table = page.locator("#bunker-4-right table", has_text="By the line of play")
    assert table.evaluate("table => table.getBoundingClientRect().right") <= 360
