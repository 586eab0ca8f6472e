"""A site made on its pages: from a name to a loaded site, with what is typed kept on every refusal."""

from __future__ import annotations

import html
import re
from datetime import UTC, datetime

import pytest

from fieldapp.workflow.records import held_records_of
from fieldapp.workflow.site_drafts import draft_of
from fieldapp.workflow.sites import load_text_in, standing_site
from tests.field_records import READING, batch_of, mark_document, place_document, undo_document

NEW = "/sites/great-bank/edit"
WHITE = {"tee-0-hole": "1", "tee-0-name": "White"}


def number_of(visitor, path):
    return re.search(r'name="number" value="([\d-]+)"', visitor.get(path).text)[1]


def put(visitor, path, data):
    """Save a part as its page would, opened just now."""
    return visitor.post(path, data={"number": number_of(visitor, path), **data})


def words(answer):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text)))


def lacks(visitor, path=NEW):
    text = visitor.get(path).text
    listed = text.split('id="lacks"')[1].split("</section>")[0]
    return re.findall(r'<li><a href="([^"]+)">([^<]+)</a>', html.unescape(listed))


@pytest.fixture
def begun(manager):
    answer = manager.post("/sites/new", data={"name": "Great Bank"})
    assert (answer.status_code, answer.headers["location"]) == (303, NEW)
    return manager


def place(number, what, name, lat, lon, **changes):
    reading = READING | {"lat_deg": lat, "lon_deg": lon, "radius95_m": 1.234}
    made = {"site": "great-bank", "what": what, "name": name, "reading": reading, "person": "Robin"}
    return place_document(number, made_at=f"2026-05-01T09:{number:02}:00Z", **made | changes)


def read(visitor, *records):
    return visitor.post("/api/sites/great-bank/records", json=batch_of(*records)).json()


PLACES = (
    place(10, "peg", "shed", 57.2, -9.4, hole=0),
    place(11, "tee", "White", 57.2001, -9.4, hole=1),
    place(12, "turn", "2", 57.2020, -9.4002, hole=1),
    place(13, "turn", "1", 57.2010, -9.4001, hole=1),
    place(14, "green", "green", 57.2031, -9.4, hole=1),
)


def test_a_site_is_made_of_readings_alone(begun):
    assert read(begun, *PLACES)["stored"] == [record["id"] for record in PLACES]
    wanted = [
        f"{NEW}/grid",
        f"{NEW}/holes",
    ]
    assert [url for url, _ in lacks(begun)] == wanted
    assert "Great Bank begun, not loaded yet" in words(begun.get("/"))
    assert "Peg shed: read 2026-05-01 09:10 UTC by Robin, within 1.3 m" in words(begun.get(NEW))
    ids = [record["id"] for record in PLACES]
    grid = put(
        begun, f"{NEW}/grid", {"kind": "local", "origin-by": f"read:{ids[0]}", "origin_xy": "1000, 1000"}
    )
    assert grid.headers["location"] == f"{NEW}/grid?saved=yes"
    told = words(begun.get(f"{NEW}/grid?saved=yes"))
    assert "So the whole grid lies within 1.3 m of where it should, 95 times in 100." in told
    assert "Next: There is no hole yet." in told
    put(begun, f"{NEW}/pegs", {"peg-0-id": "shed", "peg-0-by": f"read:{ids[0]}"})
    put(begun, f"{NEW}/holes", {"hole-0-number": "1", "hole-0-name": "First"})
    assert [url for url, _ in lacks(begun)] == [f"{NEW}/holes/1#green", f"{NEW}/tees"]
    assert "the 2 turning points read by Robin, each within 1.2 m" in words(begun.get(f"{NEW}/holes/1"))
    put(begun, f"{NEW}/holes/1", {"green-by": f"read:{ids[4]}", "turns-by": "walked", "fairway-by": "course"})
    put(begun, f"{NEW}/tees", WHITE | {"tee-0-by": f"read:{ids[1]}"})
    assert lacks(begun) == []
    loaded = begun.post(f"{NEW}/load", data={"number": number_of(begun, NEW)})
    assert (loaded.status_code, loaded.headers["location"]) == (303, "/sites/great-bank")
    site = standing_site(begun._app.state.store, "great-bank").site
    (hole,), (tee,), (peg,) = site.holes, site.tees, site.pegs
    assert (peg.x, peg.y, peg.within_m) == (1000.0, 1000.0, 1.24)
    assert (tee.id, tee.within_m, tee.x) == ("1-white", 1.24, 1000.0)
    assert tee.y == pytest.approx(1011.14, abs=0.05)
    assert [round(y) for _, y in hole.turning_points] == [1111, 1223]
    assert site.note.startswith("The grid hangs on a place read by phone (Peg shed")
    held = held_records_of(begun._app.state.store, "great-bank")
    assert [(item.record.id, item.remarks) for item in held] == [(one, "") for one in ids]
    for path in (
        "",
        "/holes/1",
        "/holes/1/sheet",
        "/holes/1/compare",
        "/holes/1/sight",
        "/pegs",
        "/places",
        "/records.csv",
    ):
        assert (path, begun.get(f"/sites/great-bank{path}").status_code) == (path, 200)
    for path in (
        "/",
        "/field/great-bank",
        "/api/sites/great-bank/field",
        "/api/sites/great-bank/holes/1/bundle",
    ):
        assert (path, begun.get(path).status_code) == (path, 200)


