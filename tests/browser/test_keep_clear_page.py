"""The page of what to keep clear of in Chromium: points clicked, all by keyboard, and without JavaScript."""

import pytest
from playwright.sync_api import expect

from tests.browser.test_accessibility import PLAIN_FRAMES, grave_faults

pytestmark = pytest.mark.browser

PAGE = "/sites/skerry-bank/holes/4/keep-clear"
SITE_TO_SVG = """(svg, [x, y]) => {
  const [a, b, c, d, e, f] = svg.dataset.toCourse.split(' ').map(Number);
  const size = a * e - b * d;
  const at = new DOMPoint((e * (x - c) - b * (y - f)) / size, (a * (y - f) - d * (x - c)) / size);
  const { x: left, y: top } = at.matrixTransform(svg.getScreenCTM());
  return [left, top];
}"""


def click_course(page, x, y):
    """Click on the plan where a place of the course is; return nothing."""
    plan = page.locator("#plan")
    plan.scroll_into_view_if_needed()
    page.mouse.click(*plan.evaluate(SITE_TO_SVG, [x, y]))


def places(page):
    lines = page.locator("#points").input_value().split("\n")
    return [tuple(map(float, line.split(","))) for line in lines]


def test_a_line_is_clicked_on_the_plan_kept_and_told_and_taken_away(demo, phone):
    page = phone(demo.address).page
    page.set_viewport_size({"width": 1280, "height": 1400})
    page.goto(demo.address + PAGE)
    page.get_by_label("kind").select_option("pipe")
    page.get_by_label("name", exact=True).fill("Old water pipe")
    page.get_by_label("stay clear by, m").fill("2")
    page.get_by_label("your name").fill("Ada")
    wanted = [(2199.0, 5238.0), (2209.0, 5268.0), (2190.0, 5300.0)]
    for place in wanted:
        click_course(page, *place)
    expect(page.locator("#drawn-told")).to_have_text("3 points")
    for got, want in zip(places(page), wanted, strict=True):
        assert got == pytest.approx(want, abs=0.6), "to a pixel of the drawing"
    expect(page.locator("#drawn-now circle")).to_have_count(3)
    page.get_by_role("button", name="Take the last point off").click()
    expect(page.locator("#drawn-now circle")).to_have_count(2)
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("status").first).to_contain_text("Kept.")
    row = page.get_by_role("row").filter(has_text="Old water pipe")
    expect(row).to_contain_text("too near")
    expect(page.get_by_label("Key")).to_contain_text("pipe: Old water pipe")
    expect(page.locator(".thing-pipe")).to_have_count(2)
    page.goto(f"{demo.address}/sites/skerry-bank/set-out/4-right")
    expect(page.get_by_role("alert").filter(has_text="Near a pipe, Old water pipe:")).to_be_visible()
    page.goto(demo.address + PAGE)
    page.get_by_role("link", name="Change Old water pipe").click()
    expect(page.get_by_role("heading", name="Change Old water pipe")).to_be_visible()
    expect(page.locator("#drawn-now circle")).to_have_count(2)
    page.get_by_label("your name").fill("Ada")
    page.get_by_role("button", name="Take Old water pipe away").click()
    expect(page.get_by_role("row").filter(has_text="Old water pipe")).to_have_count(0)
    assert page.evaluate("__faults") == []


def test_points_from_a_tee_are_not_mixed_with_clicked_ones_and_a_point_is_one(demo, phone):
    page = phone(demo.address).page
    page.set_viewport_size({"width": 1280, "height": 1400})
    page.goto(demo.address + PAGE)
    page.get_by_label("points are given as").select_option("4-back")
    page.locator("#points").fill("200, 10")
    click_course(page, 2199.0, 5238.0)
    expect(page.locator("#drawn-told")).to_contain_text("The points are typed from a tee")
    expect(page.locator("#points")).to_have_value("200, 10")
    page.locator("#points").fill("")
    page.get_by_label("drawn as").select_option("point")
    click_course(page, 2199.0, 5238.0)
    click_course(page, 2189.0, 5248.0)
    assert places(page) == [pytest.approx((2189.0, 5248.0), abs=0.6)]
    expect(page.get_by_label("points are given as")).to_have_value("xy")


def test_without_javascript_and_by_keys_alone_a_thing_is_typed_and_kept(demo, chromium):
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(demo.address + PAGE)
    page.locator("#kind").focus()
    page.keyboard.type("tree")
    for words in ("Leaning oak", "a point", "3", "along, aside from Back tee", "200, -30"):
        page.keyboard.press("Tab")
        page.keyboard.type(words)
    page.keyboard.press("Tab")
    page.keyboard.type("By the path")
    page.keyboard.press("Tab")
    page.keyboard.type("Kim")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("Kept.")
    expect(page.get_by_role("row").filter(has_text="Leaning oak")).to_contain_text("a point")
    context.close()


def test_no_grave_fault_of_accessibility_in_any_state(demo, phone):
    page = phone(demo.address).page
    for width, query in ((360, "?thing=main-4"), (1280, ""), (360, "?done=kept")):
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(f"{demo.address}{PAGE}{query}")
        page.locator(".elsewhere summary").click()
        page.evaluate(PLAIN_FRAMES)
        assert grave_faults(page) == []
    page.get_by_label("your name").fill("Ada")
    page.get_by_label("stay clear by, m").fill("far")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("alert").first).to_contain_text("'far' is no length")
    page.evaluate(PLAIN_FRAMES)
    assert grave_faults(page) == []
