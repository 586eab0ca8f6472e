"""Drafts over HTTP: whoever comes second is told who changed what, and nothing is written over unseen."""

import copy
import json
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime

import pytest

from fieldapp.store.drafts import KeptDraft, add_draft, drafts_of, newest_draft
from fieldapp.store.sites import standing_version
from fieldapp.workflow.sites import load_text_in

SQUARE, EGG, NEW = (f"/api/sites/small-links/bunkers/{bunker}" for bunker in ("square", "egg", "new-1"))


def saved(visitor, draft, base, address=SQUARE, person="Alex", **headers):
    headers = {"if-match": base, **headers} if base else headers
    return visitor.ask("PUT", f"{address}/draft", json={"draft": draft, "person": person}, headers=headers)


def nudged(draft, index=0, by=0.42):
    after = copy.deepcopy(draft)
    after["outlines"][0]["points"][index][0] += by
    return after


@pytest.fixture
def drawn(manager):
    """The draft that the square's standing revision makes."""
    return manager.get(f"{SQUARE}/draft").json()["draft"]


def kept(app, bunker="square"):
    with app.state.store.reading() as transaction:
        return drafts_of(transaction, "small-links", bunker)


def test_a_draft_begins_as_the_revision_that_stands(manager):
    answer = manager.get(f"{SQUARE}/draft")
    assert answer.headers["etag"] == '"0"'
    told = answer.json()
    assert (told["number"], told["state"], told["made_at"], told["standing_revision"]) == (0, None, None, "A")
    assert told["remarks"] == []
    assert told["draft"]["from"] == {"revision": "A", "site_version": 1}
    assert [outline["points"] for outline in told["draft"]["outlines"]] == [
        [[1020, 2200], [1024, 2200], [1024, 2204], [1020, 2204]]
    ]


def test_a_bunker_placed_by_play_is_told_to_have_points_of_its_own_now(manager):
    told = manager.get(f"{EGG}/draft").json()
    assert "placed by play from the White tee" in told["remarks"][0]
    assert "was given as an ellipse" in told["remarks"][1]
    assert told["draft"]["outlines"][0]["curve"] == "smooth"


def test_a_save_is_what_is_had_next_and_the_same_again_adds_nothing(manager, app, drawn):
    first = saved(manager, nudged(drawn), '"0"')
    assert (first.status_code, first.headers["etag"]) == (200, '"1"')
    assert (first.json()["state"], first.json()["person"]) == ("open", "Alex")
    again = saved(manager, nudged(drawn), '"0"', person="Kim")
    assert (again.status_code, again.headers["etag"]) == (200, '"1"'), "its answer may have been lost"
    assert len(kept(app)) == 1
    had = manager.get(f"{SQUARE}/draft")
    assert had.json() == first.json()
    assert manager.get(f"{SQUARE}/draft", headers={"if-none-match": had.headers["etag"]}).status_code == 304


def test_what_another_revision_makes_is_never_said_to_be_had_already(manager, app, drawn):
    had = manager.get(f"{SQUARE}/draft")
    with app.state.store.writing() as transaction:
        text = standing_version(transaction, "small-links").document.replace(
            'revision = "A"', 'revision = "B"'
        )
        load_text_in(transaction, text, datetime.now(UTC), "a folder")
    again = manager.get(f"{SQUARE}/draft", headers={"if-none-match": had.headers["etag"]})
    assert (again.status_code, again.json()["standing_revision"]) == (200, "B")
    saved(manager, nudged(drawn), '"0"')
    told = manager.get(f"{SQUARE}/draft", headers={"if-none-match": '"1"'})
    assert told.json()["remarks"] == ["This draft was begun from revision A; revision B stands by now."]


