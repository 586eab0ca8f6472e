"""The sight page in a browser: asked by its form, drawn so that it can be read, printed on two pages."""

from __future__ import annotations

import io

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

pytestmark = pytest.mark.browser

SIGHT = "/sites/skerry-bank/holes/4/sight"
SHEETS = "[...document.querySelectorAll('svg.of-section')].filter((sheet) => sheet.checkVisibility())"
"""The sections that are shown: each stands on the page on a wide sheet and on a narrow one."""
BESIDE_THE_SHEET = (
    f"() => {SHEETS}"
    + """.flatMap((sheet) => {
  const frame = sheet.getBoundingClientRect();
  return [...sheet.querySelectorAll('text')].filter((words) => {
    const box = words.getBoundingClientRect();
    return box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom;
  }).map((words) => words.textContent);
})"""
)
"""Words of a section that its sheet cuts off."""
OVER_EACH_OTHER = (
    f"() => {SHEETS}"
    + """.flatMap((sheet) => {
  const words = [...sheet.querySelectorAll('text')].map((one) => [one.textContent, one.getBoundingClientRect()]);
  return words.flatMap(([text, a], i) => words.slice(i + 1)
    .filter(([, b]) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
      && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 5)
    .map(([other]) => `${text} / ${other}`));
})"""
)
"""Words of a section that lie over others by more than a third of a line."""
SMALLEST_WORDS = (
    f"() => Math.min(...{SHEETS}"
    + """.flatMap((sheet) => [...sheet.querySelectorAll('text')]).map((words) =>
  parseFloat(getComputedStyle(words).fontSize) * words.ownerSVGElement.getBoundingClientRect().width
    / words.ownerSVGElement.viewBox.baseVal.width))"""
)
"""The smallest size at which words of a section are seen, CSS pixels."""
BROKEN_WORDS = """() => [...document.querySelectorAll('.sight-tables tbody th, .sight-tables tbody td')]
  .filter((cell) => { const range = document.createRange(); range.selectNodeContents(cell);
    return range.getBoundingClientRect().height > 1.6 * parseFloat(getComputedStyle(cell).lineHeight); })
  .map((cell) => cell.textContent)"""
"""Cells of the tables whose words stand on more than one line."""
SIDEWAYS = """() => [...document.querySelectorAll('.section-figure .scroll')]
  .filter((frame) => frame.scrollWidth > frame.clientWidth).length"""
"""How many sections are wider than their frame."""
EVERYWHERE = [
    *(("skerry-bank", 3, bunker) for bunker in ("3-pot", "3-left")),
    *(("skerry-bank", 4, bunker) for bunker in ("4-old", "4-right")),
    *(("skerry-bank", 5, bunker) for bunker in ("5-waste", "5-green")),
]


@pytest.fixture
def page(chromium):
    """A page in the browser."""
    page = chromium.new_page(viewport={"width": 1280, "height": 800})
    yield page
    page.close()


def test_the_form_asks_for_another_bunker_tee_eye_and_show(page, demo):
    page.goto(demo.address + SIGHT)
    page.get_by_label("bunker", exact=True).select_option("4-right")
    page.get_by_label("tee", exact=True).select_option("4-forward")
    page.get_by_label("eye heights").fill("1.20 1.65")
    page.get_by_label("sand to show").fill("0.45")
    page.get_by_role("button", name="Look").click()
    expect(page.locator(".answer")).to_contain_text("From Forward tee, eye at 1.20")
    expect(page.locator(".answer-more").first).to_contain_text("To show 0.45")
    expect(page.locator(".every-tee tbody tr")).to_have_count(6)
    expect(page.get_by_label("eye heights")).to_have_value("1.20 1.65")
    expect(page.get_by_label("tee", exact=True)).to_have_value("4-forward")


def test_what_cannot_be_read_is_told_and_can_be_mended_where_it_stands(page, demo):
    page.goto(f"{demo.address}{SIGHT}?bunker=4-right&eye=tall")
    expect(page.get_by_role("alert")).to_contain_text("'tall' is no length for the eye height")
    page.get_by_label("eye heights").fill("1,5")
    page.get_by_role("button", name="Look").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(page.locator(".answer")).to_contain_text("eye at 1.50")


