"""Holding still, checking in and trying a receiver out, on the page and in what the phone stores."""

import re

import pytest
from playwright.sync_api import expect

SITE, BUNKER = "skerry-bank", "4-right"
OUTBOX = """() => new Promise((done) => {
  indexedDB.open('fieldapp').onsuccess = ({target}) => {
    const all = target.result.transaction('outbox').objectStore('outbox').getAll();
    all.onsuccess = () => { target.result.close(); done(all.result.map((entry) => entry.record)); };
  };
})"""
KEPT = """(key) => new Promise((done) => {
  indexedDB.open('fieldapp').onsuccess = ({target}) => {
    const got = target.result.transaction('kept').objectStore('kept').get(key);
    got.onsuccess = () => { target.result.close(); done(got.result ?? null); };
  };
})"""

pytestmark = pytest.mark.browser


@pytest.fixture
def receiver(receiving):
    """A started phone whose records stay in its outbox."""
    return unsent(receiving())


def unsent(receiver):
    receiver.worker.send_no_records()
    return receiver


@pytest.fixture
def point(points_of):
    found = points_of(SITE, BUNKER)[1]
    return found["lat"], found["lon"]


def radius_m(receiver) -> float:
    words = receiver.page.locator(".radius-words").inner_text()
    figure, unit = re.search(r"within ([\d.]+) (m|cm)", words).groups()
    return float(figure) * (0.01 if unit == "cm" else 1)


def stored(receiver, kind: str) -> list[dict]:
    return [record for record in receiver.page.evaluate(OUTBOX) if record["kind"] == kind]


def hold_button(receiver):
    return receiver.page.locator(".hold-button")


def press_hold(receiver) -> None:
    hold_button(receiver).click()


def test_holding_still_counts_and_shrinks_the_radius(receiver, point):
    fixes = receiver.noisy(*point, 90)
    receiver.play(fixes[:2])
    alone = radius_m(receiver)
    press_hold(receiver)
    receiver.play(fixes[2:12])
    expect(receiver.page.locator(".remarks")).to_contain_text(
        re.compile(r"Holding still, 1\d s, \d+ positions\.")
    )
    expect(hold_button(receiver)).to_contain_text(re.compile(r"End hold\s*1\d s"))
    receiver.play(fixes[12:])
    assert radius_m(receiver) < 0.95 * alone
    expect(receiver.page.locator(".remarks")).to_contain_text("Standing longer gains little now.")
    press_hold(receiver)
    expect(hold_button(receiver)).to_have_text("Hold still")
    assert radius_m(receiver) == alone


def test_walking_off_ends_the_reading_and_says_so(receiver, point):
    press_hold(receiver)
    receiver.play(receiver.noisy(*point, 20))
    receiver.play(receiver.noisy(point[0] + 4e-4, point[1], 3))
    expect(receiver.page.locator(".remarks")).to_have_text("You have moved, so the reading ended.")
    expect(hold_button(receiver)).to_have_text("Hold still")


def test_a_mark_while_holding_carries_the_reading_and_ends_it(receiver, point):
    press_hold(receiver)
    receiver.play(receiver.noisy(*point, 30))
    receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text("stored on this phone")
    expect(hold_button(receiver)).to_have_text("Hold still")
    (mark,) = stored(receiver, "mark")
    reading, fix = mark["reading"], mark["fix"]
    assert reading["fixes"] >= 29
    assert 28 <= reading["seconds"] <= 31
    assert reading["radius95_m"] < fix["radius95_m"]
    assert "68 % radius; reading of" in reading["radius95_basis"]
    assert (reading["check_in"], reading["check_in_age_s"]) == (None, None)
    assert abs(reading["lat_deg"] - point[0]) * 111_300 < 8
    assert reading["lat_deg"] != fix["lat_deg"]


def test_a_mark_while_walking_carries_no_reading(receiver, point):
    receiver.play(receiver.noisy(*point, 3))
    receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text("stored on this phone")
    (mark,) = stored(receiver, "mark")
    assert "reading" not in mark


