"""A drawing is brought in and a picture is laid, by keyboard alone, in a real browser; every state looked over."""

from __future__ import annotations

import io
import json
from pathlib import Path
from urllib.request import urlopen

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import expect

from fieldapp.formats.site_folder import load_checked_site
from tests.browser.test_accessibility import PLAIN_FRAMES, grave_faults
from tests.browser.test_desk_layouts import faults_at_every_size
from tests.drawings import bunker_dxf
from tests.server.test_imports_api import arcs_of, radii_of_bulges

SITE = "skerry-bank"
REPOSITORY = Path(__file__).parents[2]
PLACE = (2216.0, 5240.0)
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module", autouse=True)
def _patience():
    """The server reads a file in a process of its own, which starts slowly on a busy machine."""
    expect.set_options(timeout=20_000)
    yield
    expect.set_options(timeout=5_000)


@pytest.fixture
def page(demo, phone):
    opened = phone(demo.address).page
    opened.set_viewport_size({"width": 1280, "height": 800})
    opened.set_default_timeout(20_000)
    opened.on("filechooser", lambda _chooser: None)  # hears of it from now on: asked late, one may be missed
    return opened


@pytest.fixture
def files(tmp_path):
    """Files to choose: a DXF with arcs in feet, one of no known system, one that is none."""
    (tmp_path / "bunker.dxf").write_bytes(bunker_dxf(*PLACE, unit=2, scale=1 / 0.3048))
    (tmp_path / "adrift.dxf").write_bytes(bunker_dxf(70_000.0, -3_000.0, unit=0))
    (tmp_path / "broken.dxf").write_bytes(bunker_dxf(*PLACE)[:9_000])
    return tmp_path


def asked(demo, path):
    with urlopen(f"{demo.address}{path}") as answer:
        return json.load(answer)


def tab_to(page, locator):
    """Go on with Tab until something has the focus, as somebody without a mouse does."""
    for _ in range(80):
        if locator.evaluate("one => one === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not lead to {locator}")


def send_by_keyboard(page, file):
    field = page.locator("#file")
    tab_to(page, field)
    with page.expect_file_chooser() as chooser:
        page.keyboard.press("Enter")
    chooser.value.set_files(file)
    tab_to(page, page.get_by_role("button", name="Send", exact=True))
    page.keyboard.press("Enter")


def choose(page, label, text):
    """Choose an option of a list by typing its first letters."""
    box = page.get_by_label(label, exact=True)
    tab_to(page, box)
    page.keyboard.type(text)
    return box


def looked_over(page, layout_faults):
    """What axe-core and the layout checker find wrong with the page as it is."""
    page.evaluate(PLAIN_FRAMES)
    found = grave_faults(page) + faults_at_every_size(page, layout_faults)
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size({"width": 1280, "height": 800})
    return found


def test_a_dxf_with_bulges_is_brought_in_by_keyboard_and_its_arcs_stay_true(demo, page, files, layout_faults):
    page.goto(f"{demo.address}/sites/{SITE}/import?hole=4")
    send_by_keyboard(page, files / "bunker.dxf")
    expect(page.locator("#unit")).to_have_value("foot", timeout=30_000)
    expect(page.locator("#unit-why")).to_contain_text("The file says so, and it lands")
    expect(page.locator("#use-2")).to_have_value("sand edge")
    expect(page.locator(".sheet.of-import .brought")).to_have_count(4)
    choose(page, "MOUND_FOOT 1 line, 1 closed", "mound t")
    expect(page.get_by_text("Outlines: sand edge and mound top.")).to_be_visible()
    choose(page, "TREE 1 point", "leave")
    expect(page.locator(".sheet.of-import .brought")).to_have_count(3)
    assert page.locator("#use-3").evaluate("one => one === document.activeElement"), "the focus stays"
    assert looked_over(page, layout_faults) == []
    before = asked(demo, f"/api/sites/{SITE}/bunkers/4-right/draft")
    choose(page, "outlines of bunker", "4 right")
    expect(page.locator("#bunker-id")).to_have_count(0)
    tab_to(page, page.get_by_label("your name"))
    page.keyboard.type("Kim")
    tab_to(page, page.get_by_role("button", name="Keep as draft"))
    page.keyboard.press("Enter")
    page.wait_for_url("**/holes/4/board?bunker=4-right")
    kept = asked(demo, f"/api/sites/{SITE}/bunkers/4-right/draft")
    assert (before["number"], kept["number"], kept["person"]) == (0, 1, "Kim")
    sand = next(one for one in kept["draft"]["outlines"] if one["part"] == "sand edge")
    assert sorted(arcs_of(sand)) == pytest.approx(sorted(radii_of_bulges()), abs=1e-5)