def test_the_second_to_save_is_told_who_changed_what_and_gets_what_stands(manager, app, drawn):
    alex = nudged(nudged(drawn, 0), 1, 0.2)
    saved(manager, alex, '"0"')
    alex["plan"] = {
        "tee": "white",
        "reach_m": None,
        "carry_m": None,
        "along_m": 200.0,
        "offset_m": None,
        "tolerance_m": 1.0,
    }
    saved(manager, alex, '"1"')
    robin = copy.deepcopy(alex)
    robin["bunker"]["name"] = "Box"
    saved(manager, robin, '"2"', person="Robin")
    refused = saved(manager, nudged(drawn, 2), '"0"', person="Kim")
    assert refused.status_code == 412
    told = refused.json()
    assert told["changes"][0].startswith(
        "Alex moved 2 points of the sand edge (0.42 m at most) and gave the plan at "
    )
    assert told["changes"][1].startswith("Robin named it 'Box' at ")
    assert len(told["changes"]) == 2, "what Alex did in two saves is told once"
    assert told["detail"] == (
        f"{told['changes'][0]}; {told['changes'][1]}. "
        "Yours was made before that and is not saved: look at both and choose."
    )
    assert told["draft"] == robin
    assert told["number"] == 3
    assert told["type"].endswith("/problems/stale-error")
    assert len(kept(app)) == 3
    chosen = saved(manager, nudged(drawn, 2), f'"{told["number"]}"', person="Kim")
    assert chosen.status_code == 200


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 428),
        ({"if-none-match": '"9"'}, 428),
        ({"if-match": 'W/"1"'}, 412),
        ({"if-match": '"0", "1"'}, 200),
        ({"if-match": '"7", W/"1", "8"'}, 412),
        ({"if-match": "*"}, 200),
        ({"if-match": "1"}, 400),
        ({"if-match": '"1'}, 400),
        ({"if-match": ""}, 400),
        ({"if-none-match": "*"}, 412),
    ],
)
def test_the_standard_headers_are_taken_as_the_standard_has_it(manager, app, drawn, headers, status):
    saved(manager, nudged(drawn), '"0"')
    answer = saved(manager, nudged(drawn, 1), None, **headers)
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json" or status == 200
    assert len(kept(app)) == (2 if status == 200 else 1)


def test_of_some_at_the_same_moment_one_wins(app, visitor_to, drawn):
    for base in range(4):
        ready = threading.Barrier(4)

        def save(who, base=base, ready=ready):
            own = nudged(drawn, 0, 1.0 + 10 * base + who)
            ready.wait()
            return saved(visitor_to(app), own, f'"{base}"', person=f"P{who}").status_code, own

        with ThreadPoolExecutor(4) as threads:
            answers = list(threads.map(save, range(4)))
        assert sorted(code for code, _ in answers) == [200, 412, 412, 412]
        newest = kept(app)[0]
        assert newest.number == base + 1
        assert (
            json.loads(newest.document)["outlines"]
            == next(own for code, own in answers if code == 200)["outlines"]
        )


def test_a_bunker_that_never_stood_can_be_begun_and_given_up_and_begun_again(manager, app, drawn):
    assert manager.get(f"{NEW}/draft").status_code == 404
    begun = copy.deepcopy(drawn)
    begun["bunker"] |= {"id": "new-1", "name": "New"}
    begun["from"] = {"revision": None, "site_version": None}
    assert saved(manager, begun, '"4"', NEW).status_code == 412
    assert saved(manager, begun, None, NEW, **{"if-none-match": "*"}).status_code == 200
    late = saved(manager, nudged(begun), '"0"', NEW, person="Kim")
    assert late.status_code == 412
    assert late.json()["changes"][0].startswith("Alex began it as a new bunker at ")
    assert manager.post(f"{NEW}/draft/give-up", json={"person": "Kim"}).status_code == 428
    over = manager.post(f"{NEW}/draft/give-up", json={"person": "Kim"}, headers={"if-match": '"1"'})
    assert (over.status_code, over.json()["state"], over.headers["etag"]) == (200, "given up", '"2"')
    assert (
        manager.post(f"{NEW}/draft/give-up", json={"person": "Kim"}, headers={"if-match": '"2"'}).status_code
        == 409
    )
    assert manager.get(f"{NEW}/draft").status_code == 404
    stale = saved(manager, nudged(begun), '"1"', NEW)
    assert stale.json()["changes"][0].startswith("Kim gave the draft up at ")
    assert stale.json()["draft"] == begun
    assert saved(manager, nudged(begun), '"0"', NEW).headers["etag"] == '"3"'
    told = manager.get(f"{NEW}/drafts").json()["drafts"]
    assert [(one["number"], one["state"], one["person"], one["changes"]) for one in told] == [
        (3, "open", "Alex", ["began it as a new bunker"]),
        (2, "given up", "Kim", ["gave the draft up"]),
        (1, "open", "Alex", ["began it as a new bunker"]),
    ]
    assert manager.get(f"{NEW}/drafts/1").json()["draft"] == begun
    assert manager.get(f"{NEW}/drafts/9").status_code == 404


