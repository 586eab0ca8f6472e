"""The figures on the page against geodesics of geographiclib, and which way is up."""

import math
import re

import pytest
from geographiclib.geodesic import Geodesic
from playwright.sync_api import expect

WGS84 = Geodesic.WGS84
YARD_M = 0.9144
# Skerry Bank's own grid: where its origin lies, how high, and which way its y axis points (site.toml).
ORIGIN_LAT, ORIGIN_LON, ORIGIN_XY, HEIGHT_M, NORTH_DEG = 53.6, -5.0, (2000.0, 5000.0), 68.0, 12.0
BACK_TEE_XY = (2105.0, 5040.0)

pytestmark = pytest.mark.browser


def lifted(height_m: float, lat_deg: float) -> float:
    """Ground metres to a metre on the ellipsoid: 1 + h/R, R the Gaussian mean radius."""
    flattening = 1 / 298.257223563
    eccentricity2 = flattening * (2 - flattening)
    root = 1 - eccentricity2 * math.sin(math.radians(lat_deg)) ** 2
    return 1 + height_m / (6378137 * math.sqrt(1 - eccentricity2) / root)


def gone(lat: float, lon: float, azimuth_deg: float, ground_m: float, height_m: float = HEIGHT_M):
    """Where one stands after going so far over the ground."""
    there = WGS84.Direct(lat, lon, azimuth_deg, ground_m / lifted(height_m, lat))
    return there["lat2"], there["lon2"]


def back_tee():
    dx, dy = BACK_TEE_XY[0] - ORIGIN_XY[0], BACK_TEE_XY[1] - ORIGIN_XY[1]
    return gone(
        ORIGIN_LAT, ORIGIN_LON, NORTH_DEG + math.degrees(math.atan2(dx, dy)), math.sqrt(dx * dx + dy * dy)
    )


def opened(phone, demo, site, bunker):
    worker = phone(demo.address, is_kept=False)
    worker.open(site, bunker)
    worker.start()
    return worker


@pytest.fixture
def sheet(demo, phone):
    """A function that stands so far from the back tee and gives the figure and the unit of the yardage sheet."""
    worker = opened(phone, demo, "skerry-bank", "4-right")
    shown = worker.page.locator("dialog[open]")

    def told_at(ground_m: float, segment: str) -> tuple[float, str]:
        worker.stand(*gone(*back_tee(), 35.0, ground_m))
        unit_m = YARD_M if segment == "yards" else 1.0
        expect(worker.page.locator(".yardage strong")).to_contain_text(f"{ground_m / worker.unit_m:.1f} ")
        worker.page.locator(".yardage").click()
        shown.get_by_role("button", name=segment).click()
        figure, unit = (shown.locator(name).inner_text() for name in (".figure-value", ".figure-unit"))
        shown.get_by_role("button", name="Back to the point").click()
        worker.unit_m = unit_m
        return float(figure), unit

    worker.unit_m = YARD_M
    return told_at


def test_the_yardage_is_the_geodesic_from_the_tee_lifted_to_the_ground(sheet):
    for ground_m in (37.312, 239.577, 301.204):
        figure, unit = sheet(ground_m, "yards")
        assert (figure, unit) == (pytest.approx(ground_m / YARD_M, abs=0.0061), "yd")


def test_the_yardage_can_be_told_in_metres_and_in_yards_again(sheet):
    assert sheet(239.577, "metres") == (pytest.approx(239.577, abs=0.0061), "m")
    assert sheet(239.577, "yards") == (pytest.approx(239.577 / YARD_M, abs=0.0061), "yd")


def test_distance_and_bearing_to_the_point_are_those_of_the_geodesic(demo, phone, points_of):
    point = points_of("skerry-bank", "4-right")[1]
    worker = opened(phone, demo, "skerry-bank", "4-right")
    worker.stand(*gone(point["lat"], point["lon"], 200.2, 7.252))
    expect(worker.page.locator(".bearing strong")).to_have_text("020°")
    expect(worker.page.locator(".figures .figure")).to_have_text("7.25m")


