"""Sound, voice, buzz, the screen kept on, and the dark ground for dusk: each works, and each can be switched off."""

import re
import statistics
from itertools import pairwise
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
RECORDERS = Path(__file__).with_name("recorders.js").read_text(encoding="utf-8")
CONTRAST = {"runOnly": ["wcag2aaa"], "rules": {"color-contrast-enhanced": {"enabled": True}}}
TO_FULL_CONTRAST = """() => [...document.querySelectorAll('.work *, dialog[open] *')]
  .filter((e) => e.getClientRects().length && !e.closest('svg'))
  .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
  .map((e) => {
    const fill = (n) => getComputedStyle(n).backgroundColor;
    const isClear = (n) => fill(n) === 'rgba(0, 0, 0, 0)';
    const ground = (n) => n === null ? 'rgb(255, 255, 255)' : isClear(n) ? ground(n.parentElement) : fill(n);
    const light = (c) => c.match(/[\\d.]+/g).slice(0, 3).map((v) => v / 255)
      .map((v) => (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4))
      .reduce((s, v, i) => s + v * [0.2126, 0.7152, 0.0722][i], 0);
    const [a, b] = [light(getComputedStyle(e).color), light(ground(e))].sort((x, y) => y - x);
    return [`${e.className} ${e.textContent.slice(0, 20)}`, (a + 0.05) / (b + 0.05)];
  })"""

pytestmark = pytest.mark.browser


@pytest.fixture
def receiver(receiving):
    """A started phone that writes down what it sounds; its marks stay its own, since the tests share one server."""
    begun = receiving(before=RECORDERS)
    begun.worker.send_no_records()
    return begun


@pytest.fixture
def point(points_of):
    found = points_of(SITE, BUNKER)[1]
    return found["lat"], found["lon"]


def heard(receiver, what: str) -> list[dict]:
    return [one for one in receiver.page.evaluate("__heard") if one["what"] == what]


def keep_giving(receiver, lat: float, lon: float, seconds: int, acc: float = 0.02) -> list[dict]:
    """Give a fix each second at one place and return the tones of that time."""
    receiver.page.evaluate("__heard.length = 0")
    fixes = [{"lat": lat + i * 1e-10, "lon": lon, "acc": acc, "alt": 80} for i in range(seconds)]
    receiver.play(fixes)
    return heard(receiver, "tone")


def pace_ms(tones: list[dict]) -> float:
    """The middle time from one tone to the next, of the last ones: the first may still be of the place before."""
    last = [tone["at"] for tone in tones[-5:]]
    return statistics.median(after - before for before, after in pairwise(last))


def switch(receiver, name: str) -> None:
    receiver.page.get_by_role("button", name="More").click()
    receiver.page.get_by_role("switch", name=re.compile(name)).click()
    receiver.page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()


def test_the_sound_quickens_changes_on_the_mark_and_is_silent_when_it_cannot_tell(receiver, point):
    lat, lon = point
    far = keep_giving(receiver, lat + 2.5e-4, lon, 8)
    near = keep_giving(receiver, lat + 1e-5, lon, 8)
    on = keep_giving(receiver, lat, lon, 8)
    keep_giving(receiver, lat, lon, 2, acc=4.0)
    blind = keep_giving(receiver, lat, lon, 8, acc=4.0)
    assert 1000 < pace_ms(far) < 1500
    assert 250 < pace_ms(near) < 450
    assert 650 < pace_ms(on) < 750
    assert {tone["hz"] for tone in far[-4:] + near[-4:]} == {660}
    assert {tone["hz"] for tone in on[-4:]} == {1320}
    assert blind == []


def test_an_old_position_falls_silent(receiver, point):
    keep_giving(receiver, *point, 3)
    receiver.page.clock.run_for(7000)
    receiver.page.evaluate("__heard.length = 0")
    receiver.page.clock.run_for(10_000)
    assert heard(receiver, "tone") == []


def test_sound_switched_off_stays_off_after_a_reload(receiver, point):
    switch(receiver, "Sound")
    assert keep_giving(receiver, point[0] + 1e-4, point[1], 5) == []
    receiver.page.reload()
    expect(receiver.page.get_by_role("button", name="Start")).to_be_visible()
    receiver.worker.start(person="Robin")
    assert keep_giving(receiver, point[0] + 1e-4, point[1], 5) == []


def test_the_sound_is_started_in_the_tap_on_start(receiver):
    assert len(heard(receiver, "resume")) == 1