def test_only_places_are_taken_for_a_site_being_made_and_each_once(begun):
    first = read(begun, PLACES[0], mark_document(3, site="great-bank"))
    assert first["stored"] == [PLACES[0]["id"]]
    assert "only places are taken until it is loaded" in first["refused"][0]["detail"]
    assert read(begun, PLACES[0])["stored"] == [PLACES[0]["id"]]
    other = read(begun, PLACES[0] | {"name": "hut"})
    assert "held already with other content" in other["refused"][0]["detail"]
    assert words(begun.get(NEW)).count("Peg shed: read") == 1
    read(begun, undo_document(PLACES[0]))
    assert "Peg shed: read" not in words(begun.get(NEW))
    nowhere = begun.post(
        "/api/sites/nowhere/records", json=batch_of(place(10, "peg", "x", 1.0, 1.0, site="nowhere"))
    )
    assert nowhere.status_code == 404


def fill(visitor, **changes):
    """Fill in a small site by typing."""
    put(visitor, f"{NEW}/grid", {"kind": "local", "origin": "57.2, -9.4", "origin_xy": "1000, 1000"})
    put(visitor, f"{NEW}/holes", {"hole-0-number": "1", "hole-0-name": "First"})
    put(visitor, f"{NEW}/holes/1", {"green": "1000, 1350", "turns": "1010, 1100\n1005, 1200", "fairway": ""})
    return put(visitor, f"{NEW}/tees", WHITE | {"tee-0": "1000, 1000"} | changes)


def test_a_site_is_made_by_typing_and_changed_afterwards(begun):
    fill(begun)
    begun.post(f"{NEW}/load", data={"number": number_of(begun, NEW)})
    assert "Open a part to change it." in words(begun.get(NEW))
    tees = {"tee-0-was": "1-white", "tee-0-hole": "1", "tee-0-name": "White", "tee-0": "57.2, -9.4"}
    more = {"tee-1-hole": "1", "tee-1-name": "Red", "tee-1": "1000, 1050", "tee-1-level": "12 ft"}
    put(begun, f"{NEW}/tees", tees | {"tee-0-by": "earth"} | more)
    assert len(standing_site(begun._app.state.store, "great-bank").site.tees) == 1
    begun.post(f"{NEW}/load", data={"number": number_of(begun, NEW)})
    site = standing_site(begun._app.state.store, "great-bank").site
    assert [(tee.id, tee.x, tee.y) for tee in site.tees] == [
        ("1-white", 1000.0, 1000.0),
        ("1-red", 1000.0, 1050.0),
    ]
    assert site.tees[1].level_m == pytest.approx(3.6576)
    put(begun, f"{NEW}/tees", tees | {"tee-0-away": "yes", "tee-1-was": "1-red"} | more)
    assert [tee["id"] for tee in draft_of(begun._app.state.store, "great-bank").tables["tee"]] == ["1-red"]
    begun.post(f"{NEW}/drop", data={"number": number_of(begun, NEW)})
    assert len(standing_site(begun._app.state.store, "great-bank").site.tees) == 2
    assert "Open a part to change it." in words(begun.get(NEW))