def test_after_an_issue_the_draft_begins_anew_and_its_saves_stay(manager, app, drawn):
    saved(manager, nudged(drawn), '"0"')
    with app.state.store.writing() as transaction:
        newest = newest_draft(transaction, "small-links", "square")
        add_draft(transaction, KeptDraft(**{**vars(newest), "number": 2, "state": "issued", "person": "Kim"}))
    told = manager.get(f"{SQUARE}/draft").json()
    assert (told["number"], told["state"], told["draft"]) == (2, "issued", drawn)
    late = saved(manager, nudged(drawn, 3), '"1"')
    assert late.json()["changes"][0].startswith("Kim issued it at ")
    assert saved(manager, nudged(drawn, 3), '"2"').status_code == 200
    told = manager.get(f"{SQUARE}/drafts").json()["drafts"]
    assert [one["changes"] for one in told] == [
        ["moved 1 point of the sand edge (0.42 m)"], ["issued it"], ["moved 1 point of the sand edge (0.42 m)"],
    ]  # fmt: skip
    assert [
        one["number"] for one in manager.get(f"{SQUARE}/drafts", params={"before": 3}).json()["drafts"]
    ] == [2, 1]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            lambda body: body["draft"]["bunker"].update(id="egg"),
            "is of bunker 'egg', and was sent as one of 'square'",
        ),
        (
            lambda body: body["draft"]["bunker"].update(hole=9),
            "for hole 9, which site 'small-links' has not; it has 1",
        ),
        (lambda body: body["draft"]["outlines"][0].update(part="bank"), "'part' is 'bank'"),
        (lambda body: body["draft"]["outlines"][0].update(id="sand edge"), "cannot have the id 'sand edge'"),
        (lambda body: body.pop("draft"), "This is no draft of a bunker"),
        (lambda body: body.update(person=""), "Type your name"),
        (lambda body: body.update(person=7), "'person' must be text"),
    ],
)
def test_what_cannot_be_kept_is_told_and_nothing_is_kept(manager, app, drawn, change, words):
    body = {"draft": drawn, "person": "Alex"}
    change(body)
    answer = manager.ask("PUT", f"{SQUARE}/draft", json=body, headers={"if-match": '"0"'})
    assert answer.status_code == 422
    assert words in answer.json()["detail"]
    assert kept(app) == []


def test_an_id_that_no_address_can_hold_is_refused(manager, drawn):
    drawn["bunker"]["id"] = "a b"
    answer = saved(manager, drawn, '"0"', "/api/sites/small-links/bunkers/a%20b")
    assert answer.status_code == 422
    assert "use up to 48 letters" in answer.json()["detail"]


def test_a_person_s_link_signs_by_its_name(let_in, drawn):
    answer = saved(let_in("plan", name="Ada"), nudged(drawn), '"0"', person="Somebody else")
    assert answer.json()["person"] == "Ada"


def check(manager, draft, **params):
    return manager.post(f"{SQUARE}/draft/check", json=draft, params=params).json()


def test_a_check_measures_and_keeps_nothing(manager, app, drawn):
    told = check(manager, drawn, tee="white")
    assert told["faults"] == []
    figures = told["figures"]
    assert figures["area_m2"] == pytest.approx(16.0, abs=1e-3)
    assert figures["perimeter_m"] == pytest.approx(16.0, abs=1e-3)
    assert figures["long_axis_m"] == pytest.approx(4.0, abs=1e-3)
    assert figures["middle"] == pytest.approx([1022, 2202])
    assert figures["along_m"] == pytest.approx((22 * 10 + 202 * 350) / (10**2 + 350**2) ** 0.5, abs=0.001)
    assert figures["reach_m"] < figures["carry_m"]
    assert figures["nearest_peg"]["id"] == "c1"
    assert figures["nearest_peg"]["distance_m"] == pytest.approx(192.35, abs=0.01)
    assert figures["clearances"] == []
    assert check(manager, {"draft": drawn}, tee="white") == told
    assert kept(app) == []


def broken(draft, **changes):
    after = copy.deepcopy(draft)
    after["outlines"][0].update(changes)
    return after