def stand_on_peg(receiver, sheet: str, place, seconds: int, acc: float = 4.0, off=(3.0, -2.0)) -> None:
    page = receiver.page
    receiver.play(receiver.noisy(*place, 1, acc, off))
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name=sheet).click()
    page.locator("dialog[open] .outline-choice").first.click()
    page.get_by_role("button", name="I stand on c1").click()
    receiver.play(receiver.noisy(*place, seconds, acc, off))
    page.get_by_role("button", name="Finish").click()


def back(receiver) -> None:
    receiver.page.locator("dialog[open]").get_by_role("button", name="Back to the point").click()


def test_a_check_in_shrinks_the_radius_is_recorded_and_fades(receiver, point, peg_places):
    receiver.play(receiver.noisy(*point, 1))
    alone = radius_m(receiver)
    stand_on_peg(receiver, "Check in on a peg", peg_places["c1"], 60)
    sheet = receiver.page.locator("dialog[open]")
    expect(sheet).to_contain_text("Checked in on peg c1")
    expect(sheet).to_contain_text("Without it")
    back(receiver)
    (record,) = stored(receiver, "check_in")
    assert (record["peg"], record["practice"], record["receiver"]) == ("c1", False, "phone")
    shift = (record["shift_x_m"] ** 2 + record["shift_y_m"] ** 2) ** 0.5
    assert 0.5 < shift < 12
    assert record["reading"]["check_in"] is None
    assert record["reading"]["fixes"] >= 58

    radii = []
    for minutes in (0, 10, 60, 600):
        receiver.page.clock.fast_forward(minutes * 60_000)
        receiver.play(receiver.noisy(*point, 1))
        radii.append(radius_m(receiver))
    assert radii == sorted(radii)
    assert radii[0] < 0.8 * alone
    assert radii[-1] == alone
    expect(receiver.page.locator(".radius-note")).to_be_hidden()


def test_a_check_in_is_applied_to_the_next_mark_and_survives_a_reload(receiver, point, peg_places):
    stand_on_peg(receiver, "Check in on a peg", peg_places["c1"], 60)
    back(receiver)
    (check_in,) = stored(receiver, "check_in")
    reopen(receiver)
    receiver.play(receiver.noisy(*point, 1))
    expect(receiver.page.locator(".radius-note")).to_contain_text("checked in")
    receiver.worker.main_button.click()
    if receiver.worker.main_button.get_attribute("data-state") == "asking":
        receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text("stored on this phone")
    (mark,) = stored(receiver, "mark")
    reading, fix = mark["reading"], mark["fix"]
    assert reading["check_in"] == check_in["id"]
    assert reading["fixes"] == 1
    assert reading["radius95_m"] < fix["radius95_m"]
    moved = (fix["lat_deg"] - reading["lat_deg"]) * 111_300
    assert abs(moved) > 0.1
    assert "check-in on peg c1" in reading["radius95_basis"]


def reopen(receiver) -> None:
    receiver.page.reload()
    expect(receiver.page.get_by_role("button", name="Start")).to_be_visible()
    receiver.worker.start(person=BUNKER)


def test_a_check_in_can_be_dropped(receiver, point, peg_places):
    stand_on_peg(receiver, "Check in on a peg", peg_places["c1"], 30)
    receiver.page.get_by_role("button", name="Drop this check-in").click()
    back(receiver)
    receiver.play(receiver.noisy(*point, 1))
    assert radius_m(receiver) == pytest.approx(6.5, abs=0.1)
    assert receiver.page.evaluate(KEPT, "check-in phone") is None
    (check_in,), (undo,) = (stored(receiver, kind) for kind in ("check_in", "undo"))
    assert (undo["undoes"], undo["practice"]) == (check_in["id"], False)


