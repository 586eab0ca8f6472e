"""Positions that are not what they seem, and a compass that is wrong, are named on the page."""

import math
import re

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
MAY_TURN = "DeviceOrientationEvent.requestPermission = async () => 'granted';"
COMPASS = """(alpha) => {
  const event = new DeviceOrientationEvent('deviceorientationabsolute', {alpha, beta: 10, gamma: 0, absolute: true});
  Object.defineProperty(event, 'timeStamp', {value: Date.now()});
  dispatchEvent(event);
}"""

pytestmark = pytest.mark.browser


@pytest.fixture
def receiver(receiving):
    return receiving(before=MAY_TURN)


@pytest.fixture
def point(points_of):
    found = points_of(SITE, BUNKER)[1]
    return found["lat"], found["lon"]


def verdict(receiver):
    return receiver.page.locator(".verdict")


def test_a_frozen_position_is_named_and_cannot_tell(receiver, point):
    fix = {"lat": point[0], "lon": point[1], "acc": 0.02, "alt": 80}
    receiver.play([fix] * 5)
    receiver.worker.expect_verdict("inside")
    receiver.play([fix] * 20)
    receiver.worker.expect_verdict("cannot tell")
    expect(verdict(receiver)).to_contain_text(re.compile(r"has not moved at all for 2\d s"))
    receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text(
        "The position does not move. Press again if it is painted."
    )
    receiver.play([{**fix, "lat": point[0] + 1e-9}])
    receiver.worker.expect_verdict("inside")


def test_a_position_from_the_network_is_named(receiver, point):
    receiver.fix(*point, 35, alt=None)
    expect(verdict(receiver)).to_contain_text("looks like a position from the network, not from satellites")
    receiver.page.locator(".radius").click()
    expect(receiver.page.locator("dialog[open]")).to_contain_text("there is no height with it")


def test_a_rough_position_is_named_with_what_to_do(receiver, point):
    receiver.fix(*point, 2000, alt=None)
    expect(verdict(receiver)).to_contain_text("only a rough position. Allow the precise location")
    receiver.page.locator(".radius").click()
    expect(receiver.page.locator("dialog[open]")).to_contain_text("Precise Location")


def test_a_position_that_stops_coming_is_called_old(receiver, point):
    receiver.fix(*point, 0.02)
    receiver.worker.expect_verdict("inside")
    receiver.page.clock.run_for(8000)
    receiver.worker.expect_verdict("cannot tell")
    expect(verdict(receiver)).to_contain_text("No new position for")


def walk(receiver, start, azimuth_deg: float, metres: int, compass_deg: float) -> tuple[float, float]:
    """Walk a metre a second while the compass (magnetic) points somewhere."""
    lat, lon = start
    across = 111_300 * math.cos(math.radians(lat))
    north, east = math.cos(math.radians(azimuth_deg)), math.sin(math.radians(azimuth_deg))
    for _ in range(metres):
        lat, lon = lat + north / 111_300, lon + east / across
        receiver.page.evaluate(COMPASS, (360 - compass_deg) % 360)
        receiver.page.clock.run_for(1000)
        receiver.fix(lat, lon, 0.02)
    return lat, lon


def test_heading_is_by_compass_when_standing_and_by_movement_when_walking(receiver, point):
    pointer = receiver.page.locator(".compass small")
    start = (point[0] - 3e-4, point[1])
    receiver.fix(*start, 0.02)
    receiver.page.evaluate(COMPASS, 0)
    expect(pointer).to_have_text("by compass")
    here = walk(receiver, start, 0, 3, 0)
    expect(pointer).to_have_text("as you walk")
    receiver.page.clock.run_for(6000)
    receiver.fix(*here, 0.02)
    receiver.page.evaluate(COMPASS, 0)
    expect(pointer).to_have_text("by compass")


def test_a_wrong_compass_is_said_while_walking_and_not_used_until_it_agrees(receiver, point):
    page = receiver.page
    start = (point[0] - 6e-4, point[1])
    receiver.fix(*start, 0.02)
    here = walk(receiver, start, 0, 12, 70)
    expect(page.locator(".remarks")).to_contain_text("The compass is wrong here:")
    expect(page.locator(".remarks")).to_contain_text("Keep the phone away from metal.")
    page.clock.run_for(6000)
    receiver.fix(*here, 0.02)
    page.evaluate(COMPASS, 0)
    expect(page.locator(".compass")).to_be_hidden()
    walk(receiver, here, 0, 16, 0)
    expect(page.locator(".remarks")).to_have_text("")