def test_a_tap_on_the_large_figure_says_the_distance(receiver, point):
    receiver.fix(point[0] + 1.8e-5, point[1], 0.02)
    receiver.page.locator(".figures .figure").click()
    (said,) = heard(receiver, "say")
    assert re.match(
        r"Point 1: 2(\.\d+)? metres\. .* toward the (green|tee)\. .* Not yet\.$", said["words"]
    ), said
    switch(receiver, "Say the distance")
    receiver.page.locator(".figures .figure").click()
    assert len(heard(receiver, "say")) == 1


def test_without_a_position_the_voice_says_so(receiver):
    receiver.page.locator(".figures .figure").click()
    (said,) = heard(receiver, "say")
    assert said["words"].startswith("No position.")


def test_the_phone_buzzes_on_the_mark_and_when_a_mark_is_stored(receiver, point):
    receiver.fix(*point, 0.02)
    receiver.fix(point[0] + 1e-9, point[1], 0.02)
    assert [one["pattern"] for one in heard(receiver, "buzz")] == [[60, 60, 60]]
    receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text("stored on this phone")
    assert [one["pattern"] for one in heard(receiver, "buzz")][1:] == [[180]]


def test_buzz_switched_off_stays_quiet(receiver, point):
    switch(receiver, "Buzz")
    receiver.fix(*point, 0.02)
    receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text("stored on this phone")
    assert heard(receiver, "buzz") == []


def test_the_screen_is_kept_on_and_asked_for_again_when_the_page_is_seen_again(receiver):
    page = receiver.page
    assert len(heard(receiver, "awake")) == 1
    page.get_by_role("button", name="More").click()
    awake = page.get_by_role("switch", name=re.compile("Keep the screen on"))
    expect(awake).to_contain_text("the screen stays on")
    page.evaluate("__see(false)")
    expect(awake).to_contain_text("asked again when the page is looked at")
    page.evaluate("__see(true)")
    expect(awake).to_contain_text("the screen stays on")
    assert len(heard(receiver, "awake")) == 2
    awake.click()
    expect(awake).to_contain_text("goes off as the phone is set")
    page.evaluate("__see(false)")
    page.evaluate("__see(true)")
    assert len(heard(receiver, "awake")) == 2


def choose_ground(receiver, name: str) -> None:
    receiver.page.get_by_role("button", name="More").click()
    receiver.page.get_by_role("button", name=name, exact=True).click()


def paper(receiver) -> str:
    return receiver.page.evaluate("getComputedStyle(document.body).backgroundColor")


def test_dusk_is_dark_and_kept(receiver):
    assert paper(receiver) == "rgb(255, 255, 255)"
    choose_ground(receiver, "Dusk")
    assert paper(receiver) == "rgb(15, 22, 17)"
    receiver.page.reload()
    expect(receiver.page.get_by_role("button", name="Start")).to_be_visible()
    assert paper(receiver) == "rgb(15, 22, 17)"


def test_only_as_the_phone_follows_the_phone(receiver):
    receiver.page.emulate_media(color_scheme="dark")
    assert paper(receiver) == "rgb(255, 255, 255)"
    choose_ground(receiver, "As the phone")
    assert paper(receiver) == "rgb(15, 22, 17)"
    receiver.page.emulate_media(color_scheme="light")
    assert paper(receiver) == "rgb(255, 255, 255)"


@pytest.mark.parametrize("ground", ["Light", "Dusk"])
def test_all_words_stand_out_seven_to_one(receiver, point, ground):
    page = receiver.page
    choose_ground(receiver, ground)
    page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()

    def weak() -> list:
        found = Axe().run(page, options=CONTRAST)
        return [(name, ratio) for name, ratio in page.evaluate(TO_FULL_CONTRAST) if ratio < 7] + (
            [found.generate_report()] if found.violations_count else []
        )

    assert weak() == []
    receiver.fix(point[0] + 1e-4, point[1], 4.0)
    page.locator(".hold-button").click()
    assert weak() == []
    page.locator(".hold-button").click()
    receiver.fix(*point, 0.02)
    receiver.worker.expect_verdict("inside")
    assert weak() == []
    for sheet in ("Check in on a peg", "Receiver trial", None):
        page.get_by_role("button", name="More").click()
        if sheet:
            page.get_by_role("button", name=sheet).click()
        assert weak() == []
        page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()