def test_a_drawing_of_no_known_system_is_fitted_by_pegs(demo, page, files, layout_faults):
    page.goto(f"{demo.address}/sites/{SITE}/import?hole=4")
    page.locator("#file").set_input_files(files / "adrift.dxf")
    page.get_by_role("button", name="Send", exact=True).click()
    expect(page.locator("#system")).to_have_value("pegs", timeout=30_000)
    expect(page.locator("#sending-words")).to_have_text("")
    expect(page.get_by_role("alert")).to_contain_text("two places at least and has 0")
    expect(page.get_by_role("button", name="Keep as draft")).to_have_count(0)
    assert looked_over(page, layout_faults) == []
    page.locator("#place-1").press_sequentially("1, 2", delay=120)
    page.locator("#place-1").press("Tab")
    page.locator("#place-2").press_sequentially("345.25, -17.5", delay=120)
    expect(page.locator("#place-2")).to_have_value("345.25, -17.5")
    pegs = {peg.id: peg for peg in load_checked_site(REPOSITORY / "sample_sites" / SITE)[0].pegs}
    x0, y0 = 70_000.0 - PLACE[0], -3_000.0 - PLACE[1]
    for row, peg in enumerate(["r4a", "r4b", "r4c"], 1):
        page.locator(f"#mark-{row}").select_option(peg)
        page.locator(f"#place-{row}").fill(f"{pegs[peg].x + x0}, {pegs[peg].y + y0}")
        page.locator(f"#place-{row}").press("Tab")
    expect(page.get_by_text("One unit of the drawing is 1 m.")).to_be_visible()
    expect(page.get_by_text("The places are off by 0.00 m")).to_be_visible()
    expect(page.get_by_role("button", name="Keep as draft")).to_be_visible()


def test_a_file_that_cannot_be_read_is_refused_on_the_page(demo, page, files, layout_faults):
    page.goto(f"{demo.address}/sites/{SITE}/import?hole=4")
    page.get_by_role("button", name="Send", exact=True).click()
    expect(page.locator("#sending-words")).to_contain_text("No file is chosen")
    page.locator("#file").set_input_files(files / "broken.dxf")
    page.get_by_role("button", name="Send", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("cannot be brought in", timeout=30_000)
    assert looked_over(page, layout_faults) == []


def test_a_picture_is_laid_by_places_clicked_and_typed_then_taken_off(demo, page, tmp_path, layout_faults):
    drawn = Image.new("RGB", (640, 480), "#5f8f4e")
    ImageDraw.Draw(drawn).ellipse((300, 200, 340, 240), fill="white")
    drawn.save(tmp_path / "air.png")
    page.goto(f"{demo.address}/sites/{SITE}/backdrops")
    page.locator("#file").set_input_files(tmp_path / "air.png")
    page.get_by_role("button", name="Send", exact=True).click()
    picture = page.locator("#picture")
    picture.wait_for(timeout=30_000)
    box = picture.bounding_box()
    picture.click(position={"x": box["width"] / 4, "y": box["height"] / 2})
    assert float(page.locator("#column-1").input_value()) == pytest.approx(640 / 4 - 0.5, abs=1)
    assert float(page.locator("#row-1").input_value()) == pytest.approx(480 / 2 - 0.5, abs=1)
    assert page.locator("#mark-1").evaluate("one => one === document.activeElement")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#fit-words")).to_have_text("Place 1: say which peg or tee plate it is.")
    page.locator("#mark-1").focus()
    page.keyboard.type("r4a")
    tab_to(page, page.locator("#column-2"))
    page.keyboard.type("500")
    page.keyboard.press("Tab")
    page.keyboard.type("100")
    page.keyboard.press("Tab")
    page.keyboard.type("r4b")
    tab_to(page, page.get_by_role("button", name="Work it out"))
    page.keyboard.press("Enter")
    expect(page.locator("#fit-words")).to_contain_text("nothing checks this: click a third")
    assert looked_over(page, layout_faults) == []
    page.get_by_role("button", name="Keep it there").click()
    expect(page.get_by_text("Laid by 2 places: r4a, r4b.")).to_be_visible()
    (kept,) = asked(demo, f"/api/sites/{SITE}/backdrops")["backdrops"]
    with urlopen(f"{demo.address}{kept['url']}") as answer:
        assert Image.open(io.BytesIO(answer.read())).size == (640, 480)
    assert looked_over(page, layout_faults) == []
    page.get_by_role("button", name="Take air.png off").click()
    expect(page.get_by_text("None yet.")).to_be_visible()
