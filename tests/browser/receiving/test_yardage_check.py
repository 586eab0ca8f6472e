"""The yardage check on the page: hold still at an edge, save what was measured, with and without signal."""

import re
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import expect

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.outline.laid_out import hole_scale, lay_out_bunker
from fieldapp.play.line_of_play import line_of_play
from fieldapp.play.trace_reach import edge_slopes, reach_over_trace
from fieldapp.play.yardage import straight_range95_m, yardage

SITE, BUNKER = "skerry-bank", "4-right"
REPOSITORY = Path(__file__).parents[3]
YARD = 0.9144

pytestmark = pytest.mark.browser

CHANGED_PLAN = """const asks = globalThis.fetch;
globalThis.fetch = async (url, ...more) => {
  const answer = await asks(url, ...more);
  if (!String(url).includes('/bundle')) return answer;
  const {hole, ...rest} = await answer.json();
  CHANGE
  return new Response(JSON.stringify({...rest, hole}), {status: answer.status, headers: answer.headers});
};"""
KNOWN = "hole.grid_within_m = 0; hole.grid_unknown = null;"


class Ground:
    """The sample bunker as Python knows it, from a tee."""

    def __init__(self, tee: str) -> None:
        self.site, self.grid = load_checked_site(REPOSITORY / "sample_sites" / SITE)
        self.bunker = self.site.bunker(BUNKER)
        self.scale = hole_scale(self.grid, self.site.hole(self.bunker.hole))
        self.laid_out = lay_out_bunker(self.site, self.bunker, self.scale)
        self.tee = self.site.tee(tee)
        self.plate = np.array([self.tee.x, self.tee.y])
        self.unit = self.laid_out.middle - self.plate
        self.unit = self.unit / np.hypot(*self.unit)

    def at(self, ground_m: float, right_m: float = 0.0) -> tuple[float, float]:
        """Latitude and longitude so far from the plate toward the middle, and right of that line."""
        along, right = ground_m / self.scale, right_m / self.scale
        square = np.array([self.unit[1], -self.unit[0]])
        lon, lat = self.grid.to_gnss(self.plate + along * self.unit + right * square)
        return float(lat), float(lon)

    def place(self, record) -> np.ndarray:
        return self.grid.to_course([record["reading"]["lon_deg"], record["reading"]["lat_deg"]])


@pytest.fixture(scope="module")
def back():
    return Ground("4-back")


@pytest.fixture(scope="module")
def middle():
    return Ground("4-middle")


@pytest.fixture
def on_known_grid(receiving):
    """A function that begins on a plan by whose word the grid is that of the receiver's corrections."""

    def begin(before: str = "", **given):
        return receiving(before=CHANGED_PLAN.replace("CHANGE", KNOWN) + before, **given)

    return begin


def opened(receiver):
    receiver.page.get_by_role("button", name="More").click()
    receiver.page.get_by_role("button", name="Check an edge").click()
    return receiver.page.locator("dialog[open]")


def press(sheet, name):
    sheet.get_by_role("button", name=name, exact=True).click()


OUTBOX = """() => new Promise((done) => {
  indexedDB.open('fieldapp').onsuccess = ({target}) => {
    const all = target.result.transaction('outbox').objectStore('outbox').getAll();
    all.onsuccess = () => { target.result.close(); done(all.result.map((entry) => entry.record)); };
  };
})"""


def checks_kept(receiver):
    return [record for record in receiver.page.evaluate(OUTBOX) if record["kind"] == "yardage"]


def unsent(receiver):
    """The phone's records stay on it."""
    receiver.worker.send_no_records()
    return receiver


def save(receiver, sheet):
    sheet.get_by_role("button", name="Save check").click()
    expect(sheet.locator(".check-told")).to_contain_text("Saved on this phone")
    receiver.page.clock.run_for(1500)


def whole_range_m(record) -> float:
    """The range that the parts in a record make."""
    slant = np.hypot(1, record["edge_slope"])
    radii = record["reading95_m"] * slant, record["tee95_m"] or 0.0, record["grid95_m"] * slant
    return straight_range95_m(*map(float, radii))


