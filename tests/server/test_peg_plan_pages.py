"""The page of a peg plan: proposed, judged, kept as records, taken back."""

import json
import re

import pytest

from tests.field_records import batch_of, peg_document

PLAN = "/sites/small-links/bunkers/square/peg-plan"
ROWS = {
    "margin": "3", "standing": "yes",
    "peg-1": "square-a", "along-1": "-6", "offset-1": "-6",
    "peg-2": "square-b", "along-2": "-6", "offset-2": "6",
    "peg-3": "square-c", "along-3": "9.5", "offset-3": "0.5",
}  # fmt: skip


def text_of(page):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.text))


def fields_of(page):
    return dict(re.findall(r'name="((?:peg|along|offset)-\d)" value="([^"]*)"', page.text))


def field_pegs(visitor):
    bundle = visitor.get("/api/sites/small-links/holes/1/bundle").json()
    states = {report["peg"]: report["state"] for report in bundle["peg_reports"]}
    return {peg["id"]: (peg["x"], peg["y"], states[peg["id"]]) for peg in bundle["field_pegs"]}


def test_a_plan_is_proposed_that_ties_every_point_well(manager):
    page = manager.get(PLAN)
    assert page.status_code == 200
    assert "Every point is well tied" in page.text
    assert re.search(r'peg-figure">± \d\d mm<', page.text)
    fields = fields_of(page)
    assert [fields[f"peg-{row}"] for row in (1, 2, 3, 4)] == ["square-a", "square-b", "square-c", ""]
    assert 'name="margin" value="3.0"' in page.text


def test_what_is_proposed_comes_to_the_same_when_it_is_sent_back(manager):
    proposed = manager.get(PLAN)
    again = manager.get(PLAN, params=fields_of(proposed) | {"margin": "3.0", "standing": "yes"})
    figure = re.compile(r'peg-figure">([^<]+)<')
    assert figure.search(again.text)[1] == figure.search(proposed.text)[1]


def test_so_many_pegs_as_are_asked_for(manager):
    fields = fields_of(manager.get(PLAN, params={"count": "5", "margin": "6", "propose": "yes"}))
    assert [name for name, value in fields.items() if name.startswith("peg") and value] == [
        f"peg-{row}" for row in range(1, 6)
    ]


def test_a_moved_peg_changes_the_weakest_point_and_its_own_remarks(manager):
    page = manager.get(PLAN, params=ROWS | {"offset-2": "1", "along-2": "-2.5"})
    assert "square-b" in page.text
    assert "nearer to the dig than the margin" in page.text
    far = manager.get(
        PLAN, params=ROWS | {"along-1": "-60", "along-2": "-60", "peg-3": "", "along-3": "", "offset-3": ""}
    )
    assert "No point is in reach of two pegs" in text_of(far)