REFUSED = [
    ("facts", {"name": " ", "yardage": "yard", "ground": "metre", "coordinates": "metre"}, "has no name"),
    (
        "facts",
        {"name": "A", "yardage": "mile", "ground": "metre", "coordinates": "metre"},
        "'mile' is no unit",
    ),
    ("grid", {}, "Choose one of the three ways first."),
    ("grid", {"kind": "local", "origin": "57,2; -9,4"}, "'57,2; -9,4' is no place for the latitude"),
    ("grid", {"kind": "local", "origin": "157.2, -9.4"}, "157.2"),
    ("grid", {"kind": "local", "origin-by": "read:gone"}, "was taken back on the phone"),
    ("grid", {"kind": "local", "origin_height": "high"}, "'high' is no length for the height"),
    ("grid", {"kind": "fitted", "scale": "own"}, "'own' is not known here"),
    ("holes", {"hole-0-name": "First"}, "A hole has no number"),
    ("holes", {"hole-0-number": "one"}, "'one' is no hole number"),
    ("holes", {"hole-0-number": "1", "hole-1-number": "1"}, "There are two holes 1"),
    ("tees", {"tee-0-name": "White"}, "wants its hole and a name"),
    ("tees", WHITE | {"tee-0": "north"}, "'north' is no place for this"),
    ("tees", WHITE | {"tee-0": "57.2, -9.4", "tee-0-by": "earth"}, "cannot be placed on the course yet"),
    ("tees", WHITE | {"tee-0-within": "some"}, "'some' is no length for how well"),
    ("pegs", {"peg-0": "1000, 1000"}, "A peg has no name"),
    ("pegs", {"peg-0-id": "a", "peg-1-id": "a"}, "There are two called a"),
    ("pegs", {"peg-0-id": "a", "peg-0-earth": "here"}, "'here' is no place for the latitude"),
    ("levels", {"levels": "1, 2, 3\n1, 2"}, "Line 2, '1, 2', is not x, y and level"),
    ("levels", {"levels": "1, 2, low"}, "'low' is no number for line 1"),
]
REFUSED_HOLES = [
    ({"green": "57.2"}, "'57.2' is no place for the middle of the green"),
    ({"turns": "1, 2\nhere"}, "'here' is no place for a turning point (line 2)"),
    ({"turns-by": "walked"}, "Those readings were taken back"),
    ({"fairway": "1 2 3"}, "a corner of the fairway (line 1)"),
    ({"turns": "57.2, -9.4", "turns-by": "earth"}, "cannot be placed on the course yet"),
]


def test_what_cannot_be_read_is_told_and_nothing_typed_is_lost(begun):
    for part, typed, told in REFUSED:
        before = number_of(begun, f"{NEW}/{part}")
        answer = put(begun, f"{NEW}/{part}", typed)
        assert (answer.status_code, told in words(answer)) == (422, True), (part, typed, words(answer))
        shown = html.unescape(answer.text)
        for name, value in typed.items():
            if name.endswith("-by") or name in ("yardage", "kind", "scale") or not value.strip():
                continue
            at = shown.index(f'name="{name}"')
            assert value in shown[at : at + 400], name
        assert number_of(begun, f"{NEW}/{part}") == before


def test_a_hole_that_cannot_be_read_is_told(begun):
    put(begun, f"{NEW}/holes", {"hole-0-number": "1"})
    for typed, told in REFUSED_HOLES:
        answer = put(begun, f"{NEW}/holes/1", typed)
        assert (answer.status_code, told in words(answer)) == (422, True), (typed, words(answer))


