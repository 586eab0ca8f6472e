"""What the site page tells of the record beside the marks: receivers over pegs, points painted twice, whose link."""

import re
from datetime import UTC, datetime

import pytest

from tests.field_records import check_in_document, mark_document, trial_document, undo_document

SITE = "/sites/small-links"


@pytest.fixture
def page(manager):
    def words():
        return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", manager.get(SITE).text))

    return words


def today(hour=0):
    return datetime.now(UTC).replace(hour=hour, minute=5).isoformat()


def test_check_ins_and_trials_of_today_are_told_with_shift_and_worth(send, page):
    send(check_in_document(made_at=today()), trial_document(made_at=today()))
    told = page()
    assert re.search(
        r"check-in Ada phone c1 2\.50 m toward 143° of the grid stood 30 s, known within 0\.80 m", told
    )
    assert re.search(
        r"trial Ada phone c1 1\.00 m toward 037° of the grid stood 5 min, scatters 1\.25 m", told
    )


def test_those_of_other_days_taken_back_or_practice_are_not_told(send, page):
    gone = check_in_document(2, made_at=today())
    send(check_in_document(1), gone, undo_document(gone), trial_document(made_at=today(), practice=True))
    told = page()
    assert "Receivers over pegs today" not in told
    assert "0 marks stand, 0 were taken back" in told


def twin(number, person="Bob", device="phone 3", at="2026-05-01T09:42:00Z", **changes):
    return mark_document(number, person=person, device=device, made_at=at, **changes)


def test_a_point_painted_by_two_phones_is_told_with_both(send, page):
    send(mark_document(1), twin(2))
    words = "Point 1 of the sand edge was painted twice: by Ada at 2026-05-01 09:30 and by Bob at 2026-05-01 09:42"
    assert words in page()


NOT_TWICE = {
    "one phone again": [twin(2, device="phone 2")],
    "the next day": [twin(2, at="2026-05-02T09:42:00Z")],
    "another point": [twin(2, target=mark_document()["target"] | {"number": 2})],
    "another outline of that part": [twin(2, target=mark_document()["target"] | {"outline": "edge-2"})],
    "practice": [twin(2, practice=True)],
    "taken back": [twin(2), undo_document(twin(2))],
    "an older revision": [twin(2, target=mark_document()["target"] | {"revision": "0"})],
}


@pytest.mark.parametrize("name", NOT_TWICE)
def test_what_is_no_double_painting_is_not_called_one(send, page, name):
    send(mark_document(1), *NOT_TWICE[name])
    assert "painted twice" not in page()


def test_the_name_on_the_link_is_told_where_it_is_another(let_in, send, page):
    crew = let_in("mark", name="Morning crew", is_crew=True)
    send(mark_document(1), twin(2, person="Morning crew"), visitor=crew)
    told = page()
    assert told.count("(link of Morning crew)") == 1
    assert "Ada (link of Morning crew)" in told


def test_a_mark_from_the_serving_machine_came_by_no_link(send, page):
    send(mark_document(1))
    assert "link of" not in page()
