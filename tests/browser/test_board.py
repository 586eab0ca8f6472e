"""The drawing board in Chromium: by pointer, touch and keys; nothing drawn is lost, and nobody is written over."""

from __future__ import annotations

import io
import json
import math
import re
import signal
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Error, expect

from fieldapp.model.units import METRES_PER_YARD
from fieldapp.settings import Settings
from fieldapp.store.engine import open_store
from fieldapp.workflow.sites import load_site
from tests.board_marks import count_of_marks, mark_of
from tests.browser.test_accessibility import grave_faults

pytestmark = pytest.mark.browser

SITE, HOLE = "skerry-bank", 4
PROJECTED, ITS_HOLE = "vindeloga", 7
SAMPLES = Path(__file__).parents[2] / "sample_sites"
CUT = (
    "{ const asked = window.fetch; window.fetch = (to, how) => how?.method === 'PUT'"
    " ? Promise.reject(new TypeError('cut')) : asked(to, how); }"
)
KEPT_HERE = """(bunker) => new Promise((done) => {
  indexedDB.open('fieldapp', 1).onsuccess = ({ target }) => {
    const store = target.result.transaction('kept').objectStore('kept');
    store.get(`board skerry-bank/${bunker}`).onsuccess = (found) => done(found.target.result?.note ?? null);
  };
})"""
KEEP_UNSENT = """([from, to]) => new Promise((done) => {
  indexedDB.open('fieldapp', 1).onsuccess = ({ target }) => {
    const store = target.result.transaction('kept', 'readwrite').objectStore('kept');
    store.get(`board skerry-bank/${from}`).onsuccess = (found) => {
      const kept = { ...found.target.result, number: 0, isSent: false, note: 'not sent' };
      store.put(kept, `board skerry-bank/${to}`).onsuccess = () => done(true);
    };
  };
})"""
LOOK = {
    "least": 44,
    "targets": "button, .button, summary, input:not([type=hidden]), select",
    "frames": ".scroll",
}


@pytest.fixture(scope="module")
def club(tmp_path_factory, server_process):
    """A server for a club whose people came in by links of their own."""
    data = tmp_path_factory.mktemp("club")
    with closing(open_store(Settings(data_dir=data))) as store:
        for site in (SITE, PROJECTED):
            load_site(store, SAMPLES / site, datetime.now(UTC))
    server = server_process(data, "serve")
    yield server
    server.stop(signal.SIGKILL)


class Drawer:
    """A browser of one person at the board."""

    def __init__(self, phone, club, name="Alex", role="plan", size=(1280, 800), site=SITE, hole=HOLE):
        self.club = club
        self.site = f"{club.address}/api/sites/{site}"
        self.board = f"{club.address}/sites/{site}/holes/{hole}/board"
        self.phone = phone(club.address)
        self.phone.enter(club.link(role, name))
        self.size = size
        self.page = self.phone.page
        self.page.set_viewport_size({"width": size[0], "height": size[1]})

    def open(self, bunker, page=None):
        self.page = page or self.page
        self.page.goto(f"{self.board}?bunker={bunker}")
        expect(self.page.locator("#figures [data-figure='carry']")).to_be_visible()
        return self

    def again(self, bunker):
        """Open the board in a new tab of the same browser."""
        page = self.phone.context.new_page()
        page.set_viewport_size({"width": self.size[0], "height": self.size[1]})
        self.phone.page = page
        return self.open(bunker, page)

    def begin(self, name, shape="kidney", **sizes):
        """Begin a new bunker; its board opens."""
        self.page.goto(self.board)
        self.page.locator("#begin-name").fill(name)
        self.page.locator("#begin-shape").select_option(shape)
        for key, typed in sizes.items():
            self.page.locator(f"#begin-{key}").fill(typed)
        self.page.get_by_role("button", name="Begin it").click()
        self.page.wait_for_url(re.compile(r"\?bunker="))
        assert self.page.locator("#bunker").input_value() in self.page.url.split("?bunker=")[1:]
        self.saved()
        return self

    def place(self, **typed):
        for key in ("length", "offset", "slant"):
            self.page.locator(f"#place-{key}").fill(typed[key])
        for key in ("by", "side"):
            self.page.locator(f"#place-{key}").select_option(typed[key])
        self.page.get_by_role("button", name="Place it there").click()

    def unfold(self, *parts):
        for part in parts:
            self.page.locator(f"#{part} > summary").click()

    def figure(self, name):
        return self.page.locator(f"#figures [data-figure='{name}'] dd").inner_text()

    def mark(self, number):
        """The middle of a point's mark, pixels of the page."""
        return mark_of(self.page, number)

    def px_per_m(self):
        """Pixels of the sheet that a ground metre is, by its scale bar."""
        bar = self.page.locator(".board-bar")
        length = re.match(r"M0 -5V0H([\d.]+)", bar.locator("path").get_attribute("d"))[1]
        return float(length) / float(bar.get_attribute("data-metres"))

    def saved(self):
        """Wait until what is drawn is on the server, which it goes to at once; return its number."""
        self.page.evaluate("dispatchEvent(new Event('online'))")
        sign = self.page.locator("#post-sign")
        expect(sign).to_have_attribute("data-post", "saved", timeout=20_000)
        return int(re.search(r"\d+", sign.inner_text())[0])

    def undo_says(self, words):
        expect(self.page.locator("#undo")).to_have_text(words)

    def kept(self, bunker):
        """The draft that the server holds."""
        return self.asked(f"/bunkers/{bunker}/draft")["draft"]

    def asked(self, path):
        return self.phone.context.request.get(self.site + path).json()

    def check(self, bunker, tee):
        """What the server measures of the draft that it holds."""
        path = f"{self.site}/bunkers/{bunker}/draft/check?tee={tee}"
        answer = self.phone.context.request.post(path, data={"draft": self.kept(bunker)})
        return answer.json()["figures"]


