"""Without signal: a sprayed line captured by string and by walking, and a morning check that finds a moved peg.

Places are those of the sample site; the distances typed are computed here from them, with fixed small errors.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from shapely import LineString, Point

from fieldapp.formats.site_folder import load_checked_site

SITE, BUNKER = "skerry-bank", "4-right"
PEGS_PAGE = f"/sites/{SITE}/pegs/{BUNKER}"
REPOSITORY = Path(__file__).parents[2]
STUB = Path(__file__).with_name("receiving") / "geolocation_stub.js"
STORED = """(store) => new Promise((done) => {
  indexedDB.open('fieldapp').onsuccess = ({target}) => {
    const all = target.result.transaction(store).objectStore(store).getAll();
    all.onsuccess = () => { target.result.close(); done(all.result.map((entry) => entry.record)); };
  };
})"""
SETTLED = """async () => {
  for (let turn = 0; turn < 5; turn += 1) {
    await new Promise((done) => {
      indexedDB.open('fieldapp').onsuccess = ({target}) => {
        const asked = target.result.transaction('kept').objectStore('kept').count();
        asked.onsuccess = () => { target.result.close(); done(); };
      };
    });
  }
}"""

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def ground():
    """The sample site's pegs and points by name in course metres, and its grid."""
    site, grid = load_checked_site(REPOSITORY / "sample_sites" / SITE)
    return {peg.id: (peg.x, peg.y) for peg in site.pegs}, grid


@pytest.fixture
def crew(demo, phone):
    """A phone on the page of pegs and tape, kept there, with a receiver and a clock in the test's hands."""
    return Crew(phone(demo.address))


class Crew:
    """A phone whose page can be killed and opened again."""

    def __init__(self, worker) -> None:
        self.worker = worker
        self.page = worker.page
        worker.context.add_init_script(path=STUB)
        self.page.clock.install()
        self.page.goto(worker.address + PEGS_PAGE)
        worker.wait_until_kept()
        self.page.locator("#person").fill("Robin")
        self.start()

    def start(self) -> None:
        self.page.get_by_role("button", name="Start").click()
        expect(self.page.locator(".tape-work")).to_be_visible()

    def kill(self, after_s: float = 2.0) -> None:
        """Close the page, once it wrote what it was just given, and open it again at its first screen."""
        self.page.evaluate(SETTLED)
        now_ms = self.page.evaluate("Date.now()")
        self.page.close()
        self.page = self.worker.page = self.worker.context.new_page()
        self.page.set_default_timeout(10_000)
        self.page.clock.install(time=now_ms / 1000 + after_s)
        self.page.goto(self.worker.address + PEGS_PAGE)
        self.start()

    def press(self, name: str, exact: bool = False) -> None:
        self.page.get_by_role("button", name=name, exact=exact).click()

    def fix(self, place: tuple[float, float], accuracy: float = 3.0) -> None:
        lat, lon = place
        self.page.evaluate("fix => __geo.fix(fix)", {"lat": lat, "lon": lon, "acc": accuracy})

    def stored(self, kind: str) -> list[dict]:
        return [record for record in self.page.evaluate(STORED, "outbox") if record["kind"] == kind]

    @property
    def sent(self):
        return self.page.locator(".tape-send")


def faults_of(page, layout_faults) -> list[str]:
    """What is wrong with the screen's layout, and what axe-core calls serious or critical on it, contrast 7:1."""
    rules = {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}
    found = Axe().run(page, options={"rules": rules, "resultTypes": ["violations"]}).response["violations"]
    grave = [
        f"{fault['id']}: {fault['nodes'][0]['target']}"
        for fault in found
        if fault["impact"] in ("serious", "critical")
    ]
    return [*layout_faults(page, root=".tape-body"), *grave]


def along_and_off(place, start, end) -> tuple[float, float]:
    """Chainage and offset, right positive: by the plane itself, not by the program."""
    length = math.dist(start, end)
    ahead = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    way = (place[0] - start[0], place[1] - start[1])
    return way[0] * ahead[0] + way[1] * ahead[1], way[0] * ahead[1] - way[1] * ahead[0]