def expect_verdict(sheet, kind):
    expect(sheet.locator(".check-verdict")).to_have_attribute("data-verdict", kind)


def back_to_work(sheet):
    sheet.get_by_role("button", name="Back to the point").click()


def range_yd(sheet) -> float:
    return float(re.search(r"± ([\d.]+) yd at 95 %", sheet.locator(".range").inner_text()).group(1))


def test_without_a_position_nothing_can_be_saved_and_the_button_says_why(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    button = sheet.get_by_role("button", name="Save check")
    expect(button).to_be_disabled()
    expect(button).to_contain_text("No position yet.")
    expect(sheet.locator(".check-verdict")).to_contain_text("Waiting for the first position")
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 2, 0.02))
    expect(button).to_be_enabled()
    receiver.page.clock.run_for(9000)
    expect(button).to_be_disabled()
    expect(button).to_contain_text("No new position comes now.")
    assert checks_kept(receiver) == []


def test_the_front_edge_agrees_and_the_record_holds_what_was_measured_to_a_millimetre(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    plan = back.bunker.plan
    sheet.locator(".check-hold").click()
    receiver.play(receiver.noisy(*back.at(plan.reach_m + 0.2), 20, 0.02))
    expect_verdict(sheet, "inside")
    expect(sheet.locator(".check-lines")).to_contain_text("Holding still, 2")
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    target, reading = record["target"], record["reading"]
    assert (target["bunker"], target["revision"], target["tee"]) == (BUNKER, "C", "4-back")
    assert (target["figure"], target["basis"], record["verdict"], record["settle"]) == (
        "reach",
        "planned",
        "agrees",
        "",
    )
    assert (target["tee_x"], target["tee_y"]) == (back.tee.x, back.tee.y)
    assert (record["planned_m"], record["tolerance_m"]) == (plan.reach_m, YARD)
    assert reading["fixes"] >= 18
    xy = back.place(record)
    straight_m = yardage(line_of_play(back.site, back.tee), xy, back.scale).straight_m
    assert record["measured_m"] == pytest.approx(straight_m, abs=0.001)
    assert record["range95_m"] == pytest.approx(whole_range_m(record), abs=1e-9)
    slopes = edge_slopes(back.laid_out.sand.trace(), back.plate, xy)
    assert record["edge_slope"] == pytest.approx(slopes.reach, abs=0.001)
    own = reach_over_trace(back.laid_out.sand.trace(), back.plate, xy).reach_m * back.scale
    meant = reach_over_trace(back.laid_out.sand.trace(), back.plate, back.laid_out.middle).reach_m
    assert record["own_line_m"] == pytest.approx(own, abs=0.001)
    assert record["line_effect_m"] == pytest.approx(own - meant * back.scale, abs=0.001)
    assert (record["tee95_m"], record["grid95_m"], record["practice"]) == (None, 0, False)


def test_the_range_shrinks_while_holding_still_and_a_poor_receiver_cannot_tell(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    press(sheet, "Middle")  # at an edge the slope where the noisy place lies has its part in the range
    lon, lat = back.grid.to_gnss(back.laid_out.middle)
    fixes = receiver.noisy(float(lat), float(lon), 90)
    receiver.play(fixes[:2])
    alone = range_yd(sheet)
    sheet.locator(".check-hold").click()
    receiver.play(fixes[2:])
    assert range_yd(sheet) < alone
    expect_verdict(sheet, "cannot tell")
    expect(sheet.locator(".check-verdict")).to_contain_text(
        "This receiver cannot settle 1.0 yd, however long it stands still. Use a survey receiver (within 0.2 m, 95 %)"
    )
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    assert record["verdict"] == "cannot tell"
    assert "Use a survey receiver" in record["settle"]
    assert record["reading"]["seconds"] > 60


def test_too_far_out_differs_and_the_arrow_points_back_to_the_tee(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    sheet.get_by_role("button", name="Far edge").click()
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.carry_m + 3.0), 3, 0.02))
    expect_verdict(sheet, "outside")
    expect(sheet.locator(".check-verdict")).to_contain_text(
        re.compile(r"3\.\d+ yd beyond the plan; 1\.0 yd is allowed\.")
    )
    assert sheet.locator(".check-verdict .sign").get_attribute("transform") == "rotate(180)"
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    assert (record["target"]["figure"], record["verdict"]) == ("carry", "differs")