@pytest.fixture
def drawer(phone, club):
    """A function that brings a person to the board."""
    return lambda **about: Drawer(phone, club, **about)


def test_a_kidney_is_placed_by_figures_dragged_undone_and_kept(drawer):
    alex = drawer().begin("4 nose", length="12", width="7", waist="1.5")
    page = alex.page
    alex.place(by="carry", length="262", side="right", offset="18yd", slant="35")
    assert (alex.figure("carry"), alex.figure("aside"), alex.figure("slant to play")) == (
        "262.0 yd",
        "18.0 yd right",
        "35.0°",
    )
    alex.saved()
    placed = alex.kept("4-nose")
    figures = alex.check("4-nose", "4-back")
    assert figures["carry_m"] == pytest.approx(262 * METRES_PER_YARD, abs=0.002)
    assert figures["slant_deg"] == pytest.approx(35, abs=0.01)

    x, y = alex.mark(5)
    seen = []
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 5):
        page.mouse.move(x + 8 * step, y - 6 * step)
        page.wait_for_timeout(50)
        seen.append((alex.figure("area"), alex.figure("perimeter"), page.locator(".own-arcs").text_content()))
    page.mouse.up()
    assert len(set(seen)) == 4, "figures and arcs follow while it is dragged"
    alex.undo_says("Undo: move point 5")
    alex.saved()
    moved = alex.kept("4-nose")
    before, after = (draft["outlines"][0]["points"] for draft in (placed, moved))
    assert math.dist(before[4], after[4]) == pytest.approx(math.hypot(32, 24) / alex.px_per_m(), rel=0.001)
    assert before[:4] + before[5:] == after[:4] + after[5:]
    page.locator("#points summary").click()
    shown = [page.get_by_label(f"{axis} of point 5", exact=True).input_value() for axis in "xy"]
    assert [float(each) for each in shown] == pytest.approx(after[4], abs=6e-5)

    page.locator("#undo").click()
    alex.undo_says("Undo: place it by its carry")
    alex.saved()
    assert alex.kept("4-nose") == placed
    page.locator("#redo").click()
    alex.saved()
    assert alex.kept("4-nose") == moved

    page.locator("#place-length").fill("far")
    page.get_by_role("button", name="Place it there").click()
    expect(page.locator("#place-fault")).to_contain_text("'far' is no length for the carry")
    expect(page.locator("#place-length")).to_have_value("far")