def test_names_and_ids_of_new_sites(manager):
    taken = manager.post("/sites/new", data={"name": "X", "id": "small-links"})
    assert taken.status_code == 409
    assert "There is a site 'small-links' here already" in words(taken)
    assert 'value="X"' in taken.text
    for bad in ({"name": "X", "id": "new"}, {"name": "X", "id": "a/b"}, {"name": "ΓΛ"}, {"name": "x" * 200}):
        assert manager.post("/sites/new", data=bad).status_code == 422
    manager.post("/sites/new", data={"name": "Dune & Firth"})
    assert manager.post("/sites/new", data={"name": "Dune & Firth"}).status_code == 409
    assert "dune-firth" in manager.get("/sites/new").text
    assert manager.get("/sites/dune-firth").status_code == 404


def test_two_at_one_part_are_told_of_each_other_and_choose(begun, let_in):
    other = let_in(role="plan", name="Kim")
    fill(begun)
    opened = number_of(other, f"{NEW}/tees")
    mine = {"tee-0-was": "1-white", "tee-0-hole": "1", "tee-0-name": "White", "tee-0": "1000, 1000"}
    put(begun, f"{NEW}/tees", mine | {"tee-1-hole": "1", "tee-1-name": "Red", "tee-1": "1000, 1050"})
    met = other.post(f"{NEW}/tees", data={"number": opened} | mine | {"tee-0": "1002.5, 1000"})
    assert met.status_code == 409
    assert "Manager at this machine saved this part of the site while you were at it" in words(met)
    assert 'value="1002.5, 1000"' in met.text
    newest = re.search(r'name="number" value="(\d+)"', met.text)[1]
    again = other.post(f"{NEW}/tees", data={"number": newest} | mine | {"tee-0": "1002.5, 1000"})
    assert again.status_code == 303
    draft = draft_of(begun._app.state.store, "great-bank")
    assert [str(tee["x"]) for tee in draft.tables["tee"]] == ["1002.5"]
    assert draft.person == "Kim"


def test_two_at_different_parts_keep_both(begun):
    opened = number_of(begun, f"{NEW}/grid")
    put(begun, f"{NEW}/holes", {"hole-0-number": "1"})
    late = begun.post(f"{NEW}/grid", data={"number": opened, "kind": "local", "origin": "57.2, -9.4"})
    assert late.status_code == 303
    tables = draft_of(begun._app.state.store, "great-bank").tables
    assert (tables["grid"]["kind"], tables["hole"][0]["number"]) == ("local", 1)


def test_a_draft_saved_since_is_not_loaded_unseen(begun):
    fill(begun)
    opened = number_of(begun, NEW)
    put(begun, f"{NEW}/holes", {"hole-0-was": "1", "hole-0-number": "1", "hole-0-name": "Second thoughts"})
    answer = begun.post(f"{NEW}/load", data={"number": opened})
    assert answer.status_code == 409
    assert begun.get("/sites/great-bank").status_code == 404


def test_what_is_not_whole_is_not_loaded(begun):
    answer = begun.post(f"{NEW}/load", data={"number": number_of(begun, NEW)})
    assert answer.status_code == 422
    assert "The site is not whole yet: How the course grid lies on the earth is not said." in words(answer)


def test_mistakes_that_only_reckoning_shows_are_told_without_a_file(begun):
    fill(begun, **{"tee-0": "90000, 1000"})
    url, told = next(lack for lack in lacks(begun) if "Tee '1-white'" in lack[1])
    assert (url, "site.toml" in told) == (f"{NEW}/tees#tee-0", False)
    assert told.startswith("Tee '1-white': it lies")


