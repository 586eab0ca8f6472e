"""A draft issued at the desk: looked at against what stands, acknowledged, refused, and told to everybody."""

import html
import json
import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fieldapp.store.drafts import newest_draft
from fieldapp.store.issues import issues_of
from fieldapp.workflow.sites import load_site
from tests.bunker_drafts import SQUARE, draft_of, moved, save
from tests.field_records import mark_document
from tests.server.conftest import SMALL_SITE

SITE = "/sites/small-links"
PAGE = f"{SITE}/bunkers/square/issue"
BOARD = f"{SITE}/holes/1/board?bunker=square"
REVISIONS = f"{SITE}/bunkers/square/revisions"
SINCE = "/api/sites/small-links/records?hole=1"
DRAIN = """
[[keep_clear]]
id = "drain-1"
kind = "drain"
name = "Clay drain"
extent = "line"
points = [[1026.0, 2190.0], [1026.0, 2210.0]]
clearance_m = 1.5
note = "As drawn in the wet winter."
"""


def words_of(answer):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def value_of(answer, name):
    return html.unescape(re.search(rf'name="{name}"[^>]*value="([^"]*)"', answer.text)[1])


@pytest.fixture
def drain(app, settings, tmp_path):
    """The site with a drain two metres east of the square bunker."""
    text = (SMALL_SITE / "site.toml").read_text() + DRAIN
    folder = tmp_path / "with-drain"
    folder.mkdir()
    (folder / "site.toml").write_text(text)
    load_site(app.state.store, folder, datetime.now(UTC))


@pytest.fixture
def draft(app):
    """Saves a draft of the square bunker, so many metres further east, and gives its number."""

    def saved(east_m=1.0, grew_from="A", **more):
        return save(
            app.state.store, "small-links", draft_of(moved(SQUARE, east_m), grew_from=grew_from), **more
        )

    return saved


def form(number=1, revision="B", **more):
    return {
        "data": {"draft": str(number), "revision": revision, "why": "the drain", "name": "Kim  Green"} | more
    }


def test_the_page_shows_both_lines_the_figures_and_what_becomes_of_the_points(draft, manager):
    draft()
    page = manager.get(PAGE)
    told = words_of(page)
    assert page.status_code == 200
    assert "Issue Square" in told
    assert (
        "Hole 1, First: draft 1, saved by Ada at 2026-06-01 07:30 UTC, against revision A, which stands."
        in told
    )
    assert 'class="outline-before"' in page.text
    assert "revision A, dashed" in told
    assert re.search(r"Of the paint points \d+ moves? by more than 0\.10 m, .* within 0\.10 m\.", told)
    assert re.search(r"middle, off the line of play 17\.7 yd right 18\.8 yd right 1\.1 yd right", told)
    assert value_of(page, "revision") == "B"
    assert value_of(page, "draft") == "1"
    assert "too near" not in told


def test_a_second_sand_edge_is_told_beside_the_figures_and_issued_all_the_same(app, draft, manager):
    draft()
    assert "sand edges" not in manager.get(PAGE).text
    one = draft_of(SQUARE)
    (sand,) = one.bunker.outlines
    (other,) = draft_of(moved(SQUARE, 12.0)).bunker.outlines
    both = (sand, replace(other, id="sand-2"))
    save(app.state.store, "small-links", replace(one, bunker=replace(one.bunker, outlines=both)))
    assert (
        "It has two sand edges; reach, carry, area and middle are of the first, 'sand', alone. Make the other a "
        "bunker of its own, or another part."
    ) in words_of(manager.get(PAGE))
    assert manager.post(PAGE, **form(number=2)).status_code == 303