def test_a_finger_drags_a_point_or_the_whole_and_two_bring_the_sheet_closer(drawer):
    alex = drawer(size=(820, 1180)).begin("4 touch", shape="round", length="9")
    touch = alex.phone.context.new_cdp_session(alex.page)

    def fingers(kind, *places):
        points = [{"x": x, "y": y, "id": turn} for turn, (x, y) in enumerate(places)]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        alex.page.wait_for_timeout(40)

    def drag(start, way):
        fingers("touchStart", start)
        for share in (0.3, 0.7, 1):
            fingers("touchMove", (start[0] + way[0] * share, start[1] + way[1] * share))
        fingers("touchEnd")

    x, y = alex.mark(2)
    drag((x + 9, y - 6), (40, 0))
    alex.undo_says("Undo: move point 2")
    middle = [sum(one) / 2 for one in zip(alex.mark(1), alex.mark(7), strict=True)]
    before, seen = alex.mark(3), alex.page.locator(".board-points").first
    fingers("touchStart", middle)
    fingers("touchMove", (middle[0], middle[1] + 30))
    expect(seen).to_be_hidden()
    fingers("touchMove", (middle[0], middle[1] + 60))
    fingers("touchEnd")
    alex.undo_says("Undo: move the bunker")
    expect(seen).to_be_visible()
    assert alex.mark(3) == pytest.approx((before[0], before[1] + 60), abs=0.11)
    scale, steps = alex.px_per_m(), alex.page.locator("#undo").inner_text()
    fingers("touchStart", (300, 400), (500, 400))
    fingers("touchMove", (250, 400), (550, 400))
    fingers("touchMove", (200, 400), (600, 400))
    fingers("touchEnd")
    assert alex.px_per_m() == pytest.approx(2 * scale, rel=0.02)
    alex.undo_says(steps)


def test_all_of_it_goes_by_keys(drawer):
    alex = drawer().begin("4 keys", shape="oval", length="10", width="6")
    page, keys = alex.page, alex.page.keyboard
    before = alex.kept("4-keys")["outlines"][0]["points"]
    sheet = page.get_by_role("application")
    sheet.focus()
    for key in ("PageDown", "PageDown", "ArrowUp", "Shift+ArrowRight"):
        keys.press(key)
    expect(page.locator("#chosen-words")).to_have_text(f"Point 2 of {len(before)} is chosen.")
    alex.saved()
    after = alex.kept("4-keys")["outlines"][0]["points"]
    assert math.dist(before[1], after[1]) == pytest.approx(math.hypot(0.1, 1.0), abs=1e-6)
    keys.press("Insert")
    expect(page.locator("#chosen-words")).to_have_text(f"Point 3 of {len(before) + 1} is chosen.")
    keys.press("Delete")
    keys.press("Control+z")
    alex.undo_says("Undo: put in point 3")
    keys.press("Control+z")
    keys.press("Control+z")
    alex.undo_says("Undo: nudge point 2")
    keys.press("Control+y")
    page.locator("#points summary").focus()
    keys.press("Enter")
    field = page.get_by_label("x of point 1", exact=True)
    field.fill(f"{before[0][0] + 1.5:.4f}")
    keys.press("Enter")
    alex.undo_says("Undo: set point 1")
    alex.saved()
    assert alex.kept("4-keys")["outlines"][0]["points"][0][0] == pytest.approx(before[0][0] + 1.5, abs=6e-5)
    alex.unfold("whole")
    page.locator("#turn-by").fill("90")
    slant = float(alex.figure("slant to play").rstrip("°"))
    page.locator("[data-turn='1']").focus()
    keys.press("Enter")
    turned = float(alex.figure("slant to play").rstrip("°"))
    assert (turned - slant) % 180 == pytest.approx(90, abs=0.11)


