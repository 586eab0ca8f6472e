"""An outline as sprayed: sent by a phone, looked at on the desk, confirmed, and set out as the next revision."""

import html
import re

import pytest

from tests.field_records import capture_document, record_id

PAGE = f"/sites/small-links/captures/{record_id(3001)}"
CONFIRM = f"{PAGE}/confirm"
KIM = {"data": {"name": " Kim  Green "}}


def words_of(answer):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def square_of(visitor):
    bundle = visitor.get("/api/sites/small-links/holes/1/bundle").json()
    return next(bunker for bunker in bundle["bunkers"] if bunker["id"] == "square")


@pytest.fixture
def captured(send):
    """The square bunker captured by offsets."""
    answer = send(capture_document())
    assert answer.json()["stored"] == [record_id(3001)]


def test_a_capture_by_offsets_becomes_a_revision_that_phones_are_given(captured, manager):
    assert square_of(manager)["revision"] == "A"
    assert "Confirm as revision B" in words_of(manager.get(PAGE))
    done = manager.post(CONFIRM, **KIM)
    assert (done.status_code, done.headers["location"]) == (303, PAGE)
    square = square_of(manager)
    assert square["revision"] == "B"
    numbers, xs, ys = zip(*[point[:3] for point in square["outlines"][0]["points"]], strict=True)
    assert numbers == tuple(range(1, len(numbers) + 1))
    assert (min(xs), max(xs)) == pytest.approx((1010.3, 1020.1), abs=0.1)
    assert (min(ys), max(ys)) == pytest.approx((2191.3, 2200.2), abs=0.1)


def test_the_page_tells_what_changes_how_true_it_is_and_who_made_it(captured, manager):
    told = words_of(manager.get(PAGE))
    assert "Square, sand edge as sprayed" in told
    assert re.search(r"Farthest out 12\.04 m, on the tee side, to the left", told)
    assert "Farthest in nowhere" in told
    assert "76.7 m², was 16.0 m²: 60.7 m² more" in told
    assert re.search(r"Measured points within 0\.0\d m at the worst \(95 %\)", told)
    assert re.search(r"The line, square to it ± 0\.0\d m \(95 %\)", told)
    assert re.search(r"Widest gap between points 8\.0\d m", told)
    assert "offsets from a string, 4 points" in told
    assert "By Ada" in told
    head = re.search(r'<p class="paper-head">(.*?)</p>', manager.get(PAGE).text, re.S)[1]
    site = re.search(r"<title>(.*?)</title>", manager.get("/sites/small-links").text)[1]
    assert f"{site}, hole 1" in head, "what a printed page is of"
    assert re.search(r"drawn \d{4}-\d\d-\d\d", head)
    assert "string r1 to r2: 1.00 m along, 2.00 m left 0.0" in told


def test_once_confirmed_the_page_says_by_whom_and_offers_nothing_more(captured, manager):
    manager.post(CONFIRM, **KIM)
    page = manager.get(PAGE)
    assert "It was confirmed by Kim Green and became revision B." in words_of(page)
    assert "Confirmed, became revision B" in words_of(page)
    assert "<form" not in page.text
    assert "fieldapp site write small-links" in words_of(page)
    again = manager.post(CONFIRM, **KIM)
    assert again.status_code == 409
    assert "became revision B" in again.json()["detail"]


def test_a_name_must_be_typed_where_the_link_has_none_of_its_own(captured, manager):
    answer = manager.post(CONFIRM, data={"name": "  "})
    assert answer.status_code == 422
    assert "Type your name" in words_of(answer)
    assert square_of(manager)["revision"] == "A"


def test_a_link_of_a_person_confirms_in_that_name(captured, let_in, manager):
    planner = let_in("plan", name="Robin")
    assert 'name="name"' not in planner.get(PAGE).text
    assert planner.post(CONFIRM, data={"name": "Somebody else"}).status_code == 303
    assert "confirmed by Robin" in words_of(manager.get(PAGE))


def test_who_may_only_mark_may_look_but_not_confirm(captured, let_in):
    crew = let_in("mark")
    page = crew.get(PAGE)
    assert "needs a link of the role plan" in words_of(page)
    assert "<form" not in page.text
    assert crew.post(CONFIRM, **KIM).status_code == 403


def test_the_site_page_lists_it_and_leads_there(captured, manager):
    page = manager.get("/sites/small-links")
    assert f'href="{PAGE}"' in page.text
    assert "waits to be confirmed" in words_of(page)
    manager.post(CONFIRM, **KIM)
    assert "confirmed, became revision B" in words_of(manager.get("/sites/small-links"))


def test_a_capture_of_two_points_is_refused_in_words_and_makes_no_page(send, manager):
    answer = send(capture_document(points=capture_document()["points"][:2])).json()
    assert "a capture of 2 points has no shape" in answer["refused"][0]["detail"]
    assert manager.get(PAGE).status_code == 404


def test_one_whose_points_cross_is_drawn_as_it_came_and_not_confirmed(send, manager):
    points = capture_document()["points"]
    send(capture_document(points=[points[0], points[2], points[1], points[3]]))
    page = manager.get(PAGE)
    assert page.status_code == 200
    assert 'class="joined"' in page.text
    assert "cannot be confirmed" in words_of(page)
    assert "crosses or touches itself" in words_of(page)
    assert "from point 1 to 2 meets the way from point 3 to 4" in words_of(page)
    assert manager.post(CONFIRM, **KIM).status_code == 409