def test_two_outlines_of_one_part_are_told_apart_wherever_they_are_listed(app, draft, manager, send):
    one = draft_of(SQUARE)
    (sand,) = one.bunker.outlines
    (other,) = draft_of(moved(SQUARE, 12.0)).bunker.outlines
    both = replace(one, bunker=replace(one.bunker, outlines=(sand, replace(other, id="rim-2"))))
    save(app.state.store, "small-links", both)
    called = ["sand edge 'sand'", "sand edge 'rim-2'"]
    assert all(words in words_of(manager.get(PAGE)) for words in called)
    assert manager.post(PAGE, **form()).status_code == 303
    send(
        mark_document(1, target=target(1020.0, 2200.0, revision="B")),
        mark_document(2, target=target(1032.0, 2200.0, revision="B", outline="rim-2")),
    )
    site = manager.get(SITE)
    for words in called:
        listed = html.escape(words).replace("&#x27;", "&#39;")
        assert f'<th scope="row">{listed}</th>' in site.text
        assert f"<td>{listed}</td>" in site.text
    save(app.state.store, "small-links", draft_of(SQUARE, grew_from="B"))
    assert manager.post(PAGE, **form(number=3, revision="C")).status_code == 303
    told = words_of(manager.get(REVISIONS))
    assert "B sand edge 'sand' 1 still good" in told
    assert "B sand edge 'rim-2' 1 re-mark" in told
    assert "B sand edge 1" not in told
    lines = manager.get(f"{REVISIONS}.csv?old=B&new=C").text.splitlines()[1:]
    assert {line.split(",")[0] for line in lines} == set(called)


def test_what_it_comes_too_near_to_is_ticked_one_by_one_with_the_words_for_services(
    app, draft, drain, manager
):
    draft()
    page = manager.get(PAGE)
    told = "Clay drain (drain drain-1): 1.00 m away, 1.50 m to be kept clear"
    assert told in words_of(page)
    assert "As drawn in the wet winter." in words_of(page)
    assert "A drawing is not a detection: have services located before digging." in words_of(page)
    refused = manager.post(PAGE, **form())
    assert refused.status_code == 409
    assert "Not every nearness is acknowledged" in words_of(refused)
    assert re.search(r"<textarea[^>]*>the drain</textarea>", refused.text)
    assert value_of(refused, "name") == "Kim  Green"
    assert "checked" not in refused.text
    stale = manager.post(PAGE, **form(**{"near-drain-1": told.replace("1.00", "1.20")}))
    assert stale.status_code == 409
    ticked = manager.post(PAGE, **form(revision="A", **{"near-drain-1": told}))
    assert ticked.status_code == 409
    assert 'name="near-drain-1"' in ticked.text
    assert "checked" in ticked.text, "a tick stays where something else is refused"
    assert manager.post(PAGE, **form(**{"near-drain-1": told})).status_code == 303
    assert told in words_of(manager.get(REVISIONS))


def test_once_issued_it_stands_with_date_who_and_why_and_is_compared_with_the_one_before(draft, manager):
    draft()
    done = manager.post(PAGE, **form())
    assert (done.status_code, done.headers["location"]) == (303, f"{REVISIONS}?old=A&new=B")
    told = words_of(manager.get(done.headers["location"]))
    assert "Revision B stands." in told
    assert re.search(r"B \(stands\) \d{4}-\d\d-\d\d \d\d:\d\d Kim Green the drain draft 1 –", told)
    assert re.search(r"A \d{4}-\d\d-\d\d \d\d:\d\d – – the site's folder", told)
    site = words_of(manager.get(SITE))
    assert re.search(
        r"Revision B, issued \d{4}-\d\d-\d\d \d\d:\d\d UTC by Kim Green, from draft 1\. the drain", site
    )
    assert "Revision A came with the site's folder." in site, "of the other bunker"