def test_an_outline_beside_the_sand_and_one_pressed_out(drawer):
    alex = drawer().begin("4 belt", shape="oval", length="10", width="6")
    page = alex.page
    alex.unfold("one-more")
    page.locator("#offset-by").fill("1.5")
    page.locator("#offset-part").select_option("transplant area")
    page.locator("#offset").click()
    alex.undo_says("Undo: draw the transplant area")
    box = page.locator("#sheet").bounding_box()
    page.locator("#press-new").click()
    for x, y in ((0.1, 0.15), (0.2, 0.15), (0.15, 0.3), (0.3, 0.9)):
        page.mouse.click(box["x"] + box["width"] * x, box["y"] + box["height"] * y)
    alex.undo_says("Undo: press point 4")
    page.locator("#undo").click()
    page.wait_for_timeout(150)
    page.close()
    page = alex.again("4-belt").page
    expect(page.locator("#press-new")).to_have_text("It is all pressed")
    bar = page.locator("#pressing").bounding_box()
    assert bar["y"] + bar["height"] <= page.viewport_size["height"], "the end of pressing is beside the plan"
    page.locator("#press-end").click()
    expect(page.locator("#pressing")).to_be_hidden()
    alex.undo_says("Undo: draw the mound top")
    alex.unfold("in-hand")
    page.locator("#height-kind").select_option("above_ground_m")
    page.locator("#height").fill("0.6")
    page.locator("#set-height").click()
    alex.saved()
    sand, belt, mound = alex.kept("4-belt")["outlines"]
    assert (belt["part"], mound["part"], mound["above_ground_m"]) == ("transplant area", "mound top", 0.6)
    assert len(mound["points"]) == 3
    middle = [sum(point[axis] for point in sand["points"]) / len(sand["points"]) for axis in (0, 1)]
    apart = [min(math.dist(one[:2], other[:2]) for other in belt["points"]) for one in sand["points"]]
    assert all(1.4 < each < 2.2 for each in apart)
    assert 4.49 < min(math.dist(one[:2], middle) for one in belt["points"]) < 4.75


def test_a_closed_tab_and_a_killed_page_lose_nothing(drawer):
    alex = drawer().begin("4 lost", shape="oval", length="10", width="6")
    alex.page.evaluate(CUT)
    alex.page.locator("[data-nudge='on']").click()
    alex.page.locator("[data-nudge='left']").click()
    expect(alex.page.locator("#post-sign")).to_have_attribute("data-post", "away", timeout=10_000)
    expect(alex.page.locator("#post-sign")).to_contain_text("the server cannot be reached")
    moved = alex.figure("aside")
    number = alex.kept("4-lost")
    alex.page.close()

    alex.again("4-lost")
    assert alex.figure("aside") == moved
    alex.undo_says("Undo: move the bunker left")
    alex.saved()
    assert alex.kept("4-lost") != number

    alex.page.evaluate(CUT)
    alex.unfold("whole")
    alex.page.locator("#mirror").click()
    alex.undo_says("Undo: mirror the bunker")
    alex.page.wait_for_timeout(150)
    _crash(alex.page)
    alex.again("4-lost")
    alex.undo_says("Undo: mirror the bunker")
    alex.page.locator("#undo").click()
    alex.undo_says("Undo: move the bunker left")


def _middle_of(page):
    box = page.locator("#sheet").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _crash(page):
    """Kill a page's process, as a machine short of memory does."""
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash", timeout=3_000)


def _second(alex, kim, bunker):
    """Kim saves a change first, then Alex makes one and is asked; return Kim's draft."""
    kim.page.locator("[data-nudge='on']").click()
    kim.saved()
    theirs = kim.kept(bunker)
    alex.page.locator("[data-nudge='right']").click()
    dialog = alex.page.get_by_role("dialog")
    expect(dialog).to_be_visible(timeout=10_000)
    expect(dialog).to_contain_text(re.compile(r"Kim moved the whole bunker by [\d.]+ m at \d\d:\d\d UTC"))
    return theirs


def test_who_saves_second_takes_theirs_and_goes_over_it_only_if_asked_twice(drawer):
    alex = drawer().begin("4 theirs", shape="oval", length="10", width="6")
    theirs = _second(alex, drawer(name="Kim").open("4-theirs"), "4-theirs")
    assert grave_faults(alex.page) == []
    for _ in range(3):
        alex.page.keyboard.press("Escape")
    with alex.page.expect_download() as download:
        alex.page.get_by_role("button", name="Take theirs").click()
    mine = json.loads(download.value.path().read_text(encoding="utf-8"))
    assert mine != theirs
    number = alex.saved()
    alex.undo_says("Undo: back to mine, over Kim’s")
    alex.page.keyboard.press("Control+z")
    expect(alex.page.locator("#step-fault")).to_contain_text("Undo once more, and yours is saved over")
    assert alex.kept("4-theirs") == theirs
    alex.page.keyboard.press("Control+z")
    expect(alex.page.locator("#redo")).to_have_text("Redo: take Kim’s drawing")
    assert alex.saved() == number + 1
    assert alex.kept("4-theirs") == mine
    alex.unfold("saves")
    alex.page.get_by_role("button", name=f"Put save {number} on the board").click()
    alex.undo_says(f"Undo: put save {number} on the board")
    alex.saved()
    assert alex.kept("4-theirs") == theirs