def test_who_stands_off_the_line_is_told_how_far_and_what_is_drawn_there(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m, 4.0), 3, 0.02))
    expect_verdict(sheet, "cannot tell")
    expect(sheet.locator(".check-verdict")).to_contain_text(
        re.compile(r"Step (3\.9|4\.0)\d? m left, looking from the tee, onto the straight line")
    )
    expect(sheet.locator(".facts")).to_contain_text(
        re.compile(r"From the straight line to the middle you stand(3\.9|4\.0)\d? m right")
    )
    xy = back.grid.to_course(back.at(back.bunker.plan.reach_m, 4.0)[::-1])
    own = reach_over_trace(back.laid_out.sand.trace(), back.plate, xy)
    drawn = "passes beside the sand" if own is None else f"{own.reach_m * back.scale / YARD:.0f}"
    expect(sheet.locator(".facts")).to_contain_text(drawn)


def test_from_a_tee_without_a_plan_the_drawing_stands_in_its_place(on_known_grid, middle):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    sheet.get_by_role("button", name="Middle tee").click()
    drawn = reach_over_trace(middle.laid_out.sand.trace(), middle.plate, middle.laid_out.middle)
    receiver.play(receiver.noisy(*middle.at(drawn.reach_m * middle.scale), 3, 0.02))
    expect(sheet.locator(".check-verdict")).to_contain_text("Agrees with the drawing")
    expect(sheet.locator(".facts")).to_contain_text("Drawn, from Middle tee; no figure is planned")
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    assert (record["target"]["basis"], record["target"]["tee"]) == ("drawn", "4-middle")
    assert record["planned_m"] == pytest.approx(drawn.reach_m * middle.scale, abs=0.001)


def test_the_middle_has_a_figure_along_the_play_and_one_to_the_side(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    press(sheet, "Middle")
    lon, lat = back.grid.to_gnss(back.laid_out.middle)
    receiver.play(receiver.noisy(float(lat), float(lon), 3, 0.02))
    save(receiver, sheet)
    press(sheet, "To the side")
    expect(sheet.locator(".figure-unit")).to_have_text("yd right")
    save(receiver, sheet)
    found = {record["target"]["figure"]: record for record in checks_kept(receiver)}
    along, offset = found["along"], found["offset"]
    want = yardage(line_of_play(back.site, back.tee), back.place(along), back.scale)
    assert along["measured_m"] == pytest.approx(want.along_m, abs=0.001)
    assert offset["measured_m"] == pytest.approx(want.offset_m, abs=0.001)
    assert [along["verdict"], offset["verdict"]] == ["agrees", "agrees"]
    assert along["off_line_m"] is None


def test_the_verdict_is_in_the_sheet_and_on_the_page_once(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 3, 0.02))
    expect_verdict(sheet, "inside")
    assert sheet.evaluate("(sheet) => sheet.textContent.match(/agrees/gi).length") == 1
    expect(sheet.get_by_role("status").filter(has_text="Agrees with the plan")).to_have_count(1)
    back_to_work(sheet)
    verdict = receiver.page.locator(".strip.verdict")
    expect(verdict.get_by_role("status")).to_have_count(1)
    title = verdict.locator("strong").inner_text()
    assert verdict.evaluate("(e, title) => e.textContent.split(title).length - 1", title) == 1


