"""Choosing points, painting them and taking marks back."""

import re

import pytest
from playwright.sync_api import expect

SITE = "skerry-bank"
TAP_TWICE = "button => { button.click(); button.click(); }"
STORE_SLOWLY = """() => new Promise((taken) => {
  indexedDB.open('fieldapp').onsuccess = ({target}) => {
    const store = target.result.transaction('outbox', 'readwrite').objectStore('outbox');
    const until = performance.now() + 2500;
    const go = () => { store.count().onsuccess = () => (performance.now() < until ? go() : target.result.close()); };
    go();
    taken();
  };
})"""

pytestmark = pytest.mark.browser


def own_bunker(name: str):
    """The bunker of a test: one server serves them all, and no test may meet another one's marks."""
    return pytest.mark.parametrize("points", [name], indirect=True)


@pytest.fixture
def points(request, points_of):
    return {"bunker": request.param, **points_of(SITE, request.param)}


@pytest.fixture
def worker(demo, phone, points):
    """A phone with a survey receiver at point 1 of the test's own bunker; the painter is called after that."""
    worker = phone(demo.address, is_kept=False)
    worker.open(SITE, points["bunker"])
    worker.start(person=points["bunker"])
    stand_at(worker, points[1])
    worker.expect_verdict("inside")
    return worker


@pytest.fixture
def mine(demo, worker, points, held):
    """A function that waits until all is sent, and gives the records of the test's own bunker."""

    def rows():
        expect(worker.sent).to_have_text("all sent")
        return held(demo.address, person=points["bunker"])

    return rows


def stand_at(worker, point) -> None:
    worker.stand(point["lat"], point["lon"])


def expect_painted(worker, count: int) -> None:
    expect(worker.page.locator(".head-progress")).to_have_text(re.compile(rf"^{count} of \d+$"))


def undo_button(worker):
    return worker.page.locator(".tools .tool").first


@own_bunker("3-left")
def test_undo_takes_the_mark_back_and_both_are_in_the_record(worker, mine):
    number = worker.paint()
    undo_button(worker).click()
    expect(worker.main_button).to_contain_text(f"Painted {number}")
    expect_painted(worker, 0)
    expect(worker.sent).to_have_text("all sent")
    mark, undo = mine()
    assert (mark["kind"], undo["kind"], undo["undoes"], mark["undone_by"]) == (
        "mark",
        "undo",
        mark["id"],
        undo["id"],
    )


@own_bunker("3-pot")
def test_a_bouncing_finger_takes_back_only_one_mark(worker, mine, points):
    worker.paint()
    stand_at(worker, points[2])
    worker.paint()
    undo_button(worker).evaluate(TAP_TWICE)
    expect_painted(worker, 1)
    expect(undo_button(worker)).to_be_enabled()
    assert [row["kind"] for row in mine()] == ["mark", "mark", "undo"]


@own_bunker("4-old")
def test_a_bouncing_finger_marks_only_one_point(worker, mine):
    worker.main_button.evaluate(TAP_TWICE)
    expect_painted(worker, 1)
    expect(worker.main_button).to_have_attribute("data-state", "ready")
    assert len(mine()) == 1


@own_bunker("4-right")
def test_no_second_mark_is_taken_while_the_first_is_still_being_stored(worker, mine):
    worker.page.evaluate(STORE_SLOWLY)
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("storing")
    worker.page.wait_for_timeout(1300)
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("stored on this phone")
    expect(worker.main_button).to_contain_text("Painted 2")
    assert [row["number"] for row in mine()] == ["1"]


@own_bunker("5-waste")
def test_a_point_chosen_while_a_mark_is_being_stored_stays_chosen(worker, points):
    stand_at(worker, points[3])
    worker.expect_verdict("outside")
    worker.page.evaluate(STORE_SLOWLY)
    worker.main_button.click()
    expect(worker.main_button).to_contain_text("storing")
    worker.page.get_by_role("button", name="Nearest").click()
    expect(worker.main_button).to_contain_text("stored on this phone")
    expect(worker.main_button).to_contain_text("Painted 3")


@own_bunker("5-green")
def test_nearest_leads_to_the_unpainted_point_nearest_to_the_worker(worker, points):
    stand_at(worker, points[7])
    worker.expect_verdict("outside")
    worker.page.get_by_role("button", name="Nearest").click()
    expect(worker.main_button).to_contain_text("Painted 7")


def tap_number(worker, number: str) -> None:
    written = worker.page.locator(".numbers text").get_by_text(number, exact=True)
    expect(written).to_be_visible()
    box = written.bounding_box()
    worker.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


@own_bunker("5-green")
def test_a_tap_on_the_ground_chooses_the_point_there(worker, points):
    stand_at(worker, points[6])
    tap_number(worker, "4")
    expect(worker.main_button).to_contain_text("Painted 4")


def test_a_name_must_be_given_before_the_work_begins(demo, phone):
    worker = phone(demo.address, is_kept=False)
    worker.open(SITE, "4-right")
    worker.page.get_by_role("button", name="Start").click()
    expect(worker.page.get_by_text("Write your name first")).to_be_visible()
    expect(worker.page.locator(".work")).to_have_count(0)