def test_a_course_in_feet_is_told_in_feet_and_inches(demo, phone, points_of):
    point = points_of("quandary-strait", "12-inner")[1]
    worker = opened(phone, demo, "quandary-strait", "12-inner")
    for ground_in, told in ((95, "7ft11in"), (9.5, "9.5in"), (40, "3ft4in")):
        worker.stand(*gone(point["lat"], point["lon"], 200.0, ground_in * 0.0254, 9.0))
        expect(worker.page.locator(".figures .figure")).to_have_text(told)


def beside_the_straight(points, share: float, left_m: float):
    """A place beside the straight from point 2 to 3, so far to the left of the way round it."""
    two, three = points[2], points[3]
    line = WGS84.Inverse(two["lat"], two["lon"], three["lat"], three["lon"])
    foot = WGS84.Direct(two["lat"], two["lon"], line["azi1"], line["s12"] * share)
    return gone(foot["lat2"], foot["lon2"], line["azi1"] - 90, left_m)


def test_in_line_mode_the_figures_are_off_and_along_the_outline(demo, phone, points_of):
    points = points_of("skerry-bank", "3-pot")
    worker = opened(phone, demo, "skerry-bank", "3-pot")
    worker.page.get_by_role("button", name="Line", exact=True).click()
    along = 0.6 * points[2]["chainage_m"] + 0.4 * points[3]["chainage_m"]
    for left_m, side in ((0.45, "outside the line"), (-0.45, "inside the line")):
        worker.stand(*beside_the_straight(points, 0.4, left_m))
        expect(worker.page.locator(".way p")).to_have_text([side, f"{along:.2f} m along, near point 2"])
        expect(worker.page.locator(".figures .figure")).to_have_text("45cm")


def test_off_an_open_line_the_step_told_leads_onto_it(demo, phone, points_of):
    points = points_of("skerry-bank", "5-waste", "swale")
    worker = opened(phone, demo, "skerry-bank", "5-waste")
    worker.page.locator(".head").click()
    worker.page.locator(".outline-choice", has_text="swale").click()
    worker.page.get_by_role("button", name="Line", exact=True).click()
    before, point, after = (points[n] for n in (9, 10, 11))
    along = WGS84.Inverse(before["lat"], before["lon"], after["lat"], after["lon"])["azi1"]
    worker.stand(*gone(point["lat"], point["lon"], along - 90, 2.0))
    # The swale is numbered with the play, so left of its numbering is left of the play, and the step goes right.
    expect(worker.page.locator(".way")).to_contain_text(" right")


def pick_up(worker, name: str) -> None:
    worker.page.get_by_role("button", name="More").click()
    worker.page.get_by_role("button", name=name).click()
    worker.page.get_by_role("button", name="Back to the point").click()


def arrow_deg(worker) -> float:
    turn = worker.page.locator(".verdict .sign").get_attribute("transform") or ""
    return float(re.sub(r"[^\d.-]", "", turn)) % 360


def test_the_arrow_turns_from_what_is_up_the_play_the_north_or_the_way_walked(demo, phone, points_of):
    point = points_of("skerry-bank", "4-right")[1]
    worker = opened(phone, demo, "skerry-bank", "4-right")
    there = gone(point["lat"], point["lon"], 200.0, 8.0)
    worker.stand(*gone(*there, 270.0, 2.0))
    expect(worker.page.locator(".figure-value").first).not_to_have_text("–.–")
    worker.stand(*there)
    expect(worker.page.locator(".bearing strong")).to_have_text("020°")

    toward, side = worker.page.locator(".way p").all_inner_texts()
    from_play = math.degrees(math.atan2(_signed(side, "right"), _signed(toward, "toward the green"))) % 360
    assert arrow_deg(worker) == pytest.approx(from_play, abs=1)
    pick_up(worker, "North up")
    assert arrow_deg(worker) == pytest.approx(20, abs=1)
    pick_up(worker, "Walk up")
    assert arrow_deg(worker) == pytest.approx((20 - 90) % 360, abs=1)


def _signed(words: str, plus: str) -> float:
    figure, unit = words.split()[:2]
    return float(figure) * (0.01 if unit == "cm" else 1) * (1 if words.endswith(plus) else -1)
