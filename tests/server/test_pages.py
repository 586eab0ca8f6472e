"""The desk pages, as the server draws them."""

import csv
import io
import re
from dataclasses import replace

import segno

from fieldapp.settings import Way

SITE = "/sites/small-links"


def text_of(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))


def test_the_list_names_each_site_and_how_far_its_painting_has_come(manager):
    page = manager.get("/")
    assert page.status_code == 200
    assert "Small Links (invented)" in page.text
    assert "0 of 61 paint points painted" in page.text


def test_a_site_page_draws_every_bunker_with_its_numbered_points(manager):
    page = manager.get(SITE)
    assert page.text.count('<section class="bunker"') == 2
    square = page.text.split('id="bunker-square"')[1].split('id="bunker-')[0]
    assert square.count('class="to-do"') == 16
    assert [int(number) for number in re.findall(r'text-anchor="middle">(\d+)</text>', square)] == list(
        range(1, 17)
    )


def test_each_tee_gives_the_length_of_its_hole(manager):
    page = manager.get(SITE)
    assert re.search(r"White tee</td><td class=\"num\">\d+ yd</td><td class=\"num\">\d+ m</td>", page.text)


def test_the_plan_has_a_scale_bar_and_a_north_arrow(manager):
    page = manager.get(SITE)
    assert page.text.count('class="sheet-bar"') == 3
    assert page.text.count('class="sheet-north"') == 3


def test_a_mark_is_shown_with_who_when_how_well_and_counts(manager, send, mark):
    send(mark(1))
    page = text_of(manager.get(SITE))
    assert "1 of 16 painted" in page
    assert re.search(r"sand edge 1 cannot tell no position not known Ada 2026-05-01 09:30 A", page)


def test_a_mark_with_a_remark_says_it_and_looks_unlike_a_good_one(manager, send, mark):
    astray = mark(2)["target"] | {"number": 5}
    send(mark(1), mark(2, target=astray))
    page = manager.get(SITE)
    assert "paint point 5 lies" in text_of(page)
    square = page.text.split('id="bunker-square"')[1].split('id="bunker-')[0]
    assert (square.count('class="sprayed"'), square.count('class="doubtful"')) == (1, 1)


def test_the_newest_mark_of_a_point_says_how_it_looks(manager, send, mark):
    send(mark(1, verdict="outside"), mark(2, made_at="2026-05-01T11:00:00Z"))
    square = manager.get(SITE).text.split('id="bunker-square"')[1].split('id="bunker-')[0]
    assert (square.count('class="sprayed"'), square.count('class="doubtful"')) == (1, 0)


def test_practice_and_undone_marks_do_not_count(manager, send, mark):
    undo = {name: mark(1)[name] for name in ("site", "hole", "made_at", "person", "device", "practice")}
    send(
        mark(1), mark(2, practice=True), undo | {"id": mark(9)["id"], "kind": "undo", "undoes": mark(1)["id"]}
    )
    page = text_of(manager.get(SITE))
    assert "0 of 16 painted" in page
    assert "0 marks stand, 1 was taken back, and 1 record is practice" in page


def test_a_mark_of_a_practice_receiver_never_counts_whatever_it_says(manager, send, mark):
    answer = send(mark(1, receiver="practice phone-grade", practice=False)).json()
    assert "does not count" in answer["remarks"][0]["detail"]
    assert "0 of 16 painted" in text_of(manager.get(SITE))


def test_a_mark_of_another_revision_is_listed_as_still_good_or_to_re_mark_and_does_not_count(
    manager, send, mark
):
    on_the_line, off_it, of_no_line = mark(1), mark(2), mark(3)
    on_the_line["target"] |= {"revision": "@", "x": 1021.0, "y": 2199.95}
    off_it["target"] |= {"revision": "@", "x": 1021.0, "y": 2199.5}
    of_no_line["target"] |= {"revision": "0", "outline": "mound", "part": "mound foot"}
    send(on_the_line, off_it, of_no_line)
    page = text_of(manager.get(SITE))
    assert "0 of 16 painted" in page
    assert "@ – still good: 0.05 m from the line" in page
    assert "@ – re-mark: 0.50 m from the line" in page
    assert "0 – re-mark: no such line any more" in page
    assert "3 marks were made from older revisions: against A, 1 still good, 2 to re-mark." in page
    table = csv.DictReader(io.StringIO(manager.get(f"{SITE}/records.csv").text))
    assert [(row["now_revision"], row["now_state"], row["now_off_m"]) for row in table] == [
        ("A", "still good", "0.0500"),
        ("A", "re-mark", "0.5000"),
        ("A", "re-mark", ""),
    ]


def test_a_persons_name_cannot_write_into_the_page(manager, send, mark):
    send(mark(1, person="<script>alert(1)</script>"))
    page = manager.get(SITE)
    assert "<script>alert" not in page.text
    assert "&lt;script&gt;alert(1)" in page.text


def drawn_code(address):
    out = io.BytesIO()
    segno.make(address, error="m").save(out, kind="svg", border=2, scale=4, dark="#0d1a12", light="#ffffff")
    return out.getvalue()


def test_the_code_leads_to_the_phone_page_at_the_address_asked(manager):
    drawn = manager.get(f"{SITE}/set-out/square/qr.svg")
    assert drawn.headers["content-type"] == "image/svg+xml"
    assert drawn.content == drawn_code(f"http://127.0.0.1:8000{SITE}/set-out/square")
    assert "opens on this machine only" in manager.get(SITE).text


def test_behind_an_https_proxy_the_code_leads_to_https(make_app, visitor_to, token_of, settings):
    app = make_app(replace(settings, hosts=("course.example",), way=Way(behind_proxy=True)))
    crew = visitor_to(app, base="http://course.example", x_forwarded_proto="https")
    cookie = crew.enter(token_of("look", of=app)).headers["set-cookie"]
    assert "secure" in cookie.lower()
    drawn = crew.get(f"{SITE}/set-out/square/qr.svg", headers={"cookie": cookie.partition(";")[0]})
    assert drawn.content == drawn_code(f"https://course.example{SITE}/set-out/square")


def test_marks_of_a_bunker_that_is_gone_are_still_told(manager, send, mark):
    gone = mark(1)
    gone["target"]["bunker"] = "filled-in"
    send(gone)
    assert "1 mark is of bunkers that this site no longer has" in text_of(manager.get(SITE))


def test_the_phone_page_carries_no_inline_script(manager):
    page = manager.get(f"{SITE}/set-out/square")
    assert re.findall(r"<script(?![^>]*src=)", page.text) == []
    assert "style=" not in page.text


def test_a_site_or_bunker_that_is_not_there_gets_a_page_in_words(manager):
    for path in ("/sites/nowhere", f"{SITE}/set-out/pit"):
        page = manager.get(path, headers={"accept": "text/html"})
        assert page.status_code == 404
        assert "There is no" in page.text
        assert "To the sites" in page.text