def test_a_check_is_taken_back_on_the_same_sheet(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    undo = sheet.get_by_role("button", name="Take back")
    expect(undo).to_be_hidden()
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 3, 0.02))
    save(receiver, sheet)
    told = re.compile(r"^Take back: 4 right, front edge, 259\.\d\d yd, \d\d:\d\d$")
    expect(undo).to_have_text(told)
    undo.click()
    expect(sheet.locator(".check-told")).to_contain_text("Taken back: 4 right, front edge, 259.")
    expect(undo).to_be_hidden()
    (check,) = checks_kept(receiver)
    (taken,) = [record for record in receiver.page.evaluate(OUTBOX) if record["kind"] == "undo"]
    assert (taken["undoes"], taken["device"]) == (check["id"], check["device"])


def test_one_check_is_saved_once_however_often_the_button_is_pressed(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    at = back.at(back.bunker.plan.reach_m)
    receiver.play(receiver.noisy(*at, 3, 0.02))
    button = sheet.locator(".main-button")
    save(receiver, sheet)
    for _ in range(5):
        expect(button).to_be_disabled()
        expect(button).to_contain_text("Saved")
        button.click(force=True)
        receiver.play(receiver.noisy(*at, 1, 0.02))
    assert len(checks_kept(receiver)) == 1
    sheet.locator(".check-hold").click()
    receiver.play(receiver.noisy(*at, 8, 0.02))
    expect(button).to_be_disabled()
    receiver.play(receiver.noisy(*at, 5, 0.02))
    expect(button).to_be_enabled()
    save(receiver, sheet)
    assert len(checks_kept(receiver)) == 2
    expect(button).to_be_disabled()
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m + 1.5), 12, 0.02))
    expect(button).to_be_enabled()


def test_a_check_that_another_tab_took_back_is_not_taken_back_again(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    at = back.at(back.bunker.plan.reach_m)
    receiver.play(receiver.noisy(*at, 3, 0.02))
    save(receiver, sheet)
    first = receiver.worker.page
    receiver.worker.page = receiver.page = receiver.worker.context.new_page()
    receiver.worker.open(SITE, BUNKER)
    receiver.worker.start("phone", person=BUNKER)
    other = opened(receiver)
    other.get_by_role("button", name="Take back").click()
    expect(other.locator(".check-told")).to_contain_text("Taken back: ")
    sheet.get_by_role("button", name="Take back").click()
    expect(sheet.locator(".check-told")).to_contain_text(
        "Already taken back, in another tab: 4 right, front edge"
    )
    expect(sheet.get_by_role("button", name="Take back")).to_be_hidden()
    assert [record["kind"] for record in first.evaluate(OUTBOX)].count("undo") == 1


def test_a_finger_has_to_stay_on_the_button(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 3, 0.02))
    sheet.get_by_role("button", name="Save check").tap()
    expect(sheet.get_by_role("button", name="Save check")).to_contain_text("Hold to save it")
    assert checks_kept(receiver) == []


def test_a_receiver_without_a_figure_gives_no_range_and_is_recorded_so(on_known_grid, back):
    receiver = unsent(on_known_grid())
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 1, 0.02))
    receiver.fix(*back.at(back.bunker.plan.reach_m), acc=0)
    receiver.page.clock.run_for(300)
    expect(sheet.locator(".range")).to_contain_text("gives no accuracy figure")
    expect_verdict(sheet, "cannot tell")
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    assert (record["range95_m"], record["reading95_m"], record["verdict"]) == (None, None, "cannot tell")


OLDER = "delete hole.grid_unknown; hole.tees.forEach((tee) => delete tee.within_m);"
VAGUE = "hole.grid_unknown = 'fit'; hole.tees.forEach((tee) => { tee.within_m = 0.5; });"
FITTED = (
    "hole.grid_within_m = 0.3; hole.grid_unknown = null; hole.tees.forEach((tee) => { tee.within_m = 0.4; });"
)


