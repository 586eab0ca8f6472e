"""Setting out by tape on the phone, without signal: ties, the string, and a lost peg; what is recorded arrives."""

import json
import math
import re
from datetime import UTC, datetime
from urllib.request import Request, urlopen

import pytest
from playwright.sync_api import expect

from fieldapp.tape.baseline import point_at
from fieldapp.tape.intersection import intersect
from tests.browser.test_accessibility import grave_faults
from tests.field_records import batch_of, peg_document

LOW = "document.querySelector('.tape-body').scrollTop = 1e6"
SITE, BUNKER = "skerry-bank", "4-right"
CREW = {"p1": (2196.0, 5259.0), "p2": (2210.0, 5272.0)}

pytestmark = pytest.mark.browser


class Crew:
    """A phone at the page of pegs and tape of a bunker."""

    def __init__(self, worker, bunker=BUNKER, site=SITE, person="Robin"):
        self.worker, self.page, self.person = worker, worker.page, person
        self.page.goto(f"{worker.address}/sites/{site}/pegs/{bunker}")
        self.start()

    def start(self):
        self.page.locator("#person").fill(self.person)
        self.page.get_by_role("button", name="Start").click()
        expect(self.page.locator(".tape-work")).to_be_visible()

    def choose(self, label):
        self.page.get_by_role("button", name=label).click()

    def figures(self):
        """The pegs and distances shown: [(words, figure)]."""
        rows = self.page.locator(".tape-figures li")
        expect(rows.first).to_be_visible()
        return [
            (row.locator(".tape-words").inner_text(), float(row.locator(".tape-figure span").inner_text()))
            for row in rows.all()
        ]

    @property
    def button(self):
        return self.page.locator(".tape-act .main-button[data-state]")

    @property
    def sent(self):
        return self.page.locator(".tape-send")


@pytest.fixture
def crew(demo, phone):
    return lambda **where: Crew(phone(demo.address), **where)


@pytest.fixture(scope="module")
def plan(demo):
    """The bundle of the hole as the server gives it: pegs by id, and paint points by number, in metres."""
    with urlopen(f"{demo.address}/api/sites/{SITE}/holes/4/bundle") as answer:
        bundle = json.load(answer)
    outline = next(b for b in bundle["bunkers"] if b["id"] == BUNKER)["outlines"][0]
    assert bundle["frame"]["ground_scale"] == pytest.approx(1, abs=1e-8)
    return {peg["id"]: (peg["x"], peg["y"]) for peg in bundle["pegs"]}, {
        n: (x, y) for n, x, y, _ in outline["points"]
    }


def report_pegs(address, *reports):
    """Have another phone report pegs to the server."""
    request = Request(
        f"{address}/api/sites/{SITE}/records",
        json.dumps(batch_of(*reports)).encode(),
        {"Content-Type": "application/json"},
    )
    with urlopen(request) as answer:
        assert json.load(answer)["refused"] == []


def report(number, peg, state, xy=(None, None)):
    return peg_document(
        5100 + number, site=SITE, hole=4, bunker=BUNKER, peg=peg, peg_kind="reference", state=state, photos=[], note="",
        x=xy[0], y=xy[1], within_m=0.02 if xy[0] else None, made_at=datetime.now(UTC).isoformat(), person="Ada",
    )  # fmt: skip


def test_points_are_taped_and_marked_without_signal_and_arrive_once(crew, plan, demo, held):
    pegs, points = plan
    at_work = crew(person="Taper")
    at_work.worker.wait_until_kept()
    at_work.worker.context.set_offline(True)
    at_work.page.reload()
    at_work.start()
    at_work.choose("Set out by tape")
    (first, ra), (second, rb), (third, rc) = at_work.figures()
    names = [re.search(r"(r4\w)", words)[1] for words in (first, second, third)]
    side = at_work.page.locator(".tape-side").inner_text()
    assert side.endswith(f"looking from {names[0]} to {names[1]}")
    met = intersect(pegs[names[0]], pegs[names[1]], level(ra, at_work, 0), level(rb, at_work, 1))
    place = met.left if side.startswith("Left") else met.right
    assert math.dist(place, points[1]) < 0.015
    assert math.dist(place, pegs[names[2]]) == pytest.approx(level(rc, at_work, 2), abs=0.02)
    at_work.button.click()
    expect(at_work.button).to_contain_text("stored on this phone")
    expect(at_work.sent).to_have_text("1 to send")
    expect(at_work.page.locator(".tape-title h2")).to_have_text("Point 2")
    expect(at_work.button).to_have_attribute("data-state", "ready")
    at_work.choose("Undo 1")
    expect(at_work.page.locator(".tape-title h2")).to_have_text("Point 1")
    expect(at_work.page.locator(".tape-title p")).to_have_text("0 of 45 painted")
    at_work.choose("Next")
    at_work.button.click()
    expect(at_work.sent).to_have_text("3 to send")
    at_work.worker.context.set_offline(False)
    at_work.worker.send_now()
    expect(at_work.sent).to_have_text("all sent")
    marks = [row for row in held(demo.address, person="Taper") if row["kind"] == "mark"]
    assert [(row["number"], row["verdict"], row["lat_deg"]) for row in marks] == [
        ("1", "cannot tell", ""),
        ("2", "cannot tell", ""),
    ]
    assert [bool(row["undone_by"]) for row in marks] == [True, False]