def test_a_grid_fitted_to_readings_says_what_it_is_worth(begun):
    corners = ((57.2, -9.4), (57.20271, -9.39999), (57.2, -9.395047))
    places = [place(20 + turn, "peg", f"p{turn}", *at, hole=0) for turn, at in enumerate(corners)]
    ids = read(begun, *places)["stored"]
    answer = put(begun, f"{NEW}/grid", {"kind": "fitted", "scale": "fixed", "max_residual": "5"})
    assert answer.status_code == 303
    assert "none have both" in lacks(begun)[0][1]
    refused = put(begun, f"{NEW}/pegs", {"peg-0-id": "p0", "peg-0-by": f"read:{ids[0]}"})
    assert "In a grid fitted to pegs a peg gets its x, y from the drawing" in words(refused)
    rows = {}
    for turn, xy in enumerate(("1000, 1000", "1000, 1300", "1300, 1000")):
        rows |= {f"peg-{turn}-id": f"p{turn}", f"peg-{turn}": xy, f"peg-{turn}-earth-by": f"read:{ids[turn]}"}
    assert put(begun, f"{NEW}/pegs", rows).status_code == 303
    told = words(begun.get(f"{NEW}/grid"))
    found = re.search(r"the grid lies within ([\d.]+) m of the earth amid the pegs", told)
    assert 0.5 < float(found[1]) < 50
    pegs = draft_of(begun._app.state.store, "great-bank").tables["peg"]
    assert pegs[0]["note"] == "Position read by phone 2026-05-01 09:20 UTC, within 1.2 m."


def test_marks_hold_the_grid_and_the_tees_fast(manager, send, mark):
    send(mark(1))
    path = "/sites/small-links/edit"
    grid = {"kind": "local", "origin": "57.3, -9.4", "origin_xy": "1000, 2000", "origin_height": "62"}
    assert put(manager, f"{path}/grid", grid | {"north_bearing_deg": "12.5"}).status_code == 303
    refused = manager.post(f"{path}/load", data={"number": number_of(manager, path)})
    assert refused.status_code == 409
    assert "has real marks of revision 'A'" in words(refused)
    assert draft_of(manager._app.state.store, "small-links").is_open


def test_a_new_unit_rewrites_what_has_coordinates(manager):
    path = "/sites/small-links/edit"
    before = standing_site(manager._app.state.store, "small-links").site
    facts = {"name": "Small Links", "note": "", "yardage": "yard", "ground": "foot", "coordinates": "foot"}
    assert put(manager, f"{path}/facts", facts).status_code == 303
    assert manager.post(f"{path}/load", data={"number": number_of(manager, path)}).status_code == 303
    after = standing_site(manager._app.state.store, "small-links").site
    assert (after.units.coordinates, after.tees, after.bunkers) == ("foot", before.tees, before.bunkers)


def test_a_unit_is_not_changed_under_half_a_site(begun):
    put(begun, f"{NEW}/holes", {"hole-0-number": "1"})
    put(begun, f"{NEW}/holes/1", {"green": "1000, 1350"})
    facts = {"name": "Great Bank", "yardage": "yard", "ground": "metre", "coordinates": "foot"}
    answer = put(begun, f"{NEW}/facts", facts)
    assert answer.status_code == 422
    assert "finish the site in the old unit first" in words(answer)


def test_a_version_loaded_meanwhile_keeps_an_older_draft_out(manager):
    path = "/sites/small-links/edit"
    tees = {"tee-0-was": "white", "tee-0-hole": "1", "tee-0-name": "White tee", "tee-0": "1000, 2001"}
    put(manager, f"{path}/tees", tees)
    store = manager._app.state.store
    text = standing_site(store, "small-links").document
    with store.writing() as transaction:
        changed = text.replace("x = 990.0", "x = 991.0")
        load_text_in(transaction, changed, datetime(2026, 5, 2, tzinfo=UTC), "another folder")
    answer = manager.post(f"{path}/load", data={"number": number_of(manager, path)})
    assert answer.status_code == 409
    assert "was loaded anew from another folder while this draft was open" in words(answer)