def test_seen_sand_is_drawn_far_bolder_than_hidden_sand_and_all_of_it_in_ink(page, demo):
    page.goto(f"{demo.address}{SIGHT}?bunker=4-right")
    style = (
        "node => { const { strokeWidth, stroke } = getComputedStyle(node); return [strokeWidth, stroke]; }"
    )
    (seen, ink), (hidden, other) = (
        page.locator(f".wide .{name}").last.evaluate(style) for name in ("section-seen", "section-sand")
    )
    assert float(seen.removesuffix("px")) >= 4 * float(hidden.removesuffix("px"))
    assert ink == other == "rgb(13, 26, 18)"


@pytest.mark.parametrize("width", [360, 1280])
def test_words_of_every_section_are_within_its_sheet_beside_each_other_and_large_enough(page, demo, width):
    page.set_viewport_size({"width": width, "height": 800})
    for site, hole, bunker in EVERYWHERE:
        page.goto(f"{demo.address}/sites/{site}/holes/{hole}/sight?bunker={bunker}")
        assert page.evaluate(BESIDE_THE_SHEET) == [], bunker
        assert page.evaluate(OVER_EACH_OTHER) == [], bunker
        assert page.evaluate(SMALLEST_WORDS) >= 12, bunker


@pytest.mark.parametrize("width", [320, 360, 412])
def test_on_a_phone_both_sections_are_whole_in_their_frame_and_no_cell_of_a_table_breaks(page, demo, width):
    page.set_viewport_size({"width": width, "height": 740})
    for site, hole, bunker in EVERYWHERE:
        page.goto(f"{demo.address}/sites/{site}/holes/{hole}/sight?bunker={bunker}&eye=1.65+1.20")
        assert page.evaluate(f"{SHEETS}.length") in (0, 1, 2)
        assert page.evaluate(SIDEWAYS) == 0, bunker
        assert page.evaluate(BROKEN_WORDS) == [], bunker
        assert page.evaluate(SMALLEST_WORDS) >= 12, bunker


def test_the_checker_sees_words_over_each_other_and_beside_the_sheet(page, demo):
    page.goto(f"{demo.address}{SIGHT}?bunker=4-right")
    page.evaluate("document.querySelector('.of-section.wide .name').setAttribute('x', '880')")
    assert page.evaluate(BESIDE_THE_SHEET) != []
    move = "document.querySelectorAll('.of-section.wide .section-axis text')[1].setAttribute('y', {})"
    first = page.evaluate("document.querySelector('.of-section.wide .section-axis text').getAttribute('y')")
    page.evaluate(move.format(first))
    assert page.evaluate(OVER_EACH_OTHER) != []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("asked", ["4/sight?bunker=4-right&eye=1.65+1.20", "5/sight?bunker=5-waste"])
def test_it_prints_on_two_pages_the_answer_with_both_sections_on_the_first(page, demo, asked, paper):
    page.goto(f"{demo.address}/sites/skerry-bank/holes/{asked}")
    answer = page.locator(".answer").inner_text()
    printed = [found.extract_text() for found in PdfReader(io.BytesIO(page.pdf(format=paper))).pages]
    first = " ".join(printed[0].split())
    assert len(printed) <= 2
    assert " ".join(answer.split()) in first.replace("\u00a0", " ")
    assert "close up" in first
    assert "heights drawn" in first
    whole = " ".join(" ".join(printed).split())
    for words in ("Across the front edge", "What was assumed", "Slopes and depths of an excavation"):
        assert words in whole
    assert "Look" not in whole


def test_nothing_printed_is_cut_off_at_the_side(page, demo):
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 688, "height": 1017})
    page.goto(f"{demo.address}{SIGHT}?bunker=4-right&eye=1.65+1.20")
    assert page.evaluate("document.documentElement.scrollWidth") <= 688
    assert page.evaluate(BESIDE_THE_SHEET) == []
