"""The tie sheet and the base line of a bunker as pages and as CSV, from pegs that crews drove."""

import csv
import io
import math
import re

import pytest

from tests.field_records import peg_document

SQUARE = "/sites/small-links/bunkers/square"
PLACES = {"r1": (1010.0, 2190.0), "r2": (1034.0, 2190.0), "r3": (1022.0, 2218.0)}


def text_of(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))


def driven(number, name, state="new", **more):
    x, y = PLACES[name]
    return peg_document(
        number, peg=name, peg_kind="reference", state=state, x=x, y=y, within_m=0.02, placed_by="ties",
        photos=[], note="", **more,
    )  # fmt: skip


@pytest.fixture
def pegged(send):
    answer = send(*(driven(5000 + at, name) for at, name in enumerate(PLACES, 1)))
    assert answer.json()["refused"] == []


def rows_of(page):
    return list(csv.DictReader(io.StringIO(page.content.decode("utf-8-sig"))))


def test_without_pegs_the_sheet_says_so_and_leads_to_the_plan(manager):
    page = manager.get(f"{SQUARE}/ties")
    assert "No paint point of this bunker is in reach of two pegs that stand." in page.text
    assert f'href="{SQUARE}/peg-plan"' in page.text
    assert "Tape the pegs against each other" not in page.text, "there are none"
    assert "The check is a third distance" not in page.text
    assert "no peg stands" in text_of(manager.get(f"{SQUARE}/baseline"))
    assert manager.get(f"{SQUARE}/baseline.csv").status_code == 404


@pytest.mark.usefixtures("pegged")
def test_every_point_is_on_the_sheet_with_its_taped_distances(manager):
    page = manager.get(f"{SQUARE}/ties")
    sheet = rows_of(manager.get(f"{SQUARE}/ties.csv"))
    assert len(sheet) == 16
    corner = next(row for row in sheet if row["number"] == "1")
    for end in ("first", "second", "check"):
        distance = math.dist(PLACES[corner[f"{end}_peg"]], (1020.0, 2200.0))
        assert float(corner[f"{end}_distance_m"]) == pytest.approx(distance, abs=0.0006)
        assert f">{distance:.2f}</td>" in page.text
    assert text_of(page).count(" mm ") >= 16
    assert "level slope" not in text_of(page), "no levels are known here"
    assert "24.00" in text_of(page), "how far r1 and r2 are apart"
    assert re.search(r"point from r\d ?, m from r\d ?, m", text_of(page)), (
        "a column of distances names its unit"
    )
    assert "from to level, m may miss by" in text_of(page)


@pytest.mark.usefixtures("pegged")
def test_a_peg_that_no_point_is_in_reach_of_is_said_and_neither_drawn_nor_taped(manager, send):
    far = driven(5020, "r1") | {"peg": "r9", "x": 1022.0, "y": 2204.0 + 40.0}
    assert send(far).json()["refused"] == []
    page = manager.get(f"{SQUARE}/ties")
    assert "Peg r9 is out of reach of every paint point. Nothing is taped from it." in text_of(page)
    assert text_of(page).count("r9") == 1
    plan = manager.get(f"{SQUARE}/peg-plan")
    assert "out of reach of every point and not counted in: r9" in plan.text
    assert text_of(plan).count("r9") == 1


@pytest.mark.usefixtures("pegged")
def test_pegs_further_apart_than_the_tape_are_not_to_be_taped_against_each_other(manager, send):
    beside = driven(5021, "r1") | {"peg": "r8", "x": 1047.0, "y": 2202.0}
    assert send(beside).json()["refused"] == []
    pairs = re.search(r'aria-labelledby="peg-pairs".*?</section>', manager.get(f"{SQUARE}/ties").text, re.S)[
        0
    ]
    taped = re.findall(r'<th scope="row">(\w+)</th><td>(\w+)</td>', pairs)
    assert ("r1", "r8") not in taped, "38.9 m apart, by a tape of 30 m"
    assert ("r2", "r8") in taped, "17.7 m apart"
    assert "may have moved or the tape was misread" in text_of(manager.get(f"{SQUARE}/ties"))


@pytest.mark.usefixtures("pegged")
def test_a_peg_placed_by_phone_is_left_out_by_name(manager, send):
    by_phone = driven(5009, "r2", made_at="2099-05-01T09:30:15.250Z") | {"within_m": 6.5}
    assert send(by_phone).json()["refused"] == []
    for path in ("ties", "baseline"):
        assert "Peg r2 is known to 6.5 m (21 ft) only." in text_of(manager.get(f"{SQUARE}/{path}"))
    assert all(row["second_peg"] == "r3" for row in rows_of(manager.get(f"{SQUARE}/ties.csv")))


def bold(page, column):
    """The figures in bold of a column of the tie tables: 0 the first peg's level distance."""
    rows = re.findall(r"<tr><th scope=\"row\">\d+</th>(.*?)</tr>", page.text)
    return [re.findall(r"<td class=\"num( chief)?\">", row)[column] for row in rows]


@pytest.mark.usefixtures("pegged")
def test_bold_is_what_the_tape_reads(manager):
    page = manager.get(f"{SQUARE}/ties")
    assert set(bold(page, 0)) == set(bold(page, 1)) == {" chief"}
    assert "Bold is what the tape reads, as on the phone: held level." in text_of(page)