def level(read, at_work, row):
    """The level distance of a row: that held level where the tape lies along a slope."""
    note = at_work.page.locator(".tape-figures li").nth(row).locator(".tape-note").inner_text()
    found = re.search(r"([\d.]+) m held level", note)
    return float(found[1]) if found else read


def test_every_point_and_equal_steps_lie_on_the_outline_from_the_string(crew, plan, layout_faults):
    pegs, points = plan
    at_work = crew()
    at_work.choose("From a string line")
    (along, chainage), (square, offset) = at_work.figures()
    start, end = (
        re.search(r"(r4\w)$", at_work.page.get_by_role("button", name=word).inner_text())[1]
        for word in ("From", "To r4")
    )
    assert along.endswith(start)
    place = point_at(chainage, offset if square.endswith("right") else -offset, pegs[start], pegs[end])
    assert math.dist(place, points[1]) < 0.015
    assert layout_faults(at_work.page, root=".tape-work") == []
    at_work.page.evaluate(LOW)
    assert grave_faults(at_work.page) == []
    at_work.choose("Equal steps")
    at_work.page.locator("#every").fill("3,5")
    at_work.page.locator("#every").press("Enter")
    at_work.choose("Whole list")
    rows = at_work.page.locator("dialog[open] tbody tr")
    expect(rows.first).to_be_visible()
    chainages = [
        float(row.locator("td").first.inner_text().split()[0].replace("−", "-")) for row in rows.all()
    ]
    assert len(chainages) >= 4
    assert all(abs(one / 3.5 - round(one / 3.5)) < 1e-6 for one in chainages)
    at_work.page.locator("dialog[open] .sheet-back").click()
    at_work.page.locator("#every").fill("0.0001")
    at_work.page.locator("#every").press("Enter")
    expect(at_work.page.locator(".field-missing")).to_have_text(
        "'0.0001' cannot be the spacing along the string; give from 0.1 to 50 m."
    )
    at_work.page.locator("#every").fill("0")
    at_work.page.locator("#every").press("Enter")
    expect(at_work.page.locator(".field-missing")).to_have_text(
        "'0' is no distance; type it in metres, as 7.42."
    )


def test_a_lost_peg_is_set_again_from_three_and_said_to_stand(crew, plan, demo, held, layout_faults):
    pegs, _ = plan
    report_pegs(
        demo.address,
        report(1, "p1", "new", CREW["p1"]),
        report(2, "p2", "new", CREW["p2"]),
        report(3, "r4a", "missing"),
    )
    at_work = crew(person="Setter")
    at_work.choose("Set a lost peg again")
    rows = at_work.page.locator(".tape-row strong")
    expect(rows.first).to_have_text("Peg r4a")
    at_work.choose("Peg p1")
    assert [words for words, _ in at_work.figures()][2].startswith("Check from")
    others = {"p2": CREW["p2"], "r4b": pegs["r4b"], "r4c": pegs["r4c"]}
    for name, xy in others.items():
        at_work.page.locator(f"#tape-{name}").fill(
            f"{math.dist(xy, CREW['p1']) + (0.3 if name == 'p2' else 0):.2f}"
        )
    expect(at_work.page.locator(".tape-verdict strong")).to_have_text("The tapes do not fit")
    expect(at_work.button).to_be_disabled()
    at_work.page.locator("#tape-p2").fill(f"{math.dist(CREW['p1'], CREW['p2']):.2f}")
    expect(at_work.page.locator(".tape-verdict")).to_have_attribute("data-verdict", "inside")
    assert layout_faults(at_work.page, root=".tape-work") == []
    at_work.page.evaluate(LOW)
    assert grave_faults(at_work.page) == []
    at_work.button.click()
    expect(at_work.page.locator(".tape-row").first).to_be_visible()
    expect(at_work.sent).to_have_text("all sent")
    (told,) = [row for row in held(demo.address, person="Setter") if row["kind"] == "peg"]
    assert (told["peg"], told["peg_state"], told["placed_by"]) == ("p1", "reset", "ties")
    assert math.dist((float(told["peg_x_m"]), float(told["peg_y_m"])), CREW["p1"]) < 0.02
    assert [tie.split(":")[0] for tie in told["ties"].split()] == ["r4b", "r4c", "p2"]
    at_work.choose("Undo: p1 was set")
    expect(at_work.page.get_by_role("button", name="Undo: p1")).to_have_count(0)