WRONG = {
    "a name of spaces": ({"peg-1": "a b"}, "&#39;a b&#39; is no name for a peg"),
    "no name": ({"peg-1": ""}, "&#39;&#39; is no name for a peg"),
    "a place in words": ({"along-1": "far"}, "&#39;far&#39; is no length for the way along of peg square-a"),
    "a place beyond the hole": ({"offset-1": "900"}, "give from -150 to 150 m"),
    "a margin in words": ({"margin": "lots"}, "&#39;lots&#39; is no length for the margin"),
    "a count of many": ({"count": "99"}, "&#39;99&#39; is no number of pegs; give from 1 to 8"),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_read_is_said_and_what_was_typed_stays(manager, name):
    changed, words = WRONG[name]
    page = manager.get(PLAN, params=ROWS | changed)
    assert page.status_code == 422
    assert words in page.text
    kept = manager.post(PLAN, data=ROWS | changed)
    assert (kept.status_code, words in kept.text) == (422, True)
    assert field_pegs(manager) == {}
    typed = fields_of(page)
    assert all(typed[field] == value for field, value in (ROWS | changed).items() if field in typed)


def test_a_kept_plan_is_peg_records_that_phones_are_given_as_planned(manager):
    answer = manager.post(PLAN, data=ROWS)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{PLAN}?done=kept")
    pegs = field_pegs(manager)
    assert {name: state for name, (_, _, state) in pegs.items()} == dict.fromkeys(
        ("square-a", "square-b", "square-c"), "planned"
    )
    page = manager.get(PLAN)
    assert "3 planned pegs are kept" in page.text
    shown = fields_of(page)
    assert {field: float(shown[field]) for field in ROWS if field[:5] in ("along", "offse")} == {
        field: float(value) for field, value in ROWS.items() if field[:5] in ("along", "offse")
    }


def test_keeping_another_plan_takes_the_place_of_the_first(manager):
    manager.post(PLAN, data=ROWS)
    manager.post(PLAN, data=ROWS | {"peg-3": "", "along-3": "", "offset-3": "", "along-1": "-7"})
    pegs = field_pegs(manager)
    assert sorted(pegs) == ["square-a", "square-b"]
    assert fields_of(manager.get(PLAN))["along-1"] == "-7.0"


def test_a_plan_is_taken_back_peg_by_peg_or_whole(manager):
    manager.post(PLAN, data=ROWS)
    ways = re.findall(rf'action="({PLAN}/[0-9a-f-]+/withdraw)"', manager.get(PLAN).text)
    assert len(ways) == 3
    assert manager.post(ways[1]).status_code == 303
    assert sorted(field_pegs(manager)) == ["square-a", "square-c"]
    assert manager.post(ways[1], headers={"accept": "text/html"}).status_code == 404
    assert manager.post(f"{PLAN}/withdraw").status_code == 303
    assert field_pegs(manager) == {}
    assert "The plan that is kept" not in manager.get(PLAN).text


def test_a_name_that_another_peg_has_is_refused_and_so_is_one_given_twice(manager):
    page = manager.post(PLAN, data=ROWS | {"peg-1": "c1"})
    assert (page.status_code, "A peg &#39;c1&#39; is there already" in page.text) == (422, True)
    page = manager.post(PLAN, data=ROWS | {"peg-1": "square-b"})
    assert (page.status_code, "Two planned pegs are called &#39;square-b&#39;" in page.text) == (422, True)
    assert field_pegs(manager) == {}


def test_a_name_that_cannot_be_is_said_when_the_plan_is_worked_out(manager):
    page = manager.get(PLAN, params=ROWS | {"peg-1": "c1", "peg-3": "square-b"})
    assert page.status_code == 422
    assert page.text.count("A peg &#39;c1&#39; is there already") == 1
    assert page.text.count("Two planned pegs are called &#39;square-b&#39;") == 1
    assert page.text.count('role="alert"') == 2


IN_THE_DIG = {"along-1": "0", "offset-1": "0"}


def test_a_peg_in_the_dig_is_the_headline_and_left_out_of_the_figures(manager):
    page = manager.get(PLAN, params=ROWS | IN_THE_DIG)
    assert page.status_code == 200
    assert "<h2>square-a stands in the dig</h2>" in page.text
    assert "well tied</h2>" not in page.text
    without = {field: value for field, value in ROWS.items() if not field.endswith("-1")}
    alone = manager.get(PLAN, params=without | {"peg-1": "", "along-1": "", "offset-1": ""})
    figure = re.search(r'peg-figure">([^<]+)<', alone.text)[1]
    assert f"{figure} at the weakest" in page.text, "what the other two come to"
    assert "<td>square-a" not in page.text, "no point is tied from it"
    assert page.text.count('class="peg peg-planned" data-row') == 3, "it is drawn, and can be dragged out"


def test_a_plan_with_a_peg_in_the_dig_is_not_kept(manager):
    answer = manager.post(PLAN, data=ROWS | IN_THE_DIG)
    assert answer.status_code == 422
    assert "The plan is not kept: square-a stands in the dig" in answer.text
    assert field_pegs(manager) == {}


def test_what_was_done_is_said_at_the_top(manager):
    kept = manager.get(manager.post(PLAN, data=ROWS).headers["location"])
    assert "Kept: 3 pegs, on the phones with their next signal." in kept.text
    one = re.search(rf'action="({PLAN}/[0-9a-f-]+/withdraw)"', kept.text)[1]
    fewer = manager.get(manager.post(one).headers["location"])
    assert "Taken back: 2 pegs of the plan still kept" in fewer.text
    none = manager.get(manager.post(f"{PLAN}/withdraw").headers["location"])
    assert "Taken back: no plan is kept now" in none.text
    assert 'role="status"' not in manager.get(f"{PLAN}?done=<b>").text


def test_a_driven_peg_is_no_longer_planned_and_is_counted_in(manager, send):
    manager.post(PLAN, data=ROWS)
    x, y, _ = field_pegs(manager)["square-a"]
    driven = peg_document(
        5100, peg="square-a", peg_kind="reference", state="new", x=x, y=y, within_m=0.05, placed_by="reading",
        made_at="2099-05-01T09:30:15.250Z", photos=[], note="",
    )  # fmt: skip
    assert send(driven).status_code == 200
    page = manager.get(PLAN)
    assert "2 planned pegs are kept" in page.text
    assert "Standing pegs counted in" in page.text
    assert "± 50 mm" in text_of(page)
    manager.post(f"{PLAN}/withdraw")
    assert sorted(field_pegs(manager)) == ["square-a"]


def test_who_may_only_look_sees_the_plan_and_no_button_to_keep_it(manager, let_in):
    manager.post(PLAN, data=ROWS)
    page = let_in("mark").get(PLAN)
    assert "Keep this plan" not in page.text
    assert "Take back" not in page.text
    assert "3 planned pegs are kept" in page.text
    assert let_in("plan").post(PLAN, data=ROWS).status_code == 303


def test_a_planner_kept_it_by_name(manager, let_in):
    let_in("plan", name="Kim <b>").post(PLAN, data=ROWS)
    assert "Kim &lt;b&gt;" in manager.get(PLAN).text
    rows = manager.get("/sites/small-links/records.csv").text
    assert rows.count("planned") >= 3
    assert "desk" in rows


def test_a_bunker_that_is_not_there_is_said_so(manager):
    for path in ("peg-plan", "ties", "baseline", "ties.csv"):
        assert manager.get(f"/sites/small-links/bunkers/9-left/{path}").status_code == 404
    assert manager.post("/sites/small-links/bunkers/9-left/peg-plan", data=ROWS).status_code == 404


PLANNED = {
    "peg": "p1",
    "peg_kind": "reference",
    "state": "planned",
    "x": 1010.0,
    "y": 2190.0,
    "placed_by": "plan",
}


def test_whoever_may_only_mark_plans_no_peg_and_loses_no_other_record(let_in, manager, send):
    phone = let_in()
    plan, found = peg_document(1, device="desk", **PLANNED), peg_document(2)
    answer = send(plan, found, visitor=phone).json()
    assert answer["stored"] == [found["id"]]
    assert [one["id"] for one in answer["refused"]] == [plan["id"]]
    assert "it plans peg 'p1'" in answer["refused"][0]["detail"]
    file = ("file", ("phone", json.dumps(batch_of(plan)).encode(), "application/json"))
    page = phone.post("/sites/small-links/hand-in", files=[file])
    assert "it plans peg &#39;p1&#39;" in page.text
    assert field_pegs(manager) == {}
    assert send(plan, visitor=let_in("plan")).json()["stored"] == [plan["id"]]
    assert sorted(field_pegs(manager)) == ["p1"]