def test_a_form_opened_before_a_load_does_not_undo_it_unseen(manager):
    path, store = "/sites/small-links/edit", manager._app.state.store
    opened = number_of(manager, f"{path}/tees")
    levels, text = number_of(manager, f"{path}/levels"), standing_site(store, "small-links").document
    moved = re.sub(r'(id = "white".*?\nx = )[\d.]+', r"\g<1>1005.0", text, count=1, flags=re.DOTALL)
    with store.writing() as transaction:
        assert load_text_in(transaction, moved, datetime(2026, 5, 2, tzinfo=UTC), "a folder").new
    typed = {"tee-0-was": "white", "tee-0-hole": "1", "tee-0-name": "Back", "tee-0": "1000, 2000"}
    met = manager.post(f"{path}/tees", data={"number": opened} | typed)
    assert (met.status_code, "The site was loaded anew" in words(met)) == (409, True)
    assert ('value="Back"' in met.text, 'value="1000, 2000"' in met.text) == (True, True)
    assert not draft_of(store, "small-links").is_open
    assert manager.post(f"{path}/levels", data={"number": levels, "levels": "1, 2, 3"}).status_code == 303
    assert draft_of(store, "small-links").tables["tee"][0]["x"] == 1005
    newest = re.search(r'name="number" value="([\d-]+)"', met.text)[1]
    assert manager.post(f"{path}/tees", data={"number": newest} | typed).status_code == 303
    assert draft_of(store, "small-links").tables["tee"][0]["x"] == 1000
    assert manager.post(f"{path}/load", data={"number": number_of(manager, path)}).status_code == 303


def test_a_form_that_tells_no_version_meets_the_site_that_stands(manager):
    typed = {"tee-0-was": "white", "tee-0-hole": "1", "tee-0-name": "Back", "tee-0": "1000, 2000"}
    met = manager.post("/sites/small-links/edit/tees", data={"number": "0"} | typed)
    assert (met.status_code, 'value="Back"' in met.text) == (409, True)


def test_bunkers_issued_meanwhile_stay(manager):
    path = "/sites/small-links/edit"
    tees = {"tee-0-was": "white", "tee-0-hole": "1", "tee-0-name": "Back", "tee-0": "1000, 2000"}
    put(manager, f"{path}/tees", tees)
    store = manager._app.state.store
    with store.writing() as transaction:
        text = standing_site(store, "small-links").document.replace('revision = "A"', 'revision = "B"')
        load_text_in(transaction, text, datetime(2026, 5, 2, tzinfo=UTC), "an issue")
    assert manager.post(f"{path}/load", data={"number": number_of(manager, path)}).status_code == 303
    site = standing_site(store, "small-links").site
    assert ({bunker.revision for bunker in site.bunkers}, site.tees[0].name) == ({"B"}, "Back")
    assert site.tees[0].id == "white"


def test_a_hole_with_bunkers_is_not_taken_away(manager):
    answer = put(manager, "/sites/small-links/edit/holes", {"hole-0-was": "1", "hole-0-away": "yes"})
    assert "Hole 1 has bunkers, so it stays" in words(answer)


def test_strange_forms_and_parts(begun):
    assert begun.post(f"{NEW}/tees", data={"number": "-1"}).status_code == 422
    assert begun.post(f"{NEW}/tees", data={}).status_code == 415
    assert begun.get(f"{NEW}/lake").status_code == 404
    assert begun.get(f"{NEW}/holes/7").status_code == 404
    assert begun.post(f"{NEW}/tees", data={"number": "1", "tee-x-name": "a", "tee-": "b"}).status_code == 303
    assert (
        begun.post(
            f"{NEW}/tees",
            content=b"x" * 600_000,
            headers={"content-type": "application/x-www-form-urlencoded"},
        ).status_code
        == 413
    )


def test_more_rows_than_the_page_takes_are_refused_and_none_is_dropped(begun, app):
    rows = {f"peg-{index}-id": f"p{index}" for index in range(301)}
    answer = put(begun, f"{NEW}/pegs", rows)
    assert (answer.status_code, "takes 300 rows at most and was sent 301" in words(answer)) == (422, True)
    assert "peg" not in draft_of(app.state.store, "great-bank").tables


@pytest.mark.parametrize("index", ["²", "٣", "9" * 5000, "", "-1"])
def test_a_row_whose_number_is_none_is_passed_over(begun, index):
    answer = put(begun, f"{NEW}/pegs", {f"peg-{index}-id": "p1"})
    assert answer.status_code == 303
