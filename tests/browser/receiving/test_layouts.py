"""The set-out page at every size a phone or tablet has, upright and on its side, and with text twice as large."""

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

SIZES = [(320, 568), (360, 740), (412, 915), (768, 1024), (740, 360)]
TWICE = "addEventListener('DOMContentLoaded', () => { document.documentElement.style.fontSize = '200%'; });"
REACHABLE = """() => {
  const {left, right, top, bottom} = document.querySelector('.actions .main-button').getBoundingClientRect();
  const at = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
  return top >= 0 && bottom <= innerHeight + 1 && at?.closest('.main-button') !== null;
}"""


def states(receiver, points_of):
    """Lead the page through its states, naming each."""
    page, point = receiver.page, points_of("skerry-bank", "4-right")[1]
    lat, lon = point["lat"], point["lon"]
    yield "no position"
    receiver.fix(lat - 2.5e-4, lon + 3.7e-4)
    page.clock.run_for(300)
    yield "far"
    page.locator(".hold-button").click()
    receiver.play(receiver.noisy(lat - 2e-5, lon, 45))
    yield "holding"
    page.locator(".hold-button").click()
    receiver.fix(lat, lon, 0.02)
    receiver.worker.expect_verdict("inside")
    yield "on the mark"
    receiver.fix(lat, lon, 35, alt=None)
    page.clock.run_for(300)
    yield "from the network"
    receiver.fix(lat + 1e-9, lon, 2500)
    page.clock.run_for(300)
    yield "rough"
    page.locator(".radius").click()
    yield "sheet Position"
    page.locator("#lasting-minutes").fill("many")
    page.get_by_role("button", name="Use these").click()
    yield "sheet Position, a figure that cannot be"
    page.locator("#lasting-minutes").fill("20")
    page.get_by_role("button", name="Use these").click()
    yield "sheet Position, set by hand"
    back(page)
    yield from checks(receiver, lat, lon)
    for name in ("More", "Check in on a peg", "Receiver trial"):
        page.get_by_role("button", name="More").click()
        if name != "More":
            page.get_by_role("button", name=name).click()
            page.locator("dialog[open] .outline-choice").first.click()
        yield f"sheet {name}"
        back(page)
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Practise, 4 m").click()
    page.clock.run_for(1000)
    yield "practice"


def checks(receiver, lat, lon):
    """Lead the sheet of the yardage check through its states."""
    page = receiver.page
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Check an edge").click()
    sheet = page.locator("dialog[open]")
    yield "sheet Yardage check, rough"
    receiver.play(receiver.noisy(lat, lon, 2))
    yield "sheet Yardage check, cannot tell"
    sheet.locator(".check-hold").click()
    receiver.play(receiver.noisy(lat, lon, 3, 0.02))
    yield "sheet Yardage check, off the line"
    sheet.get_by_role("button", name="Middle", exact=True).click()
    sheet.get_by_role("button", name="To the side").click()
    page.clock.run_for(300)
    yield "sheet Yardage check, differs"
    sheet.get_by_role("button", name="Save check").click()
    expect(sheet.locator(".check-told")).to_contain_text("Saved on this phone")
    page.clock.run_for(9000)
    yield "sheet Yardage check, saved, old"
    back(page)


SEEN = """(selector) => {
  const element = document.querySelector(`dialog[open] ${selector}`);
  const {left, right, top, bottom} = element.getBoundingClientRect();
  return top >= 0 && bottom <= innerHeight && [top + 2, (top + bottom) / 2, bottom - 2]
    .every((y) => element.contains(document.elementFromPoint(left + Math.min(12, (right - left) / 2), y)));
}"""
COMES_AFTER = """() => {
  const [save, ...told] = ['.main-button', '.figure', '.range', '.check-verdict']
    .map((selector) => document.querySelector(`dialog[open] ${selector}`));
  return told.every((e) => e.compareDocumentPosition(save) === Node.DOCUMENT_POSITION_FOLLOWING);
}"""
UNSCROLLED = [(360, 740), (412, 915), (740, 360)]


@pytest.mark.parametrize(
    ("size", "large"),
    [((360, 740), True), ((360, 740), False), ((320, 568), False), ((740, 360), False)],
    ids=["text twice as large", "", "a small phone", "a phone on its side"],
)
def test_a_check_is_saved_with_its_figure_range_and_verdict_in_view(receiving, points_of, size, large):
    receiver = receiving(before=TWICE if large else "", size=size)
    page, point = receiver.page, points_of("skerry-bank", "4-right")[1]
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Check an edge").click()
    receiver.play(receiver.noisy(point["lat"], point["lon"], 2, 0.02))
    assert page.evaluate(COMES_AFTER)
    if large or size not in UNSCROLLED:
        page.locator("dialog[open] .main-button").evaluate("(save) => save.scrollIntoView({block: 'end'})")
    hidden = [
        selector
        for selector in (".figure", ".range", ".check-verdict", ".main-button")
        if not page.evaluate(SEEN, selector)
    ]
    assert hidden == []


def test_the_rows_of_the_check_are_as_wide_as_each_other(receiving, points_of):
    receiver = receiving()
    page, point = receiver.page, points_of("skerry-bank", "4-right")[1]
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Check an edge").click()
    receiver.play(receiver.noisy(point["lat"], point["lon"], 2))
    edges = page.evaluate("""() => ['.check-verdict', '.main-row', '.facts'].map((selector) => {
      const row = document.querySelector(`dialog[open] ${selector}`);
      const boxes = [row, ...row.children].map((e) => e.getBoundingClientRect());
      return [Math.min(...boxes.map((box) => box.left)), Math.max(...boxes.map((box) => box.right))];
    })""")
    assert all(edge == edges[0] for edge in edges)


def back(page) -> None:
    page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()


@pytest.mark.parametrize("large", [False, True], ids=["", "text twice as large"])
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_overlaps_is_cut_or_too_small_to_touch(
    receiving, points_of, layout_faults, width, height, large
):
    receiver = receiving(before=TWICE if large else "", size=(width, height))
    found = []
    for name in states(receiver, points_of):
        found += [f"{name}: {fault}" for fault in layout_faults(receiver.page)]
        if not name.startswith("sheet"):
            receiver.page.evaluate("scrollTo(0, 0)")
            expect(receiver.worker.main_button).to_be_visible()
            if not receiver.page.evaluate(REACHABLE):
                found.append(f"{name}: the large button is out of reach")
    assert found == []


def test_the_checker_sees_what_it_is_for(receiving, layout_faults):
    """A rule that never finds anything proves nothing."""
    receiver = receiving()
    page = receiver.page
    assert layout_faults(page) == []
    spoil = {
        ".way p": ("transform", "translateY(-60px)", "lies over"),
        ".head": ("width", "150%", "sticks out at the side"),
        ".tools .tool": ("max-height", "30px; min-height: 0", "only"),
        ".verdict": ("height", "30px; min-height: 0; overflow: hidden", "cut at the foot"),
    }
    for selector, (name, value, words) in spoil.items():
        page.evaluate(
            "([s, css]) => { document.querySelector(s).style.cssText = css; }", [selector, f"{name}: {value}"]
        )
        assert any(words in fault for fault in layout_faults(page)), words
        page.evaluate("s => { document.querySelector(s).style.cssText = ''; }", selector)
