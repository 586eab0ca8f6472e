"""The drawing board in Chromium: by pointer, touch and keys; nothing drawn is lost, and nobody is written over."""

from __future__ import annotations

import json
import math
import re
import signal
from contextlib import suppress

import pytest
from playwright.sync_api import Error, expect

from fieldapp.model.units import METRES_PER_YARD
from tests.board_marks import count_of_marks, mark_of
from tests.browser.test_accessibility import grave_faults

pytestmark = pytest.mark.browser

SITE, HOLE = "skerry-bank", 4
BOARD = f"/sites/{SITE}/holes/{HOLE}/board"
CUT = (
    "{ const asked = window.fetch; window.fetch = (to, how) => how?.method === 'PUT'"
    " ? Promise.reject(new TypeError('cut')) : asked(to, how); }"
)
LOOK = {
    "least": 44,
    "targets": "button, .button, summary, input:not([type=hidden]), select",
    "frames": ".scroll",
}


@pytest.fixture(scope="module")
def club(tmp_path_factory, server_process, load_samples):
    """A server for a club whose people came in by links of their own."""
    server = server_process(load_samples(tmp_path_factory.mktemp("club")), "serve")
    yield server
    server.stop(signal.SIGKILL)


class Drawer:
    """A browser of one person at the board."""

    def __init__(self, phone, club, name="Alex", role="plan", size=(1280, 800)):
        self.club = club
        self.phone = phone(club.address)
        self.phone.enter(club.link(role, name))
        self.size = size
        self.page = self.phone.page
        self.page.set_viewport_size({"width": size[0], "height": size[1]})

    def open(self, bunker, page=None):
        self.page = page or self.page
        self.page.goto(f"{self.club.address}{BOARD}?bunker={bunker}")
        expect(self.page.locator("#figures [data-figure='carry']")).to_be_visible()
        return self

    def again(self, bunker):
        """Open the board in a new tab of the same browser."""
        page = self.phone.context.new_page()
        page.set_viewport_size({"width": self.size[0], "height": self.size[1]})
        return self.open(bunker, page)

    def begin(self, name, shape="kidney", **sizes):
        """Begin a new bunker; its board opens."""
        self.page.goto(f"{self.club.address}{BOARD}")
        self.page.locator("#begin-name").fill(name)
        self.page.locator("#begin-shape").select_option(shape)
        for key, typed in sizes.items():
            self.page.locator(f"#begin-{key}").fill(typed)
        self.page.get_by_role("button", name="Begin it").click()
        self.page.wait_for_url(re.compile(r"\?bunker="))
        self.saved()
        return self

    def place(self, **typed):
        for key in ("length", "offset", "slant"):
            self.page.locator(f"#place-{key}").fill(typed[key])
        for key in ("by", "side"):
            self.page.locator(f"#place-{key}").select_option(typed[key])
        self.page.get_by_role("button", name="Place it there").click()

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
        """Wait until what is drawn is on the server; return its number."""
        sign = self.page.locator("#post-sign")
        expect(sign).to_have_attribute("data-post", "saved", timeout=20_000)
        return int(re.search(r"\d+", sign.inner_text())[0])

    def undo_says(self, words):
        expect(self.page.locator("#undo")).to_have_text(words)

    def kept(self, bunker):
        """The draft that the server holds."""
        path = f"/api/sites/{SITE}/bunkers/{bunker}/draft"
        return self.phone.context.request.get(self.club.address + path).json()["draft"]


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
    path = f"{alex.club.address}/api/sites/{SITE}/bunkers/4-nose/draft/check?tee=4-back"
    figures = alex.phone.context.request.post(path, data={"draft": placed}).json()["figures"]
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
    drag(middle, (0, 60))
    alex.undo_says("Undo: move the bunker")
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
    page.locator("#turn-by").fill("90")
    slant = float(alex.figure("slant to play").rstrip("°"))
    page.locator("[data-turn='1']").focus()
    keys.press("Enter")
    turned = float(alex.figure("slant to play").rstrip("°"))
    assert (turned - slant) % 180 == pytest.approx(90, abs=0.11)


