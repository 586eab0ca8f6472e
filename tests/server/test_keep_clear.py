"""What to keep clear of: had and put by programs, typed on its page, told wherever a bunker comes too near."""

import html
import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.errors import ConflictError
from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.formats.site_folder import load_site as read_folder
from fieldapp.formats.site_folder import save_site
from fieldapp.store.sites import versions
from fieldapp.workflow.sites import load_site, standing_site
from tests.server.conftest import SMALL_SITE

API = "/api/sites/small-links/keep-clear"
PAGE = "/sites/small-links/holes/1/keep-clear"
SAMPLES = Path(__file__).parents[2] / "sample_sites"
DRAIN = {
    "id": "drain-1", "kind": "drain", "name": "Clay drain", "extent": "line",
    "points": [[1018.0, 2190.0], [1018.5, 2210.0]], "clearance_m": 3.0, "note": "",
}  # fmt: skip
TYPED = {
    "kind": "cable", "name": "Pump cable", "extent": "line", "clearance": "1.5", "way": "xy",
    "points": "1030, 2190\n1030.5; 2210", "note": "", "person": "Alex",
}  # fmt: skip


def put(visitor, things, base="*", person="Alex"):
    body = {"keep_clear": things, "person": person}
    return visitor.ask("PUT", API, json=body, headers={"if-match": base} if base else {})


def words_of(answer):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.text)).split()).replace("\u00a0", " ")


def standing(app):
    return standing_site(app.state.store, "small-links")


def typed(manager, app, **changes):
    form = {**TYPED, "version": str(standing(app).sequence), **changes}
    return manager.post(PAGE, data=form)


def test_what_is_put_stands_is_kept_with_who_and_changes_nothing_else(manager, app):
    before = standing(app)
    assert manager.get(API).json()["keep_clear"] == []
    done = put(manager, [DRAIN], f'"{before.sequence}"')
    assert done.status_code == 200
    assert done.json()["keep_clear"] == [DRAIN | {"is_service": True}]
    assert done.json()["caution"] == LOCATE_FIRST
    after = standing(app)
    assert done.headers["etag"] == f'"{after.sequence}"'
    assert replace(after.site, keep_clear=()) == before.site
    with app.state.store.reading() as transaction:
        assert versions(transaction, "small-links")[0].loaded_from == "what to keep clear of, changed by Alex"
    assert manager.get(API, headers={"if-none-match": done.headers["etag"]}).status_code == 304
    assert put(manager, [DRAIN], done.headers["etag"]).headers["etag"] == done.headers["etag"], (
        "the same again"
    )
    assert put(manager, [DRAIN], None).status_code == 428


def test_the_second_to_put_is_told_who_changed_what(manager, app):
    base = f'"{standing(app).sequence}"'
    put(manager, [DRAIN], base)
    put(manager, [DRAIN | {"clearance_m": 2.0}, DRAIN | {"id": "d2", "name": ""}], person="Robin")
    late = put(manager, [], base, "Kim")
    assert late.status_code == 412
    first, second = late.json()["changes"]
    assert first.startswith("Alex added the drain 'Clay drain' at ")
    assert second.startswith("Robin changed the drain 'Clay drain' and added the drain 'd2' at ")
    assert late.json()["detail"].endswith("Yours is not kept: look at what stands now and choose.")
    assert len(standing(app).site.keep_clear) == 2
    assert put(manager, [], f'"{late.json()["version"]}"', "Kim").status_code == 200


def test_another_version_of_the_site_with_the_same_things_is_no_hindrance(manager, app, tmp_path):
    base = f'"{standing(app).sequence}"'
    site = read_folder(SMALL_SITE)
    save_site(replace(site, note="Another note."), tmp_path / "other")
    load_site(app.state.store, tmp_path / "other", datetime.now(UTC))
    assert f'"{standing(app).sequence}"' != base
    assert put(manager, [DRAIN], base).status_code == 200
    assert standing(app).site.note == "Another note."


@pytest.mark.parametrize(
    ("things", "words"),
    [
        ("none", "'keep_clear' must be a list"),
        ([DRAIN | {"kind": "gas"}], "thing 1: 'kind' is 'gas'; it must be one of irrigation, drain"),
        ([DRAIN, DRAIN], "drain-1"),
        ([DRAIN | {"points": [[0, 0]]}], "the line has 1 different places of the 2 it needs"),
        ([DRAIN | {"points": [[1018.0, 2190.0, 1]]}], "every point must be [x, y]"),
        ([DRAIN | {"points": [["x", 0]]}], "'x' must be a number"),
        ([DRAIN | {"points": [[1e8, 0], [1e8, 9]]}], "km from the middle of the site"),
        ([DRAIN | {"id": "a b"}], "cannot stand in an address"),
        ([DRAIN | {"clearance_m": 500}], "500"),
        ([DRAIN | {"extent": "area", "points": [[0, 0], [9, 9], [9, 0], [0, 9]]}], "crosses itself"),
    ],
)  # fmt: skip
def test_what_a_site_cannot_have_is_told_in_words(manager, app, things, words):
    before = standing(app).sequence
    answer = put(manager, things)
    assert answer.status_code == 422
    assert words in answer.json()["detail"]
    assert standing(app).sequence == before