def test_who_saves_second_puts_mine_on_top_or_keeps_both(drawer):
    alex = drawer().begin("4 both", shape="oval", length="10", width="6")
    kim = drawer(name="Kim").open("4-both")
    theirs = _second(alex, kim, "4-both")
    alex.page.get_by_role("button", name="Put mine on top").click()
    number = alex.saved()
    assert alex.kept("4-both") != theirs
    assert alex.asked(f"/bunkers/4-both/drafts/{number - 1}")["draft"] == theirs

    theirs = _second(alex, kim.open("4-both"), "4-both")
    alex.page.locator("#both-id").fill("4-right")
    alex.page.get_by_role("button", name="Keep both").click()
    expect(alex.page.locator("#conflict-fault")).to_contain_text("'4-right' is a bunker already")
    alex.page.evaluate(KEEP_UNSENT, ["4-both", "4-other"])
    alex.page.locator("#both-id").fill("4-other")
    alex.page.get_by_role("button", name="Keep both").click()
    expect(alex.page.locator("#conflict-fault")).to_contain_text("'4-other' is kept in this browser already")
    assert alex.page.evaluate(KEPT_HERE, "4-other") == "not sent"
    alex.page.locator("#both-id").fill("4-both-mine")
    alex.page.get_by_role("button", name="Keep both").click()
    alex.page.wait_for_url(re.compile("4-both-mine"))
    alex.saved()
    assert alex.kept("4-both") == theirs
    mine = alex.kept("4-both-mine")
    assert mine["bunker"]["id"] == "4-both-mine"
    assert mine["outlines"] != theirs["outlines"]


def test_two_tabs_of_one_browser_take_turns_and_lose_nothing(drawer):
    alex = drawer().begin("4 tabs", shape="oval", length="10", width="6")
    first = alex.page
    first.locator("[data-nudge='on']").click()
    second = alex.again("4-tabs").page
    expect(second.locator("#board-turn")).to_contain_text("This bunker is on the board in another tab")
    middle = _middle_of(second)
    aside = alex.figure("aside")
    second.mouse.move(*middle)
    second.mouse.down()
    second.mouse.move(middle[0] + 60, middle[1], steps=3)
    second.mouse.up()
    assert alex.figure("aside") == aside
    assert second.locator("[data-edits]").evaluate_all("parts => parts.every(({ inert }) => inert)")
    first.locator("[data-nudge='left']").click()
    second.get_by_role("button", name="Draw here instead").click()
    alex.undo_says("Undo: move the bunker left")
    expect(second.locator("#board-turn")).to_be_hidden()
    expect(first.locator("#board-turn")).to_be_visible()
    assert first.locator("[data-edits]").evaluate_all("parts => parts.every(({ inert }) => inert)")
    second.locator("[data-nudge='right']").click()
    number = alex.saved()
    kept = alex.kept("4-tabs")
    second.close()
    alex.page = alex.phone.page = first
    alex.undo_says("Undo: move the bunker right")
    expect(first.locator("#board-turn")).to_be_hidden()
    assert (alex.saved(), alex.kept("4-tabs")) == (number, kept)
    first.locator("#undo").click()
    alex.undo_says("Undo: move the bunker left")


def test_a_draft_is_given_up_for_what_stands(drawer):
    alex = drawer().open("4-right")
    page, aside = alex.page, alex.figure("aside")
    stands = alex.kept("4-right")
    page.locator("[data-nudge='left']").click()
    moved = alex.figure("aside")
    assert moved != aside
    alex.saved()
    alex.unfold("saves")
    give_up = page.locator("#give-up")
    give_up.click()
    expect(give_up).to_have_text("Press again to give it up")
    give_up.click()
    expect(page.locator("#post-sign")).to_have_attribute("data-post", "given")
    expect(page.locator("#save-list li").first).to_contain_text("Alex gave the draft up")
    assert alex.figure("aside") == aside
    found = alex.asked("/bunkers/4-right/draft")
    assert (found["state"], found["draft"]) == ("given up", stands)
    alex.undo_says("Undo: give the draft up")