def test_a_check_in_of_before_the_clock_was_put_back_is_dropped_for_good(receiver, point, peg_places):
    page = receiver.page
    stand_on_peg(receiver, "Check in on a peg", peg_places["c1"], 30)
    back(receiver)
    page.evaluate("__geo.backMs = 3600e3; const now = Date.now; Date.now = () => now() - __geo.backMs")
    receiver.play(receiver.noisy(*point, 1))
    expect(page.locator(".notices")).to_contain_text("The check-in on peg c1 was dropped: this phone's clock")
    receiver.worker.read_notices()
    page.get_by_role("button", name="Put away").click()
    expect(page.locator(".notices")).not_to_contain_text("was dropped")
    assert page.evaluate(KEPT, "check-in phone") is None
    (check_in,), (undo,) = (stored(receiver, kind) for kind in ("check_in", "undo"))
    assert undo["undoes"] == check_in["id"]
    page.evaluate("__geo.backMs = 0")
    receiver.play(receiver.noisy(*point, 1))
    assert radius_m(receiver) == pytest.approx(6.5, abs=0.1)
    expect(page.locator(".radius-note")).to_be_hidden()


def test_a_peg_that_is_not_the_one_stood_on_is_refused(receiver, peg_places):
    page = receiver.page
    receiver.play(receiver.noisy(*peg_places["c1"], 1))
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Check in on a peg").click()
    page.locator("dialog[open] .outline-choice").nth(1).click()
    page.get_by_role("button", name="I stand on").click()
    receiver.play(receiver.noisy(*peg_places["c1"], 30))
    page.get_by_role("button", name="Finish").click()
    expect(page.locator(".peg-outcome:visible")).to_contain_text("more than its errors explain")
    assert stored(receiver, "check_in") == []


def test_a_trial_is_told_kept_recorded_and_used_after_a_reload(receiver, point, peg_places):
    stand_on_peg(receiver, "Receiver trial", peg_places["c1"], 180, off=(0.5, 0.3))
    sheet = receiver.page.locator("dialog[open]")
    expect(sheet).to_contain_text("Kept on this phone and used from now on.")
    for words in (
        "68 of 100 positions lie within",
        "How long its errors last",
        "Off the peg in the trial",
        "it keeps to that",
    ):
        expect(sheet).to_contain_text(words)
    back(receiver)
    (record,) = stored(receiver, "trial")
    assert sum(share for share, _ in record["parts"]) == pytest.approx(1)
    assert (record["accuracy_m"], record["peg"], record["practice"]) == (pytest.approx(4), "c1", False)
    reopen(receiver)
    receiver.page.clock.fast_forward(12 * 3600_000)
    receiver.play(receiver.noisy(*point, 1))
    assert radius_m(receiver) == pytest.approx(2.4477 * record["scatter_m"], rel=0.1)
    receiver.page.locator(".radius").click()
    expect(receiver.page.locator("dialog[open]")).to_contain_text("what the trial on peg c1 makes of it")


def test_a_trial_can_be_thrown_away(receiver, point, peg_places):
    stand_on_peg(receiver, "Receiver trial", peg_places["c1"], 90)
    receiver.page.get_by_role("button", name="Throw this trial away").click()
    assert receiver.page.evaluate(KEPT, "trial phone") is None
    assert receiver.page.evaluate(KEPT, "check-in phone") is None
    (trial,), (undo,) = (stored(receiver, kind) for kind in ("trial", "undo"))
    assert undo["undoes"] == trial["id"]


def held_radius_m(receiver, point) -> float:
    """The radius after half a minute of standing still."""
    press_hold(receiver)
    receiver.play(receiver.noisy(*point, 30, 0.4))
    found = radius_m(receiver)
    press_hold(receiver)
    return found