def test_a_folder_of_before_the_change_does_not_undo_it(manager, app, tmp_path):
    put(manager, [DRAIN | {"name": "Once more"}])
    put(manager, [DRAIN])
    with pytest.raises(
        ConflictError, match=r"as it was before Alex changed it here; write the standing site out"
    ):
        load_site(app.state.store, SMALL_SITE, datetime.now(UTC))
    save_site(replace(standing(app).site, note="From the written folder."), tmp_path / "written")
    load_site(app.state.store, tmp_path / "written", datetime.now(UTC))
    assert [thing.id for thing in standing(app).site.keep_clear] == ["drain-1"]


def test_a_thing_is_typed_changed_and_taken_away_on_the_page(manager, app):
    assert "Nothing to keep clear of is drawn on this hole yet" in words_of(manager.get(PAGE))
    done = typed(manager, app)
    assert (done.status_code, done.headers["location"]) == (303, f"{PAGE}?done=kept")
    (thing,) = standing(app).site.keep_clear
    assert (thing.id, thing.kind, thing.points) == ("cable-1", "cable", ((1030.0, 2190.0), (1030.5, 2210.0)))
    page = manager.get(f"{PAGE}?thing=cable-1")
    told = words_of(page)
    assert "Change Pump cable" in told
    assert "Square, 6.25 m" in told
    assert re.search(r"Last changed by Alex, \d{4}-\d\d-\d\d \d\d:\d\d UTC", told)
    assert LOCATE_FIRST in told
    assert 'class="thing thing-cable"' in page.text
    typed(manager, app, id="cable-1", clearance="7", points="1030.00, 2190.00\n1030.50, 2210.00")
    assert "Square, 6.25 m: too near" in words_of(manager.get(PAGE))
    assert standing(app).site.keep_clear[0].points == thing.points
    away = manager.post(
        f"{PAGE}/away", data={"id": "cable-1", "version": str(standing(app).sequence), "person": "Kim"}
    )
    assert (away.status_code, standing(app).site.keep_clear) == (303, ())


def test_points_that_nobody_touched_stay_as_they_are_to_the_last_figure(manager, app):
    exact = [[1018.123456, 2190.987654], [1018.5, 2210.0]]
    put(manager, [DRAIN | {"points": exact}])
    page = manager.get(f"{PAGE}?thing=drain-1").text
    shown = html.unescape(re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)[1])
    assert shown == "1018.12, 2190.99\n1018.50, 2210.00"
    typed(manager, app, id="drain-1", kind="drain", points=shown, name="Renamed")
    (thing,) = standing(app).site.keep_clear
    assert (thing.name, [list(point) for point in thing.points]) == ("Renamed", exact)


def test_points_are_typed_along_and_aside_from_a_tee(manager, app):
    typed(manager, app, way="white", points="100, 0\n100, -20", extent="line")
    (thing,) = standing(app).site.keep_clear
    (x, y), (aside_x, aside_y) = thing.points
    along = (10**2 + 350**2) ** 0.5
    assert x == pytest.approx(1000 + 91.44 * 10 / along, abs=0.001)
    assert y == pytest.approx(2000 + 91.44 * 350 / along, abs=0.001)
    assert aside_x == pytest.approx(x - 18.288 * 350 / along, abs=0.002), "less than 0 is left"
    assert aside_y == pytest.approx(y + 18.288 * 10 / along, abs=0.002)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"points": ""}, "It has no points yet"),
        ({"points": "1030, 2190\nhere"}, "Line 2 of the points, 'here', is not two numbers"),
        ({"points": "1030, 2190, 3"}, "Line 1 of the points"),
        ({"points": "1030, 2190"}, "the line has 1 different places of the 2 it needs"),
        ({"clearance": "far"}, "'far' is no length for the clearance"),
        ({"clearance": "-1"}, "cannot be the clearance"),
        ({"kind": "gas"}, "'gas' is no kind of thing"),
        ({"extent": "hole"}, "'hole' is no shape"),
        ({"way": "9-back"}, "There is no tee '9-back' on hole 1"),
        ({"name": "x" * 61}, "The name is longer than 60 letters"),
        ({"person": " "}, "Type your name"),
        ({"id": "gone"}, "is not there any more"),
        ({"points": "9000000, 0\n9000000, 5"}, "km from the middle of the site"),
    ],
)
def test_a_form_that_cannot_be_kept_says_why_and_keeps_what_was_typed(manager, app, changes, words):
    answer = typed(manager, app, **changes)
    assert answer.status_code in (412, 422)
    assert words in words_of(answer)
    for name in ("points", "name", "clearance"):
        text = {**TYPED, **changes}[name]
        assert html.escape(text, quote=False) in answer.text
    assert standing(app).site.keep_clear == ()


