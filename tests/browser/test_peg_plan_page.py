"""The page of a peg plan in Chromium: a peg is dragged, typed, kept; and all of it without JavaScript."""

import re

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

PLAN = "/sites/skerry-bank/bunkers/3-pot/peg-plan"


def middle_of(peg):
    box = peg.locator(".foot").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_dragged_peg_moves_in_its_fields_and_changes_the_weakest_point(demo, phone):
    page = phone(demo.address).page
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(demo.address + PLAN)
    weakest = page.locator(".peg-verdict p:not(.peg-figure)").first
    before = weakest.inner_text()
    along, right = page.locator("#along-1"), page.locator("#offset-1")
    start = float(along.input_value()), float(right.input_value())
    per_unit = float(page.locator("svg.of-pegs").get_attribute("data-px-per-unit"))
    shown = page.locator("svg.of-pegs").evaluate("svg => svg.getScreenCTM().a")
    x, y = middle_of(page.locator(".peg[data-row='1']"))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y - 40, steps=4)
    page.mouse.up()
    expect(weakest).not_to_have_text(before)
    # The peg's middle jumps to the pointer, which had taken it 6 px of the drawing below.
    moved = float(along.input_value()) - start[0], float(right.input_value()) - start[1]
    assert moved[0] == pytest.approx(40 / shown / per_unit, abs=6 / per_unit + 0.11)
    assert moved[1] == pytest.approx(30 / shown / per_unit, abs=0.11)
    assert f"along-1={along.input_value()}" in page.url
    page.reload()
    assert float(page.locator("#along-1").input_value()) == pytest.approx(start[0] + moved[0])


def test_a_typed_place_is_worked_out_at_once_and_a_wrong_one_is_said(demo, phone):
    page = phone(demo.address).page
    page.goto(demo.address + PLAN)
    page.locator("#along-1").fill("-70")
    page.locator("#offset-1").click()
    expect(page.locator("#plan")).to_contain_text("0 of 42 points in reach")
    expect(page.locator("#offset-1")).to_be_focused()
    page.locator("#along-1").fill("far")
    page.keyboard.press("Tab")
    expect(page.get_by_role("alert")).to_contain_text("'far' is no length")
    expect(page.locator("#along-1")).to_have_value("far")


def test_without_javascript_a_plan_is_typed_worked_out_kept_and_taken_back(demo, chromium):
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(demo.address + PLAN)
    page.locator("#along-1").fill("-11.5")
    page.get_by_role("button", name="Work it out").click()
    assert page.locator("#along-1").get_attribute("value") == "-11.5"
    page.get_by_role("button", name="Keep this plan").click()
    expect(page.get_by_role("heading", name="The plan that is kept")).to_be_visible()
    assert re.fullmatch(rf".*{PLAN}\?done=kept", page.url)
    assert page.locator("#along-1").get_attribute("value") == "-11.5"
    page.get_by_role("button", name="Take back the whole plan").click()
    expect(page.get_by_role("heading", name="The plan that is kept")).to_have_count(0)
    context.close()