def test_an_outline_beside_the_sand_and_one_pressed_out(drawer):
    alex = drawer().begin("4 belt", shape="oval", length="10", width="6")
    page = alex.page
    page.locator("#offset-by").fill("1.5")
    page.locator("#offset-part").select_option("transplant area")
    page.locator("#offset").click()
    alex.undo_says("Undo: draw the transplant area")
    box = page.locator("#sheet").bounding_box()
    page.locator("#press-new").click()
    for x, y in ((0.1, 0.15), (0.2, 0.15), (0.15, 0.3), (0.3, 0.9)):
        page.mouse.click(box["x"] + box["width"] * x, box["y"] + box["height"] * y)
    page.locator("#undo").click()
    page.locator("#press-new").click()
    alex.undo_says("Undo: draw the mound top")
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
    alex.page.locator("#mirror").click()
    alex.undo_says("Undo: mirror the bunker")
    alex.page.wait_for_timeout(150)
    _crash(alex.page)
    alex.again("4-lost")
    alex.undo_says("Undo: mirror the bunker")
    alex.page.locator("#undo").click()
    alex.undo_says("Undo: move the bunker left")
    alex.phone.page = alex.page


def _crash(page):
    """Kill a page's process, as a machine short of memory does."""
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash", timeout=3_000)


def _both_at(drawer, bunker):
    """Alex and Kim at the same draft; Kim saves a change first, then Alex makes one."""
    alex = drawer().begin(bunker, shape="oval", length="10", width="6")
    kim = drawer(name="Kim").open(bunker)
    kim.page.locator("[data-nudge='on']").click()
    kim.saved()
    theirs = kim.kept(bunker)
    alex.page.locator("[data-nudge='right']").click()
    dialog = alex.page.get_by_role("dialog")
    expect(dialog).to_be_visible(timeout=10_000)
    expect(dialog).to_contain_text(re.compile(r"Kim moved the whole bunker by 0\.50 m at \d\d:\d\d UTC"))
    return alex, theirs


def test_who_saves_second_is_told_and_takes_theirs(drawer):
    alex, theirs = _both_at(drawer, "4-theirs")
    assert grave_faults(alex.page) == []
    with alex.page.expect_download() as download:
        alex.page.get_by_role("button", name="Take theirs").click()
    mine = json.loads(download.value.path().read_text(encoding="utf-8"))
    assert mine != theirs
    alex.saved()
    assert alex.kept("4-theirs") == theirs
    alex.page.locator("#undo").click()
    alex.saved()
    assert alex.kept("4-theirs") == mine


def test_who_saves_second_puts_mine_on_top(drawer):
    alex, theirs = _both_at(drawer, "4-mine")
    alex.page.get_by_role("button", name="Put mine on top").click()
    number = alex.saved()
    assert alex.kept("4-mine") != theirs
    path = f"{alex.club.address}/api/sites/{SITE}/bunkers/4-mine/drafts/{number - 1}"
    assert alex.phone.context.request.get(path).json()["draft"] == theirs


def test_who_saves_second_keeps_both(drawer):
    alex, theirs = _both_at(drawer, "4-both")
    alex.page.locator("#both-id").fill("4-right")
    alex.page.get_by_role("button", name="Keep both").click()
    expect(alex.page.locator("#conflict-fault")).to_contain_text("'4-right' is a bunker already")
    alex.page.locator("#both-id").fill("4-both-mine")
    alex.page.get_by_role("button", name="Keep both").click()
    alex.page.wait_for_url(re.compile("4-both-mine"))
    alex.saved()
    assert alex.kept("4-both") == theirs
    mine = alex.kept("4-both-mine")
    assert mine["bunker"]["id"] == "4-both-mine"
    assert mine["outlines"] != theirs["outlines"]


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


@pytest.mark.parametrize("size", [(1280, 800), (820, 1180), (360, 740)], ids=str)
def test_the_board_at_three_sizes(drawer, layout_faults, size):
    alex = drawer(size=size).open("4-right")
    assert layout_faults(alex.page, **LOOK) == []
    if size[0] == 820:
        assert grave_faults(alex.page) == []