def test_whoever_comes_second_on_the_page_is_told_and_may_press_again(manager, app):
    old = standing(app).sequence
    put(manager, [DRAIN], person="Robin")
    late = typed(manager, app, version=str(old))
    assert late.status_code == 412
    assert "Robin added the drain 'Clay drain' at" in words_of(late)
    assert "Pump cable" in late.text
    version = re.search(r'name="version" value="(\d+)"', late.text)[1]
    assert typed(manager, app, version=version).status_code == 303
    assert [thing.id for thing in standing(app).site.keep_clear] == ["drain-1", "cable-1"]


def test_whoever_may_only_look_sees_no_form(let_in):
    page = let_in("look").get(PAGE)
    assert page.status_code == 200
    assert "<textarea" not in page.text
    assert "keep_clear.js" not in page.text


def test_feet_are_typed_where_a_site_has_them_and_the_plan_knows_its_coordinates(manager, app):
    load_site(app.state.store, SAMPLES / "quandary-strait", datetime.now(UTC))
    page = manager.get("/sites/quandary-strait/holes/12/keep-clear?thing=cable-12")
    assert "5625.00, 10690.00\n5660.00, 10790.00\n5640.00, 10850.00" in html.unescape(page.text)
    assert 'value="5"' in page.text
    assert "12 inner, 3.29 ft: too near" in words_of(page)
    a, b, c, d, e, f = map(float, re.search(r'data-to-course="([^"]+)"', page.text)[1].split())
    drawn = re.search(r'class="thing thing-cable" d="M([\d.]+) ([\d.]+)', page.text)
    across, down = float(drawn[1]), float(drawn[2])
    assert a * across + b * down + c == pytest.approx(5625, abs=0.05)
    assert d * across + e * down + f == pytest.approx(10690, abs=0.05)


def test_a_bunker_that_comes_too_near_is_told_on_every_page_and_to_the_phone(manager, app):
    put(manager, [DRAIN, DRAIN | {"id": "far", "name": "Far drain", "points": [[1200, 2190], [1200, 2210]]}])
    words = f"Near a drain, Clay drain: 1.65 m from it, where 3.00 m should stay clear. {LOCATE_FIRST}"
    assert words in words_of(manager.get("/sites/small-links"))
    bundle = manager.get("/api/sites/small-links/holes/1/bundle").json()
    assert {bunker["id"]: bunker["near"] for bunker in bundle["bunkers"]} == {"square": [words], "egg": []}
    hole = manager.get("/sites/small-links/holes/1")
    assert 'class="thing thing-drain"' in hole.text
    assert "drain: Clay drain" in words_of(hole)
    assert LOCATE_FIRST in words_of(hole)
    there = manager.get(PAGE)
    assert "Elsewhere on this site (1)" in words_of(there)


def test_the_plan_is_drawn_closer_around_a_bunker_and_what_was_typed_stays(manager, app, let_in):
    def metres_per_px(page):
        across = list(map(float, re.search(r'data-to-course="([^"]+)"', page.text)[1].split()))
        return (across[0] ** 2 + across[3] ** 2) ** 0.5

    whole = manager.get(PAGE)
    close = manager.get(PAGE, params=TYPED | {"id": "", "view": "", "around": "square"})
    assert metres_per_px(close) < 0.1 < metres_per_px(whole)
    assert 'value="Pump cable"' in close.text
    assert "1030, 2190\n1030.5; 2210</textarea>" in close.text
    assert re.search(r'value="square" aria-pressed="true">Around Square</button>', close.text)
    kept = typed(manager, app, view="square")
    assert kept.headers["location"] == f"{PAGE}?done=kept&around=square"
    changing = manager.get(PAGE, params={"thing": "cable-1", "around": "cable-1"})
    assert "Around Pump cable</button>" in changing.text
    assert metres_per_px(changing) < 0.1
    assert 'href="/sites/small-links/holes/1/keep-clear?around=egg"' in let_in("look").get(PAGE).text
    gone = manager.get(PAGE, params=TYPED | {"id": "nothing", "around": "nowhere"})
    assert ("not there any more" in gone.text, metres_per_px(gone)) == (True, metres_per_px(whole))