def sprayed() -> list[tuple[float, float]]:
    """Five places round where the bunker's middle is drawn, course metres."""
    return [(2201.0 + 4 * math.sin(turn), 5266.0 + 6 * math.cos(turn)) for turn in (0, 1.2, 2.5, 3.8, 5)]


def type_point(crew: Crew, place, pegs) -> None:
    along, off = along_and_off(place, pegs["r4a"], pegs["r4c"])
    crew.page.locator(".entry-side").get_by_role("button", name="Left" if off < 0 else "Right").click()
    crew.page.locator(".entry-length").nth(0).fill(f"{along:.2f}")
    crew.page.locator(".entry-length").nth(1).fill(f"{abs(off):.2f}")


def test_a_line_by_offsets_survives_a_killed_page_and_arrives_once(crew, ground, held, layout_faults):
    pegs, _ = ground
    page, faults = crew.page, {}
    crew.worker.context.set_offline(True)
    crew.press("Record what is sprayed")
    faults["choose"] = layout_faults(page, root=".tape-body")
    crew.press("From a string line")
    page.locator(".entry-pegs").nth(1).get_by_role("button", name="r4c").click()
    places = sprayed()
    for number, place in enumerate(places[:2], 1):
        type_point(crew, place, pegs)
        crew.press(f"Add point {number}")
        expect(page.locator(".entry-told").filter(has_text="kept on this phone")).to_contain_text(
            f"Point {number}"
        )
    crew.press("Look at 2")
    expect(page.locator(".capture-look .entry-told")).to_contain_text("Two points have no shape")
    expect(page.get_by_role("button", name="Save this line")).to_be_disabled()
    faults["two points"] = layout_faults(page, root=".tape-body")
    crew.press("Back")
    type_point(crew, places[2], pegs)
    crew.kill()
    page = crew.page
    crew.press("Record what is sprayed")
    crew.press("Go on with the sand edge")
    expect(page.locator(".entry-length").nth(0)).not_to_have_value("")
    faults["measure"] = layout_faults(page, root=".tape-body")
    crew.press("Add point 3")
    for number, place in enumerate(places[3:], 4):
        type_point(crew, place, pegs)
        crew.press(f"Add point {number}")
    page.locator(".entry-length").nth(0).fill("5")
    page.locator(".entry-length").nth(1).fill("40")
    crew.press("Add point 6")
    expect(page.get_by_role("button", name="Add 6 all the same")).to_be_visible()
    crew.press("Two tapes")
    page.locator(".entry-length").nth(0).fill("10")
    page.locator(".entry-length").nth(1).fill("10")
    crew.press("Add point 6")
    expect(page.locator(".entry-told").filter(has_text="do not meet")).to_contain_text("18.59 m too short")
    faults["cannot meet"] = faults_of(page, layout_faults)
    crew.press("Look at 5")
    expect(page.locator(".capture-look .capture-truth strong")).to_contain_text("Points within")
    faults["look"] = faults_of(page, layout_faults)
    crew.press("Save this line")
    expect(crew.sent).to_have_text("1 to send")
    faults["saved"] = faults_of(page, layout_faults)
    (record,) = crew.stored("capture")
    assert [(one["x"], one["y"]) for one in record["points"]] == [
        (pytest.approx(x, abs=0.01), pytest.approx(y, abs=0.01)) for x, y in places
    ]
    crew.worker.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(crew.sent).to_have_text("all sent")
    (row,) = [row for row in held(crew.worker.address) if row["kind"] == "capture"]
    assert (row["capture_method"], row["capture_points"], row["outline"]) == ("line", "5", "sand")
    crew.press("Take it back and go on with it")
    crew.press("Go on with the sand edge")
    expect(page.get_by_role("button", name="Add point 6")).to_be_visible()
    expect(crew.sent).to_have_text("all sent")
    assert [row["kind"] for row in held(crew.worker.address)].count("undo") == 1
    assert faults == {name: [] for name in faults}
    crew.press("Look at 5")
    crew.press("Save this line")
    expect(page.get_by_role("button", name="Take it back and go on with it")).to_be_visible()
    expect(crew.sent).to_have_text("all sent")
    assert_confirmed_becomes_the_plan(crew, places, held)