def test_a_draft_saved_meanwhile_is_shown_and_nothing_that_was_typed_is_lost(app, draft, manager):
    draft()
    draft(east_m=2.0, person="Lee")
    answer = manager.post(PAGE, **form(why="a word & more"))
    told = words_of(answer)
    assert answer.status_code == 409
    assert "Lee saved the draft since you opened this page: it is number 2 now, you looked at 1." in told
    assert value_of(answer, "draft") == "2"
    assert "a word &amp; more</textarea>" in answer.text
    assert manager.post(PAGE, **form(2)).status_code == 303


def test_a_letter_that_was_used_is_refused_and_the_next_named(draft, manager):
    draft()
    answer = manager.post(PAGE, **form(revision="a"))
    assert answer.status_code == 409
    assert "This bunker had a revision A already; the next one free is B." in words_of(answer)
    assert value_of(answer, "revision") == "a"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"why": "  "}, "Say why"),
        ({"name": " "}, "Type your name"),
        ({"revision": "B, I think"}, "is no revision"),
        ({"draft": "the first"}, "it is number 1 now, you looked at 0"),
    ],
)
def test_what_is_not_said_or_cannot_be_read_is_asked_for(app, draft, manager, changes, words):
    draft()
    answer = manager.post(PAGE, **form(**changes))
    assert answer.status_code in (409, 422)
    assert words in words_of(answer)
    with app.state.store.reading() as transaction:
        assert issues_of(transaction, "small-links") == ()


def test_over_another_revision_it_is_issued_only_where_that_is_ticked(draft, manager):
    draft()
    manager.post(PAGE, **form())
    number = draft(east_m=3.0, grew_from="A")
    page = manager.get(PAGE)
    assert "This draft grew from revision A, and revision B stands now" in words_of(page)
    refused = manager.post(PAGE, **form(number, "C"))
    assert refused.status_code == 409
    assert "Issue it over revision B" in words_of(refused)
    stale = manager.post(PAGE, **form(number, "C", over="B"))
    assert "What stands was changed again since you looked at it. This draft grew" in words_of(stale)
    assert "checked" not in stale.text
    over = value_of(stale, "over")
    kept = manager.post(PAGE, **form(number, "A", over=over))
    assert "checked" in kept.text, "a tick stays where something else is refused"
    assert manager.post(PAGE, **form(number, "C", over=over)).status_code == 303


def test_of_two_who_had_the_page_open_one_wins_and_the_other_keeps_the_words(app, draft, manager):
    draft()
    assert manager.post(PAGE, **form()).status_code == 303
    late = manager.post(PAGE, **form(why="because of the wet corner", revision="Q"))
    assert late.status_code == 409
    assert "was issued by Kim Green" in words_of(late)
    assert "Nothing was issued." in words_of(late)
    assert "because of the wet corner" in words_of(late)
    with app.state.store.reading() as transaction:
        assert [issue.revision for issue in issues_of(transaction, "small-links")] == ["B"]
        assert newest_draft(transaction, "small-links", "square").state == "issued"
    gone = manager.get(PAGE)
    assert gone.status_code == 200
    assert "Nothing to issue" in words_of(gone)
    assert f'href="{BOARD}"' in gone.text
    assert f'href="{SITE}/bunkers/square/revisions"' in gone.text


def test_a_new_bunker_is_issued_first_and_has_nothing_to_compare_with(app, manager):
    places = [(1050.0, 2100.0), (1056.0, 2100.0), (1053.0, 2106.0)]
    save(app.state.store, "small-links", draft_of(places, "fresh", name="Fresh <one>", grew_from=None))
    path = f"{SITE}/bunkers/fresh/issue"
    assert f'href="{path}"' in manager.get(SITE).text
    page = manager.get(path)
    assert value_of(page, "revision") == "A"
    assert "Fresh &lt;one&gt;" in page.text
    done = manager.post(path, **form(revision="A"))
    assert done.headers["location"] == f"{SITE}/bunkers/fresh/revisions"
    assert "There is one revision only" in words_of(manager.get(done.headers["location"]))
    assert path not in manager.get(SITE).text


