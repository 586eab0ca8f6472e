"""A finger holds to mark: wet glass makes ghost taps, and they are short. Mouse, key and screen reader act at once."""

import re

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"

pytestmark = pytest.mark.browser


class Finger:
    """A real touch, by the browser's own protocol."""

    def __init__(self, page) -> None:
        self.page = page
        self.protocol = page.context.new_cdp_session(page)

    def down(self, locator) -> None:
        box = locator.bounding_box()
        spot = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
        self.protocol.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [spot]})

    def slide(self, x: float, y: float) -> None:
        self.protocol.send(
            "Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y}]}
        )

    def up(self) -> None:
        self.protocol.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


@pytest.fixture
def worker(demo, phone, points_of, request):
    """A phone on the mark, in real time, on a bunker of the test's own."""
    worker = phone(demo.address)
    worker.open(SITE, request.param)
    worker.start(person=request.param)
    point = points_of(SITE, request.param)[1]
    worker.stand(point["lat"], point["lon"])
    worker.expect_verdict("inside")
    return worker


def on(bunker: str):
    return pytest.mark.parametrize("worker", [bunker], indirect=True)


def expect_painted(worker, count: int) -> None:
    expect(worker.page.locator(".head-progress")).to_have_text(re.compile(rf"^{count} of \d+$"))


@on("4-right")
def test_a_short_touch_marks_nothing_and_says_how(worker):
    finger = Finger(worker.page)
    for _ in range(4):
        finger.down(worker.main_button)
        worker.page.wait_for_timeout(120)
        finger.up()
        worker.page.wait_for_timeout(80)
    expect(worker.main_button).to_contain_text("Hold to mark 1")
    worker.page.wait_for_timeout(700)
    expect_painted(worker, 0)


@on("3-pot")
def test_a_touch_held_for_half_a_second_marks_once_while_the_button_fills(worker):
    finger = Finger(worker.page)
    finger.down(worker.main_button)
    expect(worker.main_button).to_have_class(re.compile("is-filling"))
    expect(worker.main_button).to_contain_text("stored on this phone")
    finger.up()
    worker.page.wait_for_timeout(1200)
    expect_painted(worker, 1)
    expect(worker.main_button).to_contain_text("Painted 2")


@on("4-old")
def test_a_finger_that_slides_off_marks_nothing(worker):
    finger = Finger(worker.page)
    finger.down(worker.main_button)
    finger.slide(180, 120)
    worker.page.wait_for_timeout(700)
    finger.up()
    expect_painted(worker, 0)
    expect(worker.main_button).not_to_have_class(re.compile("is-filling"))


@on("3-left")
def test_a_key_marks_at_once(worker):
    worker.main_button.focus()
    worker.page.keyboard.press("Enter")
    expect_painted(worker, 1)


@on("5-green")
def test_a_screen_reader_marks_at_once(worker):
    worker.main_button.evaluate("button => button.click()")
    expect_painted(worker, 1)


@on("5-waste")
def test_a_doubtful_mark_asks_and_a_short_touch_does_not_answer(worker, points_of):
    point = points_of(SITE, "5-waste")[1]
    worker.stand(point["lat"] + 5e-4, point["lon"])
    worker.expect_verdict("outside")
    finger = Finger(worker.page)
    hold(worker, finger)
    expect(worker.main_button).to_have_attribute("data-state", "asking")
    finger.down(worker.main_button)
    worker.page.wait_for_timeout(120)
    finger.up()
    expect(worker.main_button).to_have_attribute("data-state", "asking")
    expect_painted(worker, 0)
    hold(worker, finger)
    expect_painted(worker, 1)


def hold(worker, finger) -> None:
    finger.down(worker.main_button)
    worker.page.wait_for_timeout(600)
    finger.up()