def assert_confirmed_becomes_the_plan(crew, places, held) -> None:
    """At the desk the newest capture is confirmed; the next revision then runs through the places that were sprayed."""
    address = crew.worker.address
    newest = [row for row in held(address) if row["kind"] == "capture"][-1]
    crew.page.goto(f"{address}/sites/{SITE}/captures/{newest['id']}")
    crew.page.get_by_label("Your name").fill("Mo")
    crew.press("Confirm as revision D")
    expect(crew.page.get_by_role("link", name="Set out")).to_be_visible()
    bundle = crew.page.request.get(f"{address}/api/sites/{SITE}/holes/4/bundle").json()
    (bunker,) = [one for one in bundle["bunkers"] if one["id"] == BUNKER]
    trace = LineString(bunker["outlines"][0]["trace"])
    assert bunker["revision"] == "D"
    assert max(trace.distance(Point(place)) for place in places) < 0.02


def test_a_walked_line_goes_on_after_a_killed_page_and_says_how_true_it_is(crew, ground, layout_faults):
    _, grid = ground
    ring = [(2201 + 5 * math.sin(turn / 4), 5266 + 5 * math.cos(turn / 4)) for turn in range(26)]
    fixes = [(float(lat), float(lon)) for lon, lat in grid.to_gnss(ring)]
    crew.worker.context.set_offline(True)
    crew.press("Record what is sprayed")
    crew.press("Walk the line")
    crew.press("Start walking")
    for fix in fixes[:12]:
        crew.page.clock.run_for(1000)
        crew.fix(fix)
    expect(crew.page.locator(".capture-walk .figure")).to_have_text("12positions")
    crew.kill()
    crew.press("Record what is sprayed")
    crew.press("Go on with the sand edge")
    expect(crew.page.locator(".capture-walk .figure")).to_have_text("12positions")
    crew.press("Walk on")
    for fix in fixes[12:]:
        crew.page.clock.run_for(1000)
        crew.fix(fix)
    expect(crew.page.locator(".walk-lines")).to_contain_text("back where you began")
    crew.press("Stop")
    assert faults_of(crew.page, layout_faults) == []
    crew.press("Look and save")
    expect(crew.page.locator(".capture-look .capture-truth strong")).to_contain_text("; ties are better")
    crew.press("Save this line")
    expect(crew.sent).to_have_text("1 to send")
    (record,) = crew.stored("capture")
    assert (record["method"], len(record["fixes"]), record["points"]) == ("walk", 26, [])
    assert record["fixes"][0]["t_s"] == 0
    assert all(a["t_s"] < b["t_s"] for a, b in zip(record["fixes"], record["fixes"][1:], strict=False))