def test_a_draft_that_makes_no_bunker_says_why_and_offers_no_form(app, manager):
    crossing = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]
    save(app.state.store, "small-links", draft_of(crossing))
    page = manager.get(PAGE)
    assert "This draft cannot be issued." in words_of(page)
    assert "The outline crosses or touches itself near x 1022.00, y 2202.00" in words_of(page)
    assert "<form" not in page.text
    assert manager.post(PAGE, **form()).status_code == 409


def test_a_planner_is_led_to_an_open_draft_and_issues_in_the_name_on_the_link(app, draft, let_in, manager):
    number = draft()
    planner, crew = let_in("plan", name="Robin"), let_in("mark")
    assert f'href="{PAGE}"' in planner.get(SITE).text
    assert f"Issue draft {number}" in words_of(planner.get(REVISIONS))
    assert PAGE not in crew.get(SITE).text + crew.get(REVISIONS).text
    assert crew.get(PAGE).status_code == 403
    assert 'name="name"' not in planner.get(PAGE).text
    planner.post(PAGE, **form(name="Somebody else"))
    assert "by Robin, from draft 1" in words_of(manager.get(SITE))


def test_phones_are_told_with_the_marks_since_and_with_every_receipt(draft, manager, send, mark):
    assert manager.get(SINCE).json()["revisions"] == {"square": "A", "egg": "A"}
    draft()
    manager.post(PAGE, **form())
    told = manager.get(SINCE).json()
    assert told["revisions"] == {"square": "B", "egg": "A"}
    receipt = send(mark(1)).json()
    assert receipt["stored"] == [mark(1)["id"]]
    assert receipt["revisions"] == {"square": "B", "egg": "A"}
    assert "superseded by 'B'" in receipt["remarks"][0]["detail"]
    index = manager.get("/api/sites/small-links/field").json()
    assert [bunker["revision"] for bunker in index["holes"][0]["bunkers"]] == ["B", "A"]


def test_two_revisions_are_compared_and_marks_of_the_older_told_apart(draft, manager, send):
    send(
        *(
            mark_document(n, target=target(x, y))
            for n, (x, y) in enumerate([(1022.0, 2200.0), (1020.0, 2202.0)], 1)
        )
    )
    draft()
    manager.post(PAGE, **form())
    page = manager.get(REVISIONS)
    told = words_of(page)
    assert "2 marks were made from older revisions: against B, 1 still good, 1 to re-mark." in told
    assert "A sand edge 1 still good 0.00 m Ada" in told
    assert "A sand edge 1 re-mark 1.00 m Ada" in told
    both = manager.get(f"{REVISIONS}?old=B&new=A")
    assert "revision B, dashed" in words_of(both)
    wrong = manager.get(f"{REVISIONS}?old=Q&new=A")
    assert wrong.status_code == 422
    assert "never had a revision 'Q'; it had A, B" in words_of(wrong)
    same = manager.get(f"{REVISIONS}?old=A&new=A")
    assert "Both are revision A" in words_of(same)
    lines = manager.get(f"{REVISIONS}.csv?old=A&new=B").text.lstrip("\ufeff").splitlines()
    assert lines[0].startswith("part,old_revision,old_number,new_revision,new_number,fate,moved_m")
    assert len(lines) == 1 + int(re.search(r"(\d+) paint points, one by one", told)[1])
    fates = {line.split(",")[5] for line in lines[1:]}
    assert fates <= {"moved", "unmoved", "appears", "disappears"}
    assert manager.get(f"{REVISIONS}.csv?old=A&new=A").status_code == 422
    assert manager.get(f"{SITE}/bunkers/nowhere/revisions").status_code == 404
    assert manager.get(f"{SITE}/bunkers/nowhere/issue").status_code == 404