@pytest.mark.parametrize(
    ("changes", "words", "is_measured"),
    [
        ({"points": [[0, 0], [4, 4], [4, 0], [0, 4]]}, "The sand edge 'sand': The outline crosses", False),
        ({"points": [[0, 0], [4, 4]]}, "'sand': A closed outline needs at least 3 different", False),
        ({"points": [[0, 0], [0, 1500], [9, 0]]}, "The outline is 3.0 km long; one that is drawn here", False),
        ({"part": "swale"}, "It has no sand edge; draw one", True),
        ({"points": [[9e6, 0], [9e6, 4], [9e6 + 4, 4]]}, "km from the middle of the site", True),
    ],
)  # fmt: skip
def test_a_check_tells_every_fault(manager, drawn, changes, words, is_measured):
    told = check(manager, broken(drawn, **changes))
    assert any(words in fault for fault in told["faults"]), told["faults"]
    assert (told["figures"] is not None) is is_measured


def test_a_check_tells_that_of_two_sand_edges_one_is_measured(manager, drawn):
    told = check(manager, drawn)
    other = copy.deepcopy(drawn["outlines"][0]) | {"id": "sand-2"}
    other["points"] = [[x + 12, y] for x, y in other["points"]]
    two = check(manager, drawn | {"outlines": [*drawn["outlines"], other]})
    assert told["remark"] == ""
    assert two["remark"].startswith(
        "It has two sand edges; reach, carry, area and middle are of the first, 'sand'"
    )
    assert two["figures"]["area_m2"] == told["figures"]["area_m2"]


def test_a_check_tells_faults_together(manager, drawn):
    drawn["plan"] = {"tee": "blue", "tolerance_m": 1.0}
    drawn["outlines"][0]["points"] = [[0, 0], [1, 1]]
    told = check(manager, drawn, tee="red")
    assert [fault[:24] for fault in told["faults"]] == [
        "There is no tee 'red' on", "There is no tee 'blue' o", "The sand edge 'sand': A ",
    ]  # fmt: skip
    drawn["outlines"] = []
    assert "Nothing is drawn yet; begin with the sand edge." in check(manager, drawn)["faults"]


def test_an_outline_is_offset_in_ground_metres(manager, drawn):
    body = {"outline": drawn["outlines"][0], "by_m": -1.0, "part": "face foot", "hole": 1}
    made = manager.post("/api/sites/small-links/outline/offset", json=body).json()
    assert made["outline"]["part"] == "face foot"
    assert {tuple(point) for point in made["outline"]["points"]} == {
        (1021, 2201),
        (1021, 2203),
        (1023, 2203),
        (1023, 2201),
    }
    assert made["off_m"] < 0.005
    gone = manager.post("/api/sites/small-links/outline/offset", json=body | {"by_m": -2.5})
    assert (gone.status_code, gone.json()["detail"][:15]) == (422, "Nothing is left")
    assert manager.post("/api/sites/small-links/outline/offset", json=body | {"hole": 5}).status_code == 404


def begun(bunker, hole):
    of = {"id": bunker, "hole": hole, "name": "New", "note": "", "floor_level_m": None}
    grown = {"revision": None, "site_version": None}
    plain = {"format": "fieldapp-draft", "version": 1, "outlines": [], "plan": None}
    return {**plain, "bunker": of, "from": grown}


@pytest.mark.parametrize("base", ['"0"', '"1"', "*"])
def test_a_new_bunker_cannot_take_the_short_name_of_one_on_another_hole(manager, app, second_hole, base):
    assert saved(manager, begun("new-1", 2), '"0"', NEW).status_code == 200
    for draft, address, home in ((begun("square", 2), SQUARE, 1), (begun("new-1", 1), NEW, 2)):
        name = draft["bunker"]["id"]
        before = kept(app, name)
        answer = saved(manager, draft, base, address)
        words = f"Bunker '{name}' is on hole {home}; give the new one another short name."
        assert (answer.status_code, answer.json()["detail"]) == (422, words)
        assert kept(app, name) == before
    boards = [manager.get(f"/api/sites/small-links/holes/{hole}/board").json() for hole in (1, 2)]
    assert [board["taken"] for board in boards] == [["new-1"], ["egg", "square"]]
    assert saved(manager, begun("new-1", 2), '"1"', NEW).status_code == 200