def test_a_typed_carry_and_a_plan_hold_on_a_projected_grid(drawer):
    alex = drawer(site=PROJECTED, hole=ITS_HOLE).begin("7 nose", length="11", width="6", waist="1")
    page, keys = alex.page, alex.page.keyboard
    assert alex.asked(f"/holes/{ITS_HOLE}/board")["ground_scale"] > 1.00005
    alex.place(by="carry", length="205yd", side="left", offset="20ft", slant="20")
    alex.saved()
    figures = alex.check("7-nose", "7-vit")
    assert figures["carry_m"] == pytest.approx(205 * METRES_PER_YARD, abs=0.002)
    assert figures["offset_m"] == pytest.approx(-20 * 0.3048, abs=0.002)

    alex.unfold("plan")
    expect(page.locator("#plan-words")).to_contain_text("Nothing is planned")
    page.locator("#plan-carry").fill("210yd")
    page.locator("#plan-reach").fill("220yd")
    keys.press("Enter")
    expect(page.locator("#plan-fault")).to_contain_text("The reach cannot be longer than the carry")
    page.locator("#plan-reach").fill("")
    page.locator("#plan-tolerance").fill("2ft")
    keys.press("Enter")
    alex.undo_says("Undo: plan its figures")
    assert alex.figure("carry") == "187.5 m, planned 192.0 m, 4.6 m less"
    alex.saved()
    plan = alex.kept("7-nose")["plan"]
    assert (plan["tee"], plan["reach_m"], plan["along_m"], plan["offset_m"]) == ("7-vit", None, None, None)
    assert (plan["carry_m"], plan["tolerance_m"]) == pytest.approx((210 * METRES_PER_YARD, 2 * 0.3048))
    page.locator("#plan-measured").click()
    alex.undo_says("Undo: plan what it measures")
    alex.saved()
    plan = alex.kept("7-nose")["plan"]
    for key in ("reach_m", "carry_m", "along_m", "offset_m"):
        assert plan[key] == pytest.approx(figures[key], abs=0.051)
    page.locator("#plan-nothing").click()
    alex.saved()
    assert alex.kept("7-nose")["plan"] is None


def test_a_picture_lies_where_its_world_file_says(drawer):
    alex = drawer().open("4-right")
    page = alex.page
    marks = np.array([alex.mark(number) for number in range(1, 33)])
    (sand,) = (one for one in alex.kept("4-right")["outlines"] if one["part"] == "sand edge")
    course = np.array([[*point[:2], 1] for point in sand["points"]])
    to_page = np.linalg.lstsq(course, marks, rcond=None)[0]
    box = page.locator("#sheet").bounding_box()
    wanted = np.array([box["x"] + 0.72 * box["width"], box["y"] + 0.75 * box["height"]])
    at = np.linalg.solve(to_page[:2].T, wanted - to_page[2])

    turn, size = math.radians(25), 0.05
    world = np.array([[math.cos(turn), math.sin(turn)], [math.sin(turn), -math.cos(turn)]]) * size
    red = Image.new("RGB", (200, 160), (20, 70, 160))
    red.paste((230, 20, 20), (40, 20, 100, 60))
    out = io.BytesIO()
    red.save(out, "PNG")
    corner = at - world @ (70, 40)
    (a, b), (d, e) = world
    lines = "\n".join(map(repr, map(float, (a, d, b, e, *corner))))
    path = f"{alex.site}/backdrops?name=air.png&world={lines}&system=course".replace("\n", "%0A")
    answer = alex.phone.context.request.post(path, data=out.getvalue())
    assert answer.json()["state"] == "kept", answer.text()

    alex.open("4-right")
    alex.page.locator(".layers summary").click()
    for name in ("grid", "fairway", "arcs", "clear", "others", "lines", "names", "pegs"):
        page.evaluate(f"document.querySelector('#sheet').classList.add('without-{name}')")
    page.wait_for_function("document.querySelector('image') !== null")

    def is_red(column, row):
        x, y = np.append(corner + world @ (column, row), 1) @ to_page
        shot = Image.open(io.BytesIO(page.screenshot(scale="css"))).convert("RGB")
        red, _, blue = shot.getpixel((round(x), round(y)))
        return red > 150 and blue < 110

    inside = [(70, 25), (70, 54), (45, 40), (94, 40)]
    outside = [(70, 14), (70, 65), (34, 40), (105, 40)]
    page.wait_for_timeout(300)
    assert [is_red(*each) for each in inside] == [True] * 4
    assert [is_red(*each) for each in outside] == [False] * 4
    see_through = "getComputedStyle(document.querySelector('.fairway')).fillOpacity"
    assert page.evaluate(see_through) == "0.25"
    page.get_by_label("pictures").uncheck()
    assert not is_red(70, 40)
    assert page.evaluate(see_through) == "1"