def test_how_long_errors_last_can_be_set_by_hand_and_set_back(receiver, point, peg_places):
    page = receiver.page
    before = held_radius_m(receiver, point)
    page.locator(".radius").click()
    sheet = page.locator("dialog[open]")
    expect(sheet).to_contain_text("Now 55 % for about 30 min: the default.")
    sheet.get_by_label("Slow part, %").fill("500")
    sheet.get_by_role("button", name="Use these").click()
    expect(sheet.get_by_role("alert")).to_contain_text("Write a share of 5 to 95 %")
    sheet.get_by_label("Slow part, %").fill("5")
    sheet.get_by_label("It lasts about, minutes").fill("2")
    sheet.get_by_role("button", name="Use these").click()
    expect(sheet).to_contain_text("Now 5 % for about 2 min: set by hand.")
    expect(sheet.get_by_role("alert")).to_be_hidden()
    back(receiver)
    assert held_radius_m(receiver, point) < 0.98 * before
    assert page.evaluate(KEPT, "lasting phone") == {"share": 0.05, "tauS": 120}

    reopen(receiver)
    press_hold(receiver)
    receiver.play(receiver.noisy(*point, 5))
    receiver.worker.main_button.click()
    expect(receiver.worker.main_button).to_contain_text("stored on this phone")
    (mark,) = stored(receiver, "mark")
    assert "set by hand, 5 % for about 2 min" in mark["reading"]["radius95_basis"]
    page.locator(".radius").click()
    page.get_by_role("button", name="Back to the default").click()
    expect(page.locator("dialog[open]")).to_contain_text("55 % for about 30 min: the default.")
    assert page.evaluate(KEPT, "lasting phone") is None


def test_a_trial_replaces_what_was_set_by_hand(receiver, peg_places):
    page = receiver.page
    receiver.play(receiver.noisy(*peg_places["c1"], 1))
    page.locator(".radius").click()
    page.get_by_role("button", name="Use these").click()
    expect(page.locator("dialog[open]")).to_contain_text("set by hand")
    back(receiver)
    stand_on_peg(receiver, "Receiver trial", peg_places["c1"], 90)
    back(receiver)
    page.locator(".radius").click()
    expect(page.locator("dialog[open]")).to_contain_text("the trial on peg c1.")
    assert page.evaluate(KEPT, "lasting phone") is None


def test_a_trial_cannot_be_ended_within_a_minute(receiver, peg_places):
    page = receiver.page
    receiver.play(receiver.noisy(*peg_places["c1"], 1))
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Receiver trial").click()
    page.locator("dialog[open] .outline-choice").first.click()
    page.get_by_role("button", name="I stand on c1").click()
    receiver.play(receiver.noisy(*peg_places["c1"], 50))
    expect(page.locator("dialog[open] .main-button")).to_be_disabled()
    expect(page.locator("dialog[open]")).to_contain_text("at least 60 s, better 5 min")


def test_a_practice_check_in_is_recorded_as_practice_and_never_kept(receiving):
    receiver = unsent(receiving("4-right", "practice phone", "?start=5"))
    page = receiver.page
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="Check in on a peg").click()
    page.locator("dialog[open] .outline-choice").first.click()
    page.get_by_role("button", name="I stand on").click()
    page.clock.run_for(62_000)
    page.get_by_role("button", name="Finish").click()
    expect(page.locator("dialog[open]")).to_contain_text("Checked in.")
    back(receiver)
    (record,) = stored(receiver, "check_in")
    assert (record["practice"], record["receiver"]) == (True, "practice phone-grade")
    assert page.evaluate(KEPT, "check-in phone") is None
    page.clock.run_for(1000)
    expect(page.locator(".radius-note")).to_contain_text("checked in")
    page.get_by_role("button", name="More").click()
    page.get_by_role("button", name="This phone").click()
    receiver.fix(53.6, -5.0)
    page.clock.run_for(500)
    expect(page.locator(".radius-note")).to_be_hidden()


def test_kept_values_that_make_no_sense_are_not_believed(receiving, point):
    receiver = receiving()
    receiver.page.evaluate(
        """() => new Promise((done) => {
          indexedDB.open('fieldapp').onsuccess = ({target}) => {
            const write = target.result.transaction('kept', 'readwrite');
            write.objectStore('kept').put({id: 'x', peg: 'c1', found: {scatterM: 'no'}}, 'trial phone');
            write.objectStore('kept').put({id: 'x', peg: 'c1', site: 'skerry-bank', found: {}}, 'check-in phone');
            write.oncomplete = () => { target.result.close(); done(); };
          };
        })"""
    )
    reopen(receiver)
    receiver.play(receiver.noisy(*point, 1))
    assert radius_m(receiver) == pytest.approx(6.5, abs=0.05)