@pytest.mark.usefixtures("pegged")
def test_a_peg_that_moved_is_left_out_by_name(manager, send):
    moved = driven(5010, "r2", made_at="2099-05-01T09:30:15.250Z") | {"state": "moved", "x": None, "y": None}
    assert send(moved).json()["refused"] == []
    for path in ("ties", "baseline"):
        assert "Peg r2 has moved." in text_of(manager.get(f"{SQUARE}/{path}"))
    assert all(row["second_peg"] == "r3" for row in rows_of(manager.get(f"{SQUARE}/ties.csv")))
    answer = manager.get(f"{SQUARE}/baseline", params={"from": "r1", "to": "r2"})
    assert answer.status_code == 422
    assert "called &#39;r2&#39;; there are: r1, r3" in answer.text


def test_a_sheet_as_if_the_planned_pegs_stood_says_that_nothing_may_be_painted_from_it(manager):
    manager.post(f"{SQUARE}/peg-plan", data={"margin": "3"})
    page = manager.get(f"{SQUARE}/ties")
    assert "As if the planned pegs stood" in page.text
    assert "Nothing may be painted from this sheet" not in page.text
    planned = manager.get(f"{SQUARE}/ties?planned=yes")
    assert "Nothing may be painted from this sheet" in planned.text
    assert all(row["first_peg"] == "" for row in rows_of(manager.get(f"{SQUARE}/ties.csv")))
    assert all(row["first_peg"] for row in rows_of(manager.get(f"{SQUARE}/ties.csv?planned=yes")))


@pytest.mark.usefixtures("pegged")
def test_the_base_line_has_chainage_and_offset_of_every_point(manager):
    page = manager.get(f"{SQUARE}/baseline", params={"from": "r1", "to": "r2"})
    words = text_of(page)
    assert "From r1 to r2, 24.00 m level." in words
    assert "6.00 m along the string" in words
    assert "point chainage, m offset, m expected" in words
    assert "1 10.00 10.00 left" in words, "point 1 is the corner at 1020, 2200"
    assert "both diagonals are 14.56 m" in words, "4 m long and 14 m off: a frame of 4 by 14"
    sheet = rows_of(manager.get(f"{SQUARE}/baseline.csv", params={"from": "r1", "to": "r2"}))
    assert (sheet[0]["chainage_m"], sheet[0]["offset_m"]) == ("10.000", "-10.000")


@pytest.mark.usefixtures("pegged")
def test_offsets_every_so_far_are_near_and_far_side(manager):
    sheet = rows_of(manager.get(f"{SQUARE}/baseline.csv", params={"from": "r1", "to": "r2", "every": "1"}))
    inner = [(row["chainage_m"], row["offset_m"]) for row in sheet if 10 < float(row["chainage_m"]) < 14]
    assert inner == [(f"{at}.000", offset) for at in (11, 12, 13) for offset in ("-10.000", "-14.000")]


@pytest.mark.usefixtures("pegged")
@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"from": "r1", "to": "r1"}, "&#39;r1&#39; is named for both of its ends"),
        ({"from": "r9", "to": "r1"}, "called &#39;r9&#39;; there are: r1, r2, r3"),
        ({"from": "<b>", "to": "r1"}, "&lt;b&gt;"),
        ({"from": "r1", "to": "r2", "every": "often"}, "&#39;often&#39; is no length for the spacing"),
        ({"from": "r1", "to": "r2", "every": "0"}, "cannot be the spacing along the string"),
    ],
)
def test_what_cannot_be_measured_is_said(manager, asked, words):
    page = manager.get(f"{SQUARE}/baseline", params=asked)
    assert (page.status_code, words in page.text) == (422, True)
    assert manager.get(f"{SQUARE}/baseline.csv", params=asked).status_code in (404, 422)


@pytest.mark.usefixtures("pegged")
def test_without_a_choice_the_string_is_the_one_that_does_best(manager):
    page = text_of(manager.get(f"{SQUARE}/baseline"))
    assert re.search(r"From r\d to r\d, ", page)
    worst = {
        (start, end): max(
            float(row["within_m"])
            for row in rows_of(manager.get(f"{SQUARE}/baseline.csv", params={"from": start, "to": end}))
        )
        for start, end in (("r1", "r2"), ("r1", "r3"), ("r2", "r3"))
    }
    start, end = min(worst, key=worst.get)
    assert f"From {start} to {end}, " in page


def test_the_site_page_leads_to_plan_ties_and_base_line(manager):
    page = manager.get("/sites/small-links").text
    for path in ("peg-plan", "ties", "baseline"):
        assert f'href="{SQUARE}/{path}"' in page


@pytest.mark.parametrize(("within_m", "sigma_mm"), [(None, 5.0), (0.02, 20 / math.sqrt(-2 * math.log(0.05)))])
def test_sound_pegs_of_which_nobody_told_how_well_they_stand_do_not_alarm(manager, send, within_m, sigma_mm):
    """The network's rule: 5 mm one sigma where nobody told, 1 % of false alarms: 2.5758 sqrt(10² + 5² + 5²) = 31.5."""
    common = {"peg_kind": "reference", "state": "new", "photos": []}
    first = peg_document(5001, peg="r1", x=1010.0, y=2190.0, within_m=None, **common)
    other = peg_document(5002, peg="r2", x=1034.0, y=2190.0, within_m=within_m, **common)
    assert send(first, other).json()["refused"] == []
    wanted = 2.5758 * math.hypot(10, 5, sigma_mm)
    assert f"r1 r2 24.00 ± {wanted:.0f} mm" in text_of(manager.get(f"{SQUARE}/ties"))
