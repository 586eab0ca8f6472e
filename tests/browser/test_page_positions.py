"""What the page says of a position that is missing, refused, old or without an accuracy figure."""

import re

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
# The platform's own watch, of which a test can say when a fix was.
OWN_WATCH = """
  let give = () => {};
  const watch = {watchPosition: (take) => { give = take; return 1; }, clearWatch: () => {}};
  Object.defineProperty(Navigator.prototype, 'geolocation', {get: () => watch});
  addEventListener('fix', ({detail: [latitude, longitude, timestamp]}) =>
    give({coords: {latitude, longitude, accuracy: 0.02, altitude: null}, timestamp}));
"""

pytestmark = pytest.mark.browser


@pytest.fixture
def point(points_of):
    return points_of(SITE, BUNKER)[1]


def started(worker, bunker=BUNKER):
    worker.open(SITE, bunker)
    worker.start()
    return worker


def test_without_a_position_a_second_tap_makes_a_record_without_one(demo, phone, held):
    worker = started(phone(demo.address, is_kept=False), "3-left")
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("No position. Press again if it is painted.")
    assert worker.main_button.get_attribute("data-state") == "asking"
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("stored on this phone")
    expect(worker.sent).to_have_text("all sent")
    (row,) = held(demo.address)
    assert (row["lat_deg"], row["lon_deg"], row["off_m"], row["verdict"]) == ("", "", "", "cannot tell")


def test_a_refused_location_is_told_with_what_to_do(demo, phone):
    worker = phone(demo.address, is_kept=False)
    worker.context.clear_permissions()
    started(worker)
    expect(worker.page.locator(".way")).to_contain_text("Location is refused for this page. Allow it")
    expect(worker.page.locator(".verdict")).to_contain_text("You can still mark points")


def test_a_receiver_without_an_accuracy_figure_cannot_tell(demo, phone, point):
    worker = started(phone(demo.address, is_kept=False))
    worker.stand(point["lat"], point["lon"], accuracy=0)
    worker.expect_verdict("cannot tell")
    expect(worker.page.locator(".verdict")).to_contain_text("This receiver gives no accuracy figure.")
    expect(worker.page.locator(".radius-words")).to_have_text("no accuracy figure")


def test_a_position_that_does_not_renew_itself_is_called_old(demo, phone, point):
    worker = phone(demo.address, is_kept=False)
    worker.page.clock.install()
    started(worker)
    worker.stand(point["lat"], point["lon"])
    worker.expect_verdict("inside")
    worker.page.clock.run_for(8_000)
    worker.expect_verdict("cannot tell")
    expect(worker.page.locator(".verdict")).to_contain_text(re.compile(r"No new position for \d+ s"))


def give_fix(worker, point, late_ms: int) -> None:
    worker.page.evaluate(
        "([lat, lon, late]) => dispatchEvent(new CustomEvent('fix', {detail: [lat, lon, Date.now() - late]}))",
        [point["lat"], point["lon"], late_ms],
    )


@pytest.fixture
def watched(demo, phone):
    worker = phone(demo.address, is_kept=False)
    worker.context.add_init_script(OWN_WATCH)
    return started(worker)


def test_a_phone_whose_clock_is_half_a_minute_fast_still_tells(watched, point):
    give_fix(watched, point, 30_000)
    give_fix(watched, point, 30_000)
    watched.expect_verdict("inside")


def test_a_fix_whose_time_jumps_back_is_called_old(watched, point):
    give_fix(watched, point, 100)
    watched.expect_verdict("inside")
    give_fix(watched, point, 20_000)
    watched.expect_verdict("cannot tell")
    expect(watched.page.locator(".verdict")).to_contain_text(re.compile(r"No new position for (19|2\d) s"))


def test_somebody_far_away_is_asked_whether_this_is_the_right_hole(demo, phone):
    worker = started(phone(demo.address, is_kept=False))
    worker.stand(55.0, -5.0, accuracy=4.0)
    expect(worker.page.locator(".way")).to_have_text("You are far from this hole")