@pytest.mark.parametrize(
    ("change", "words", "radii"),
    [
        (OLDER, "tee plate taken as exact; how well the grid is known is not stated.", (None, None)),
        (
            VAGUE,
            "tee plate within 0.5 m; grid not known, since two pegs do not check how it lies.",
            (0.5, None),
        ),
        (FITTED, "tee plate within 0.4 m; grid within 0.3 m.", (0.4, 0.3)),
    ],
    ids=["an older plan", "a vague plate, an unchecked grid", "a vague plate, a fitted grid"],
)
def test_the_sheet_and_the_record_say_what_the_range_is_made_of(receiving, back, change, words, radii):
    receiver = unsent(receiving(before=CHANGED_PLAN.replace("CHANGE", change)))
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 3, 0.02))
    expect(sheet).to_contain_text(words)
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    assert (record["tee95_m"], record["grid95_m"]) == radii
    assert record["range95_m"] == (pytest.approx(whole_range_m(record)) if radii[1] else None)
    assert (record["verdict"] == "cannot tell") is (radii[1] is None)


def test_on_a_grid_with_an_origin_by_hand_a_check_in_comes_before_a_verdict(receiving, back, peg_places):
    receiver = unsent(receiving())
    edge = back.at(back.bunker.plan.reach_m)
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*edge, 3, 0.02))
    expect_verdict(sheet, "cannot tell")
    expect(sheet.locator(".check-verdict")).to_contain_text("Check in on a control peg first")
    expect(sheet.locator(".range")).to_contain_text("How far the grid is off is not known")
    back_to_work(sheet)
    expect(receiver.page.locator(".yardage")).not_to_contain_text("±")
    receiver.play(receiver.noisy(*peg_places["c1"], 1, 0.02))
    receiver.page.get_by_role("button", name="More").click()
    receiver.page.get_by_role("button", name="Check in on a peg").click()
    receiver.page.locator("dialog[open] .outline-choice").first.click()
    receiver.page.get_by_role("button", name="I stand on c1").click()
    receiver.play(receiver.noisy(*peg_places["c1"], 60, 0.02))
    receiver.page.get_by_role("button", name="Finish").click()
    receiver.page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*edge, 20, 0.02))
    expect_verdict(sheet, "inside")
    expect(sheet).to_contain_text(
        re.compile(
            r"what the check-in leaves of the grid's shift within \d\.\d cm, its direction taken as given\."
        )
    )
    save(receiver, sheet)
    (record,) = checks_kept(receiver)
    assert record["verdict"] == "agrees"
    assert 0 < record["grid95_m"] < 0.2
    assert record["reading"]["check_in"] is not None
    assert record["range95_m"] == pytest.approx(whole_range_m(record), abs=1e-9)


def test_the_yardage_sheet_leads_there_and_the_tee_goes_along(on_known_grid, back):
    receiver = unsent(on_known_grid())
    receiver.page.locator(".yardage").click()
    receiver.page.locator("dialog[open]").get_by_role("button", name="Middle tee").click()
    receiver.page.locator("dialog[open]").get_by_role("button", name="Check an edge").click()
    sheet = receiver.page.locator("dialog[open]")
    expect(sheet.get_by_role("heading", name="Yardage check")).to_be_visible()
    expect(sheet.get_by_role("button", name="Middle tee")).to_have_attribute("aria-pressed", "true")
    back_to_work(sheet)
    expect(receiver.page.locator("dialog[open]")).to_have_count(0)


def test_practice_stands_at_the_edge_and_is_recorded_as_practice(demo, receiving, held):
    receiver = receiving(chosen="practice centimetre", query="?start=5")
    person = "Practising"
    receiver.page.get_by_role("button", name="More").click()
    receiver.page.locator("#painter").fill(person)
    receiver.page.locator("#painter").blur()
    receiver.page.locator("dialog[open]").get_by_role("button", name="Check an edge").click()
    sheet = receiver.page.locator("dialog[open]")
    expect(sheet.locator(".check-lines")).to_contain_text("Practice puts you at the front edge as drawn.")
    receiver.page.clock.run_for(2000)
    expect_verdict(sheet, "inside")
    sheet.get_by_role("button", name="Far edge").click()
    receiver.page.clock.run_for(2000)
    expect_verdict(sheet, "inside")
    sheet.get_by_role("button", name="Save check").click()
    expect(sheet.locator(".check-told")).to_contain_text("Saved on this phone as practice")
    back_to_work(sheet)
    expect(receiver.worker.sent).to_have_text("practice")
    (row,) = held(demo.address, person=person)
    assert (row["kind"], row["practice"], row["receiver"]) == (
        "yardage",
        "true",
        "practice centimetre-grade",
    )
    desk = receiver.worker.context.new_page()
    desk.goto(f"{demo.address}/sites/{SITE}")
    assert person not in desk.locator("body").inner_text()