def test_a_bunker_without_pegs_says_so_and_leads_to_the_pegs(crew):
    at_work = crew(bunker="5-green")
    for screen, told in (("Set out by tape", "No peg in reach"), ("From a string line", "A string needs")):
        at_work.choose(screen)
        expect(at_work.page.locator(".tape-notes strong").first).to_contain_text(told)
        expect(at_work.page.get_by_role("button", name="Painted")).to_have_count(0)
        at_work.choose("To the pegs")
        expect(at_work.page.get_by_role("heading", level=1)).to_have_text("Pegs")
        at_work.page.evaluate("location.hash = ''")


@pytest.mark.parametrize(("width", "height"), [(360, 740), (320, 568), (740, 360)])
def test_the_figures_and_what_comes_next_are_in_sight_at_once(crew, width, height, layout_faults):
    at_work = crew()
    page = at_work.page
    page.set_viewport_size({"width": width, "height": height})
    at_work.choose("Set out by tape")
    row = page.locator(".tape-figures li").nth(1)
    for seen in (row, *(page.get_by_role("button", name=name) for name in ("Before", "Painted 1", "Next"))):
        box = seen.bounding_box()
        assert 0 <= box["y"] < box["y"] + box["height"] <= height
    foot = page.locator(".tape-act").bounding_box()
    figures = row.bounding_box()
    assert figures["y"] + figures["height"] <= foot["y"] or figures["x"] >= foot["x"] + foot["width"]
    assert layout_faults(page, root=".tape-work") == []
    page.evaluate("location.hash = 'peg/r4a'")
    acts = page.locator(".peg-acts")
    expect(acts).to_be_visible()
    top, way = acts.bounding_box(), page.locator(".peg-figures").bounding_box()
    assert way["y"] + way["height"] <= top["y"] or way["x"] >= top["x"] + top["width"]
    assert top["y"] + top["height"] <= height
    assert layout_faults(page, root=".tape-work") == []


def test_of_the_pegs_to_use_one_choice_is_filled(crew):
    at_work = crew()
    at_work.choose("Set out by tape")
    at_work.choose("Pegs: best of all")
    pressed = at_work.page.locator("dialog[open] .tape-cell[aria-pressed=true]")
    expect(pressed).to_have_text(["Best of all"])
    at_work.page.locator("dialog[open] .tape-cell", has_text="r4b").click()
    expect(pressed).to_have_text(["r4b"])
    at_work.page.locator("dialog[open] .tape-cell", has_text="r4c").click()
    expect(pressed).to_have_text(["r4b", "r4c"])
    at_work.page.locator("dialog[open] .sheet-back").click()
    assert [words.split()[1] for words, _ in at_work.figures()] == ["r4b", "r4c"]


def test_a_long_name_is_cut_on_no_screen(crew, demo, layout_faults):
    long = "longpegnameoftwentyfourx"
    report_pegs(demo.address, report(9, long, "new", (2200.0, 5262.0)))
    at_work = crew()
    page = at_work.page
    page.set_viewport_size({"width": 320, "height": 740})
    for screen in ("board", f"peg/{long}", "ties", "line", "reset", f"reset/{long}"):
        page.evaluate(f"location.hash = '{screen}'")
        if screen == "ties":
            at_work.choose("Pegs: best of all")
            page.locator("dialog[open] .tape-cell", has_text=long).click()
            page.locator("dialog[open] .tape-cell", has_text="r4b").click()
            page.locator("dialog[open] .sheet-back").click()
        expect(page.locator(".tape-work")).to_contain_text(long[:9])
        assert layout_faults(page, root=".tape-work") == [], screen