def test_who_may_only_look_sees_figures_and_changes_nothing(drawer):
    lou = drawer(name="Lou", role="look").open("4-right")
    page = lou.page
    expect(page.locator(".notice").first).to_contain_text("Your link is to look")
    assert page.locator("#undo, #place-form, #begin, #conflict").count() == 0
    assert count_of_marks(page) == 0
    carry, scale = lou.figure("carry"), lou.px_per_m()
    box = page.locator("#sheet").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 60, box["y"] + box["height"] / 2 + 40, steps=3)
    page.mouse.up()
    page.get_by_role("button", name="Closer").click()
    assert lou.px_per_m() > scale
    assert lou.figure("carry") == carry
    page.locator("#tee").select_option(label="Middle tee")
    assert lou.figure("carry") != carry
    expect(page.locator("#clear-list")).to_contain_text("Sprinkler main (irrigation)")
    expect(page.locator("#clear-words")).to_have_text(
        "A drawing is not a detection: have services located before digging."
    )


def _words_on_words(page):
    """Words of arcs, near things and the frame that lie on other words."""
    return page.evaluate("""() => {
      const named = '.board-arcs text, .drawn-near text, .board-bar text, .board-arrow text';
      const seen = [...document.querySelectorAll(named)]
        .filter((text) => text.textContent !== '' && getComputedStyle(text).visibility === 'visible');
      const boxes = seen.map((text) => [text.textContent, text.getBoundingClientRect()]);
      const meet = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
      return boxes.flatMap(([words, box], at) => boxes.slice(at + 1)
        .filter(([, other]) => meet(box, other)).map(([others]) => `${words} / ${others}`));
    }""")


def _words_on_names(page):
    """Words on arcs, and names, that lie on the name of a tee or bunker; how many numbers and names are seen."""
    return page.evaluate("""() => {
      const isSeen = (text) => text.textContent !== '' && text.getClientRects().length > 0
        && getComputedStyle(text).visibility === 'visible';
      const shown = (named) => [...document.querySelectorAll(named)].filter(isSeen)
        .map((text) => [text.textContent, text.getBoundingClientRect()]);
      const [numbers, names] = [shown('.board-arcs text'), shown('.board-spot text')];
      const meet = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
      const lie = ([text, box]) => names.filter(([, other]) => meet(box, other)).map(([name]) => `${text}, ${name}`);
      const lieOn = names.flatMap(([name, box], at) => names.slice(at + 1)
        .filter(([, other]) => meet(box, other)).map(([other]) => `${name}, ${other}`));
      return [numbers.flatMap(lie).concat(lieOn), numbers.length > 0, names.length > 1];
    }""")


@pytest.mark.parametrize("size", [(1280, 800), (820, 1180), (360, 740)], ids=str)
def test_the_board_at_three_sizes(drawer, layout_faults, size):
    alex = drawer(size=size).open("4-right")
    assert layout_faults(alex.page, **LOOK) == []
    sheet, figures = (alex.page.locator(name).bounding_box() for name in (".board-drawing", "#figures"))
    assert sheet["y"] + sheet["height"] <= size[1], "the whole sheet is on the first screen"
    if size[0] == 1280:
        assert figures["y"] + figures["height"] <= size[1]
    assert _words_on_words(alex.page) == []
    alex.page.get_by_role("button", name="Whole hole").click()
    for _ in range(4):
        assert _words_on_names(alex.page) == [[], True, True]
        alex.page.locator("#sheet").press("-")
        alex.page.wait_for_timeout(50)
    alex.unfold("called")
    alex.page.locator("#set-facts").scroll_into_view_if_needed()
    sheet, field = (alex.page.locator(name).bounding_box() for name in (".board-paper", "#set-facts"))
    assert 0 <= sheet["y"] < 20, "the sheet stays while the card scrolls"
    assert size[0] == 1280 or field["y"] >= sheet["y"] + sheet["height"]
    if size[0] == 820:
        assert grave_faults(alex.page) == []
