"""Has a peg moved? Distances typed without signal, what they say, saved once, taken back; and in feet."""

from __future__ import annotations

import math

import pytest
from playwright.sync_api import expect

from tests.browser.test_captures_and_mornings import Crew, faults_of, ground

__all__ = ["ground"]
FOOT_M = 0.3048
LINES = (("r4a", "r4b"), ("r4a", "r4c"), ("r4b", "r4c"))
LEVELS = {"r4a": 12.71, "r4b": 12.95, "r4c": 12.18}

pytestmark = pytest.mark.browser


@pytest.fixture
def crew(demo, phone):
    """A phone on the page of pegs and tape, kept for work without signal."""
    return Crew(phone(demo.address))


def readings(pegs, moved=(0.0, 0.0)) -> list[float]:
    """What a straight tape reads from peg to peg, r4b being elsewhere: by Pythagoras, not by the program."""
    true = {**pegs, "r4b": (pegs["r4b"][0] + moved[0], pegs["r4b"][1] + moved[1])}
    return [math.hypot(math.dist(true[a], true[b]), LEVELS[a] - LEVELS[b]) for a, b in LINES]


def fill(page, lengths) -> None:
    for number, length in enumerate(lengths):
        page.locator(".moved .tape-line input").nth(number).fill(length)


def test_a_moved_peg_is_named_without_signal_saved_once_and_taken_back(crew, ground, held, layout_faults):
    pegs, _ = ground
    page, faults = crew.page, {}
    strip, found = page.locator(".moved .strip strong"), page.locator(".moved-found")
    crew.worker.context.set_offline(True)
    crew.press("Has a peg moved?")
    expect(strip).to_have_text("Nothing taped yet")
    faults["nothing"] = faults_of(page, layout_faults)
    crew.press("Save this")
    expect(page.locator(".moved .entry-told")).to_have_text(
        "Type what the tape says of one distance at least."
    )
    fill(page, [f"{length:.2f}" for length in readings(pegs)])
    expect(strip).to_have_text("All fit")
    faults["all fit"] = faults_of(page, layout_faults)
    fill(page, ["32.7x"])
    expect(page.locator(".moved .tape-line").first.get_by_role("alert")).to_contain_text(
        "'32.7x' is no length"
    )
    crew.press("Save this")
    expect(page.locator(".moved .entry-told")).to_contain_text("One of these is no distance")
    faults["no length"] = faults_of(page, layout_faults)
    fill(page, [f"{readings(pegs)[0] + 0.15:.2f}"])
    expect(strip).to_have_text("Cannot tell yet")
    expect(page.get_by_role("button", name="Tape r4a to r4b again")).to_be_visible()
    faults["cannot tell"] = faults_of(page, layout_faults)
    fill(page, [f"{length:.2f}" for length in readings(pegs, (-0.0133, 0.0585))])
    expect(strip).to_have_text("r4b has moved")
    expect(found).to_contain_text("Measure nothing from r4b until it is set again.")
    expect(found).to_contain_text("32.59 m, 0.05 m longer than by their places")
    crew.kill()
    page = crew.page
    crew.press("Has a peg moved?")
    expect(page.locator(".moved .strip strong")).to_have_text("r4b has moved")
    faults["moved"] = faults_of(page, layout_faults)
    crew.press("Save this")
    expect(page.get_by_role("button", name="Begin again")).to_be_visible()
    faults["saved"] = faults_of(page, layout_faults)
    (record,) = crew.stored("taped")
    assert (record["verdict"], record["suspects"]) == ("misfit", ["r4b"])
    crew.worker.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(crew.sent).to_have_text("all sent")
    (row,) = [row for row in held(crew.worker.address) if row["kind"] == "taped"]
    assert (row["id"], row["verdict"], row["suspects"], row["remarks"]) == (record["id"], "misfit", "r4b", "")
    crew.press("Take it back")
    expect(page.get_by_role("button", name="Save this")).to_be_visible()
    expect(crew.sent).to_have_text("all sent")
    assert record["id"] in [row["undoes"] for row in held(crew.worker.address)]
    assert faults == {name: [] for name in faults}


BOXES = """() => {
  const box = (e) => { const { top, bottom } = e.getBoundingClientRect(); return { top, bottom }; };
  const inputs = [...document.querySelectorAll('.moved .tape-line input')].map(box);
  const labels = [...document.querySelectorAll('.moved .tape-line label span')].map(box);
  const [page, foot] = ['.tape-body', '.moved .tape-main'].map((part) => box(document.querySelector(part)).top);
  return { inputs, labels, top: page, foot };
}"""
RING_PX = 6


def test_the_field_typed_into_and_the_next_are_never_under_the_verdict(crew, ground):
    pegs, _ = ground
    page = crew.page
    page.set_viewport_size({"width": 360, "height": 740})
    crew.press("Has a peg moved?")
    inputs = page.locator(".moved .tape-line input")
    expect(inputs).to_have_count(3)
    seen = page.evaluate(BOXES)
    assert seen["inputs"][1]["bottom"] <= seen["foot"]
    for number, length in enumerate(readings(pegs, (-0.0133, 0.0585))):
        inputs.nth(number).click()
        page.keyboard.type(f"{length:.2f}")
        following = inputs.nth(min(number + 1, 2))
        expect(following).to_be_in_viewport(ratio=1)
        seen = page.evaluate(BOXES)
        assert seen["inputs"][min(number + 1, 2)]["bottom"] <= seen["foot"]
        assert seen["labels"][number]["top"] >= seen["top"]
        assert seen["labels"][number]["bottom"] <= seen["inputs"][number]["top"] - RING_PX


def test_distances_of_another_day_are_not_taken_for_today_s(crew, ground):
    pegs, _ = ground
    crew.worker.context.set_offline(True)
    crew.press("Has a peg moved?")
    fill(crew.page, [f"{length:.2f}" for length in readings(pegs)])
    expect(crew.page.locator(".moved .strip strong")).to_have_text("All fit")
    crew.kill(after_s=30 * 3600)
    crew.press("Has a peg moved?")
    expect(crew.page.locator(".moved .entry-told")).to_contain_text("Distances of another day were not saved")
    expect(crew.page.locator(".moved .strip strong")).to_have_text("Nothing taped yet")
