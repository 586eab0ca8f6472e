"""Boots, target and its number are clear of every label and plate, and the grass keeps its share of the screen."""

import math
from pathlib import Path

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

SIGHT = Path(__file__).parents[1].joinpath("sight.js").read_text(encoding="utf-8")
SIGHT = SIGHT[SIGHT.index("() =>") :]
SITE, BUNKER, NUMBER = "skerry-bank", "4-right", 1
SIZES = {
    (360, 740): {"": 0.40, "a strip": 0.37, "practice": 0.35},
    (320, 568): {"": 0.30, "a strip": 0.30, "practice": 0.30},
    (412, 915): {"": 0.40, "a strip": 0.40, "practice": 0.40},
    (740, 360): {"": 0.45, "a strip": 0.40, "practice": 0.40},
}
METRES_TO_A_DEGREE = 111_300.0
IN_A_ROW = (
    "() => [...document.querySelectorAll('.actions .tools .tool')].map((e) => e.getBoundingClientRect().top)"
)
WALK = """() => { const {height, width} = document.querySelector('.walk').getBoundingClientRect();
  return Math.min(height, width); }"""
ALL_SEEN = """() => [...document.querySelectorAll('.actions .tools .tool, .actions .main-button, .verdict p')]
  .every((e) => { const {top, bottom} = e.getBoundingClientRect(); return top >= 0 && bottom <= innerHeight + 1; })"""


def off(point, east_m: float, north_m: float) -> tuple[float, float]:
    across = METRES_TO_A_DEGREE * math.cos(math.radians(point["lat"]))
    return point["lat"] + north_m / METRES_TO_A_DEGREE, point["lon"] + east_m / across


def states(receiver, point):
    """Lead the page through its states: (name, what the grass gives way to)."""
    page, context = receiver.page, receiver.worker.context
    page.clock.run_for(300)
    yield "no fix", ""
    receiver.fix(point["lat"], point["lon"], 100.0)
    page.clock.run_for(300)
    yield "a poor fix", ""
    for turn in range(0, 360, 30):
        east, north = 9 * math.sin(math.radians(turn)), 9 * math.cos(math.radians(turn))
        receiver.fix(*off(point, east, north), 0.5)
        page.clock.run_for(300)
        yield f"9 m off at {turn}", ""
    receiver.fix(point["lat"], point["lon"], 0.02)
    receiver.worker.expect_verdict("inside")
    page.clock.run_for(300)
    yield "on the mark", ""
    context.route("**/presence", another_there)
    page.clock.run_for(4000)
    receiver.fix(*off(point, 0.3, -0.4), 0.02)
    page.clock.run_for(300)
    expect(page.locator(".others path")).to_have_count(1)
    yield "another at the point", ""
    context.route("**/api/**", lambda route: route.abort())
    receiver.worker.paint()
    page.clock.run_for(3000)
    receiver.fix(*off(point, -1.5, -2.0), 0.02)
    page.clock.run_for(300)
    yield "offline, one waits", ""
    page.get_by_role("button", name="More").click()
    with page.expect_download():
        page.get_by_role("button", name="Hand over as a file").click()
    expect(page.locator(".notice")).to_have_count(1)
    page.clock.run_for(300)
    yield "a notice", "a strip"
    page.clock.fast_forward("06:00:00")
    receiver.fix(*off(point, -1.5, -1.0), 0.02)
    page.clock.run_for(300)
    expect(page.locator(".notice")).to_have_count(2)
    yield "two notices", "a strip"


def another_there(route) -> None:
    """Answer as a server where somebody else is at the same point."""
    place = route.request.post_data_json
    other = {**place, "person": "Alexandra", "device": "~", "seconds": 1}
    route.fulfill(json={"others": [other]})


def look(page, name: str, least: float) -> list[str]:
    """What is wrong with the picture as it stands."""
    page.clock.run_for(100)
    page.clock.run_for(100)
    seen = page.evaluate(SIGHT)
    faults = [f"{name}: {fault}" for fault in seen["faults"]]
    if seen["share"] < least:
        faults.append(f"{name}: the grass has {seen['share']:.2f} of the height, not {least}")
    if not page.evaluate(ALL_SEEN):
        faults.append(f"{name}: not all is on the screen")
    if len(set(page.evaluate(IN_A_ROW))) != 1:
        faults.append(f"{name}: the tools are not in a row")
    return faults


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_covers_boots_target_and_number_and_the_grass_keeps_its_share(
    receiving, points_of, width, height
):
    receiver, least = receiving(size=(width, height)), SIZES[width, height]
    found = []
    for name, strip in states(receiver, points_of(SITE, BUNKER)[NUMBER]):
        found += look(receiver.page, name, least[strip])
    assert found == []


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("grade", ["phone", "centimetre"])
def test_practice_fits_and_covers_nothing(receiving, width, height, grade):
    receiver = receiving("3-left", f"practice {grade}", "?start=3", size=(width, height))
    page = receiver.page
    page.clock.run_for(1500)
    found = look(page, f"practice {grade}", SIZES[width, height]["practice"])
    page.get_by_role("button", name="Walk for me").click()
    page.clock.run_for(12_000)
    found += look(page, f"practice {grade}, walked", SIZES[width, height]["practice"])
    assert page.evaluate(WALK) >= 56
    assert found == []