def test_marks_of_a_bunker_that_the_plan_has_no_more_are_told_and_count_for_nothing(
    app, manager, send, tmp_path
):
    from tests.server.conftest import SMALL_SITE

    send(mark_document(1, target=target(1022.0, 2200.0)))
    before, rest = (SMALL_SITE / "site.toml").read_text().split('[[bunker]]\nid = "square"')
    (tmp_path / "site.toml").write_text(before + rest[rest.index("[[bunker]]") :])
    load_site(app.state.store, tmp_path, datetime.now(UTC), ["square"])
    site = manager.get(SITE)
    assert f'href="{REVISIONS}"' in site.text
    assert "Square 1 mark made, but it is in the plan no more" in words_of(site)
    told = words_of(manager.get(REVISIONS))
    assert "1 mark was made; the plan has this bunker no more, so none of its paint counts." in told
    assert "A sand edge 1 not in the plan – Ada" in told
    assert manager.get(f"{SITE}/records.csv").text.splitlines()[1].endswith(",,not in the plan,")


def test_pages_of_a_bunker_lead_to_its_drawing_board(draft, manager):
    draft()
    for path in (SITE, f"{SITE}/holes/1", PAGE, REVISIONS, f"{SITE}/bunkers/square/set-out-sheet"):
        assert f'href="{BOARD}"' in manager.get(path).text, path
    for path in (f"{SITE}/holes/1/keep-clear", f"{SITE}/backdrops"):
        assert f'href="{SITE}/holes/1/board"' in manager.get(path).text, path


def target(x, y, **more):
    named = {"bunker": "square", "outline": "sand", "part": "sand edge", "number": 1, "revision": "A"}
    return {**named, "x": x, "y": y, **more}


def test_a_capture_that_was_confirmed_is_listed_with_its_page(send, manager):
    from tests.field_records import capture_document, record_id

    send(capture_document())
    manager.post(f"{SITE}/captures/{record_id(3001)}/confirm", data={"name": "Kim"})
    page = manager.get(REVISIONS)
    assert "what was captured on the ground" in words_of(page)
    assert f'href="{SITE}/captures/{record_id(3001)}"' in page.text


def test_very_many_things_too_near_can_all_be_acknowledged(app, manager, tmp_path):
    heads = "".join(
        f'\n[[keep_clear]]\nid = "head-{n}"\nkind = "irrigation"\nname = "Sprinkler head number {n}"\n'
        f'extent = "point"\npoints = [[{1019.0 + n * 0.05}, 2199.0]]\nclearance_m = 3.0\n'
        for n in range(120)
    )
    folder = tmp_path / "many"
    folder.mkdir()
    (folder / "site.toml").write_text((SMALL_SITE / "site.toml").read_text() + heads)
    load_site(app.state.store, folder, datetime.now(UTC))
    save(app.state.store, "small-links", draft_of(moved(SQUARE, 1.0)))
    page = manager.get(PAGE)
    ticks = {
        name: html.unescape(value)
        for name, value in re.findall(r'name="(near-[^"]+)" value="([^"]+)"', page.text)
    }
    assert len(ticks) == 120
    assert manager.post(PAGE, **form(**ticks)).status_code == 303
    assert json.dumps(sorted(ticks.values())[0])[1:-1] in words_of(manager.get(REVISIONS))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("origin_lat_deg = 57.2", "origin_lat_deg = 57.20001", "lie up to 1.11 m from where they lay here"),
        ("x = 990.0", "x = 989.0", ""),
    ],
)
def test_a_grid_that_moved_between_two_revisions_is_told_with_how_far(
    app, manager, tmp_path, old, new, words
):
    text = (SMALL_SITE / "site.toml").read_text()
    (tmp_path / "site.toml").write_text(text.replace(old, new).replace('revision = "A"', 'revision = "B"'))
    load_site(app.state.store, tmp_path, datetime.now(UTC))
    told = words_of(manager.get(REVISIONS))
    assert "Of the paint points 16 stay" in told
    assert ("course grid was changed" in told) is bool(words)
    assert words in told