def test_the_morning_check_finds_a_peg_that_moved_60_mm(crew, ground, held, layout_faults):
    pegs, grid = ground
    page, faults = crew.page, {}
    moved = {**pegs, "r4b": (pegs["r4b"][0] - 0.0133, pegs["r4b"][1] + 0.0585)}
    errors_m = {("r4a", "r4b"): 0.004, ("r4a", "r4c"): -0.006, ("r4b", "r4c"): 0.003}
    crew.worker.context.set_offline(True)
    faults["home"] = layout_faults(page, root=".tape-body")
    crew.press("Morning check")
    faults["steps"] = faults_of(page, layout_faults)
    crew.press("Next: check in")
    page.locator("dialog[open]").get_by_role("button", name="Peg c1").click()
    ((lon, lat),) = grid.to_gnss([pegs["c1"]])
    page.get_by_role("button", name="I stand on c1: begin").click()
    for second in range(25):
        page.clock.run_for(1000)
        crew.fix((float(lat) + 1e-5 + 1e-8 * (second % 3), float(lon)))
    page.get_by_role("button", name="Finish").click()
    page.locator("dialog[open]").get_by_role("button", name="Back", exact=True).click()
    expect(page.locator(".step").nth(0)).to_contain_text("Done on peg c1")
    crew.press("Next: tape")
    lines = page.locator(".tape-line")
    expect(lines).to_have_count(3)
    for number, ((one, other), error) in enumerate(errors_m.items()):
        expect(lines.nth(number)).to_contain_text(f"{one} to {other}")
        lines.nth(number).locator("input").fill(f"{math.dist(moved[one], moved[other]) + error:.2f}")
        if number == 0:
            lines.nth(1).locator("input").fill("far")
            expect(lines.nth(1).get_by_role("alert")).to_contain_text("'far' is no length")
            faults["no length"] = layout_faults(page, root=".tape-body")
            lines.nth(1).locator("input").fill("")
            crew.kill()
            page, lines = crew.page, crew.page.locator(".tape-line")
            crew.press("Morning check")
            page.locator(".step").nth(1).click()
            expect(lines.nth(0).locator("input")).not_to_have_value("")
    expect(page.locator(".morning-tapes-say strong")).to_have_text("r4b has moved")
    faults["tape"] = faults_of(page, layout_faults)
    crew.press("Done taping")
    crew.press("Next: see the pegs")
    for number in range(3):
        page.locator(".peg-to-see").nth(number).get_by_role("button", name="Found").click()
    expect(crew.sent).to_have_text("4 to send")
    faults["pegs"] = faults_of(page, layout_faults)
    crew.press("Back to the check")
    expect(page.locator(".morning-verdict strong")).to_have_text("Set again: r4b")
    faults["verdict"] = layout_faults(page, root=".tape-body")
    crew.press("Save this check")
    expect(page.get_by_role("button", name="Begin another check")).to_be_visible()
    faults["saved"] = faults_of(page, layout_faults)
    crew.worker.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(crew.sent).to_have_text("all sent")
    kinds = ("check_in", "peg", "taped", "morning")
    rows = [row for row in held(crew.worker.address) if row["kind"] in kinds]
    assert [row["kind"] for row in rows] == ["check_in", "peg", "peg", "peg", "taped", "peg", "morning"]
    by_kind = {row["kind"]: row for row in rows}
    assert (by_kind["taped"]["verdict"], by_kind["taped"]["suspects"]) == ("misfit", "r4b")
    morning = by_kind["morning"]
    assert (morning["verdict"], morning["reset"]) == ("re-set", "r4b")
    assert (morning["check_in"], morning["taped"]) == (by_kind["check_in"]["id"], by_kind["taped"]["id"])
    assert (by_kind["peg"]["peg"], by_kind["peg"]["peg_state"]) == ("r4b", "moved")
    crew.press("Take it back")
    expect(page.get_by_role("button", name="Save this check")).to_be_visible()
    expect(crew.sent).to_have_text("all sent")
    undone = [row["undoes"] for row in held(crew.worker.address) if row["kind"] == "undo"]
    assert {by_kind[kind]["id"] for kind in ("taped", "peg", "morning")} <= set(undone)
    assert faults == {name: [] for name in faults}


def test_a_check_is_saved_where_a_peg_was_missing_before_and_not_while_a_distance_cannot_be_read(
    crew, ground
):
    pegs, _ = ground
    page = crew.page
    crew.worker.context.set_offline(True)
    page.clock.fast_forward(300_000)  # beyond what other phones of this server reported
    crew.press("Morning check")
    page.locator(".step").nth(2).click()
    page.locator(".peg-to-see", has_text="r4c").get_by_role("button", name="Missing").click()
    crew.press("Back to the check")
    crew.press("Leave it out")
    crew.press("Save as it is")
    crew.press("Begin another check")
    crew.press("Leave it out")
    page.locator(".step").nth(1).click()
    field = page.locator(".tape-line input").first
    field.fill("12,x")
    crew.press("Done taping")
    expect(page.locator(".morning-verdict")).to_contain_text("'12,x' is no length")
    expect(page.get_by_role("button", name="Save")).to_have_count(0)
    crew.press("Next: tape")
    field.fill(f"{math.dist(pegs['r4a'], pegs['r4b']):.2f}")
    crew.press("Done taping")
    crew.press("Save as it is")
    expect(page.get_by_role("button", name="Begin another check")).to_be_visible()
    mornings = [(record["verdict"], record["reset"]) for record in crew.stored("morning")]
    assert mornings == [("re-set", ["r4c"])] * 2
    assert [(record["peg"], record["state"]) for record in crew.stored("peg")] == [("r4c", "missing")]