SENDS_NOTHING = """const sends = globalThis.fetch;
globalThis.fetch = (...asked) =>
  (globalThis.__cut ? Promise.reject(new TypeError('no signal')) : sends(...asked));"""


def test_without_signal_it_is_saved_stays_over_a_reload_and_reaches_the_desk_and_the_csv(
    demo, on_known_grid, back, held
):
    receiver = on_known_grid(before=SENDS_NOTHING, is_kept=True)
    page = receiver.page
    receiver.worker.wait_until_kept()
    receiver.worker.context.set_offline(True)
    page.evaluate("globalThis.__cut = true")
    sheet = opened(receiver)
    plan = back.bunker.plan
    receiver.play(receiver.noisy(*back.at(plan.carry_m - 0.1), 5, 0.02))
    sheet.get_by_role("button", name="Far edge").click()
    expect_verdict(sheet, "inside")
    save(receiver, sheet)
    (record,) = checks_kept(receiver)

    def arrived():  # other tests' phones leave checks by the same name as they close
        return [row for row in held(demo.address, person=BUNKER) if row["id"] == record["id"]]

    assert arrived() == []
    page.reload()
    expect(page.get_by_role("button", name="Start")).to_be_visible()
    assert checks_kept(receiver) == [record]
    receiver.worker.start(person=BUNKER)
    sheet = opened(receiver)
    expect(sheet.get_by_role("button", name="Take back")).to_be_visible()
    receiver.worker.context.set_offline(False)
    page.evaluate("globalThis.__cut = false")
    back_to_work(sheet)
    receiver.worker.send_now()
    page.clock.run_for(16_000)
    expect(receiver.worker.sent).to_have_text("all sent")
    (row,) = arrived()
    assert (row["remarks"], row["verdict"]) == ("", "agrees")
    assert float(row["yardage_measured_m"]) == pytest.approx(record["measured_m"], abs=1e-4)
    desk = receiver.worker.context.new_page()
    desk.goto(f"{demo.address}/sites/{SITE}")
    told = desk.locator(f'#bunker-{BUNKER} [data-check="{record["id"]}"]')
    expect(told).to_contain_text("far edge (carry)")
    expect(told).to_contain_text("268.00 yd planned")
    expect(told).to_contain_text("agrees")
    desk.close()


def test_a_server_that_does_not_know_the_kind_loses_no_check(on_known_grid, back):
    """An older server refuses it by its kind: the phone keeps it, says so, and offers to hand it over."""
    receiver = on_known_grid()
    words = "Record 1 of the batch cannot be taken: its kind is 'yardage'; this server knows 'mark', 'undo'."

    def refuse(route):
        ids = [record["id"] for record in route.request.post_data_json["records"]]
        refused = [{"id": name, "detail": words} for name in ids]
        route.fulfill(json={"stored": [], "refused": refused, "remarks": []})

    receiver.worker.context.route("**/api/sites/*/records", refuse)
    sheet = opened(receiver)
    receiver.play(receiver.noisy(*back.at(back.bunker.plan.reach_m), 3, 0.02))
    save(receiver, sheet)
    back_to_work(sheet)
    receiver.worker.read_notices()
    expect(receiver.page.locator("dialog[open]")).to_contain_text("its kind is 'yardage'")
    assert len(checks_kept(receiver)) == 1
    receiver.page.reload()
    expect(receiver.page.get_by_role("button", name="Start")).to_be_visible()
    assert len(checks_kept(receiver)) == 1
