"""Yardage checks on the site page."""

import re

import pytest

from tests.field_records import undo_document, yardage_document

SITE = "/sites/small-links"
TARGET = yardage_document()["target"]


@pytest.fixture
def page(manager):
    def words():
        return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", manager.get(SITE).text))

    return words


def test_a_check_is_told_with_its_range_the_plan_the_difference_and_who(send, page):
    send(yardage_document())
    assert re.search(
        r"Yardage checks figure from .* front edge \(reach\) White tee 220\.4 ± 0\.8 yd 220\.3 yd planned "
        r"\+0\.1 yd 1\.0 yd agrees Ada phone 2026-05-01 09:30 A",
        page(),
    )


def test_a_fine_range_is_told_to_a_hundredth_and_never_rounded_down(send, page):
    send(yardage_document(range95_m=0.0201))
    assert "220.36 ± 0.03 yd" in page()


@pytest.mark.parametrize("difference_m", [0.01, 0.0, -0.01])
def test_a_difference_that_rounds_to_nothing_has_no_sign(send, page, difference_m):
    send(yardage_document(measured_m=201.4 + difference_m))
    assert re.search(r"yd planned 0\.0 yd 1\.0 yd", page())


def test_a_difference_toward_the_tee_has_a_minus(send, page):
    send(yardage_document(measured_m=201.0))
    assert "yd planned \u22120.4 yd" in page()


def test_what_is_unknown_and_what_is_taken_as_exact_is_told(send, page):
    send(yardage_document(1, verdict="cannot tell", grid95_m=None, range95_m=None))
    told = page()
    assert "range not known" in told
    assert "How far the grid is off was not known." in told
    assert "Tee plate taken as exact." not in told
    assert "no accuracy figure" not in told
    send(yardage_document(2, tee95_m=None, reading95_m=None, range95_m=None, verdict="cannot tell"))
    told = page()
    assert "The receiver gave no accuracy figure. Tee plate taken as exact." in told
    assert "Direction of the grid taken as given." in told


def test_an_offset_is_told_by_its_side(send, page):
    target = TARGET | {"figure": "offset", "basis": "drawn"}
    send(yardage_document(target=target, measured_m=-18.288, planned_m=-18.5, range95_m=None))
    assert "20.0 yd left, range not known 20.2 yd left drawn 0.2 yd right" in page()


def test_what_would_settle_it_the_line_and_the_remarks_are_told(send, page):
    target = TARGET | {"tee": "gold"}
    send(yardage_document(target=target, verdict="cannot tell", settle="Tape it.", off_line_m=-3.2))
    told = page()
    assert "Tape it. Measured 3.20 m left of the straight line to the middle." in told
    assert "The site has no tee &#39;gold&#39;." in told or "The site has no tee 'gold'." in told


def test_an_older_revision_is_told_as_such(send, page):
    send(yardage_document(target=TARGET | {"revision": "0"}))
    assert "0 (older)" in page()


def test_standing_checks_are_counted_of_bunkers_that_are_gone_too(send, page):
    gone = yardage_document(3)
    send(yardage_document(1), yardage_document(2, target=TARGET | {"bunker": "moon"}))
    send(gone, undo_document(gone), yardage_document(4, practice=True))
    assert "2 yardage checks stand." in page()


def test_the_line_is_not_told_where_the_receiver_errs_as_much(send, page):
    send(yardage_document(off_line_m=3.2, range95_m=5.5))
    assert "of the straight line" not in page()


def test_practice_and_what_was_taken_back_never_appear(send, page):
    gone = yardage_document(2)
    send(
        yardage_document(1, practice=True),
        yardage_document(3, receiver="practice centimetre-grade"),
        gone,
        undo_document(gone),
    )
    assert "Yardage checks" not in page()


def test_every_check_is_in_the_csv(send, manager):
    send(yardage_document(1), yardage_document(2, practice=True))
    lines = manager.get(f"{SITE}/records.csv").text.splitlines()
    assert len(lines) == 3
    assert "yardage_settle" in lines[0].split(",")


def test_the_page_of_the_hole_tells_of_its_checks_under_the_name_of_each_bunker(send, manager):
    hole = f"{SITE}/holes/1"
    assert 'id="checks"' not in manager.get(hole).text
    undone = yardage_document(7)
    send(yardage_document(1), undone, undo_document(undone), yardage_document(8, practice=True))
    told = manager.get(hole).text.split('id="checks"')[1].split("</section>")[0]
    assert "<caption>Square</caption>" in told
    assert told.count("data-check=") == 1
    assert "220.4 ± 0.8 yd" in told
