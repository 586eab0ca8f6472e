"""A drawing is brought in through the interface for programs: sent, looked at, taken whole or not at all."""

import json
import math
import time
import zipfile
from io import BytesIO

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.store.drafts import newest_drafts
from fieldapp.store.sites import standing_version
from fieldapp.workflow.sites import standing_site
from tests.drawings import BULGES, bunker_dxf

API = "/api/sites/small-links/imports"
READING = {"system": "course", "unit": "metre", "order": "xy"}
LAYERS = {
    "SAND": "sand edge",
    "MOUND_FOOT": "mound foot",
    "DRAIN": "keep clear: drain",
    "TREE": "keep clear: tree",
}


def sent(visitor, content, name="bunker.dxf"):
    """Send a file and wait until it is read or refused."""
    answer = visitor.post(API, params={"name": name}, content=content)
    assert answer.status_code == 200, answer.text
    for _ in range(200):
        state = visitor.get(f"{API}/{answer.json()['id']}", params={"hole": 1}).json()
        if state["state"] in ("ready", "refused"):
            return state
        time.sleep(0.05)
    raise AssertionError(state)


def wanted(**changes):
    return {
        "hole": 1,
        "reading": READING,
        "layers": LAYERS,
        "bunker": {"id": "square"},
        "person": "Kim",
        "clearances_m": {"DRAIN": 2.5},
    } | changes


def take(visitor, found, number="0", **changes):
    headers = {"if-match": f'"{number}"'}
    return visitor.post(f"{API}/{found['id']}/take", json=wanted(**changes), headers=headers)


def held(app):
    """What the store holds of the site: its version and its drafts."""
    with app.state.store.reading() as transaction:
        drafts = newest_drafts(transaction, "small-links")
        return standing_version(transaction, "small-links").sequence, drafts


@pytest.fixture
def bunker(manager):
    """A DXF with arcs in feet, sent and read."""
    return sent(manager, bunker_dxf(1020, 2200, unit=2, scale=1 / 0.3048))


FEET = {"reading": READING | {"unit": "foot"}}


def arcs_of(outline):
    """Return the radius of each arc of an outline, course metres."""
    points = [point[:2] for point in outline["points"]]
    roles = [point[2] if len(point) == 3 else "plain" for point in outline["points"]]
    found = []
    for at, role in enumerate(roles):
        if role == "through":
            (ax, ay), (bx, by), (cx, cy) = points[at - 1], points[at], points[(at + 1) % len(points)]
            sides = (
                math.dist((ax, ay), (bx, by)) * math.dist((bx, by), (cx, cy)) * math.dist((ax, ay), (cx, cy))
            )
            found.append(sides / abs(2 * ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))))
    return found


def radii_of_bulges():
    """Return what the radii must be: chord (1 + b²) / 4 |b|, from the meaning of a bulge in the DXF reference."""
    found = []
    for (x, y, bulge), (after_x, after_y, _) in zip(BULGES, (*BULGES[1:], BULGES[0]), strict=True):
        if bulge:
            found.append(math.dist((x, y), (after_x, after_y)) * (1 + bulge**2) / (4 * abs(bulge)))
    return found


def test_what_was_found_is_told_with_guesses_and_their_reasons(bunker):
    found = bunker["found"]
    assert (found["kind"], found["reading"]) == ("dxf", {**READING, "unit": "foot", "ties": []})
    assert found["why"]["unit"].startswith("The file says so, and it lands")
    assert [(layer["name"], layer["use"]) for layer in found["layers"]] == [
        ("DRAIN", "keep clear: drain"),
        ("MOUND_FOOT", "mound foot"),
        ("SAND", "sand edge"),
        ("TREE", "keep clear: tree"),
    ]
    assert bunker["peak_bytes"] < 300e6


def test_nothing_is_kept_before_it_is_taken_and_then_all_of_it(manager, app, bunker):
    before = held(app)
    looked = manager.post(f"{API}/{bunker['id']}/preview", json=wanted(**FEET)).json()
    assert looked["faults"] == []
    assert sorted(outline["part"] for outline in looked["outlines"]) == ["mound foot", "sand edge"]
    assert held(app) == before
    assert take(manager, bunker, **FEET).json() == {"bunker_id": "square", "draft_number": 1, "things": 2}
    version, (draft,) = held(app)
    assert version == before[0] + 1
    assert (draft.bunker_id, draft.number, draft.state, draft.person) == ("square", 1, "open", "Kim")
    document = json.loads(draft.document)
    assert document["from"]["revision"] == "A"
    sand = next(one for one in document["outlines"] if one["part"] == "sand edge")
    assert sand["id"] == "sand"
    assert sorted(arcs_of(sand)) == pytest.approx(sorted(radii_of_bulges()), abs=1e-5)
    shape = DrawnShape(tuple(ControlPoint(*point) for point in sand["points"]), sand["curve"], sand["closed"])
    chord, bulge = 8.0, 0.4
    segment = 0.0
    for (x, y, b), (ax, ay, _) in zip(BULGES, (*BULGES[1:], BULGES[0]), strict=True):
        if b:
            angle, radius = 4 * math.atan(b), math.dist((x, y), (ax, ay)) * (1 + b * b) / (4 * b)
            segment += radius**2 * (angle - math.sin(angle)) / 2
    assert build_curve(shape).area_m2 == pytest.approx(chord * 5 + segment, abs=1e-4), bulge
    things = standing_site(app.state.store, "small-links").site.keep_clear
    assert [(one.id, one.kind, one.extent, one.clearance_m) for one in things] == [
        ("drain", "drain", "line", 2.5),
        ("tree", "tree", "point", 1.0),
    ]


def test_a_draft_that_somebody_saved_meanwhile_is_not_written_over(manager, app, bunker):
    assert take(manager, bunker, **FEET).status_code == 200
    before = held(app)
    stale = take(manager, bunker, person="Robin", **FEET)
    assert stale.status_code == 412
    assert stale.json()["detail"] == (
        "Kim saved the draft of bunker 'square' meanwhile (save 1); look at it, then keep the import once more."
    )
    assert held(app) == before
    without = manager.post(f"{API}/{bunker['id']}/take", json=wanted(**FEET))
    assert without.status_code == 428
    again = take(manager, bunker, "1", layers={"SAND": "sand edge"}, person="Robin", **FEET)
    assert again.json() == {"bunker_id": "square", "draft_number": 2, "things": 0}
    parts = [one["part"] for one in json.loads(held(app)[1][0].document)["outlines"]]
    assert sorted(parts) == ["mound foot", "sand edge"], "other parts stay"


def test_a_new_bunker_takes_a_name_and_one_drawn_by_its_size_takes_points(manager, app, bunker):
    assert (
        take(manager, bunker, bunker={"id": "1-new", "name": "New one"}, **FEET).json()["draft_number"] == 1
    )
    assert (
        take(
            manager, bunker, "0", bunker={"id": "egg"}, layers={"MOUND_FOOT": "mound foot"}, **FEET
        ).status_code
        == 200
    )
    drafts = {draft.bunker_id: json.loads(draft.document) for draft in held(app)[1]}
    assert drafts["1-new"]["bunker"]["name"] == "New one"
    assert drafts["1-new"]["from"] == {"revision": None, "site_version": None}
    assert [one["part"] for one in drafts["egg"]["outlines"]] == ["mound foot", "sand edge"]


REFUSED = [
    ({"layers": {}}, 422, "Nothing is chosen"),
    ({"layers": {"SAND": "lake"}}, 422, "'SAND' is 'lake'"),
    ({"bunker": {"id": ""}, "layers": {"SAND": "sand edge"}}, 422, "Give the new bunker a name."),
    ({"bunker": {"id": "no/slash"}}, 422, "cannot be called"),
    ({"reading": READING | {"system": "moon"}}, 422, "no EPSG code"),
    ({"reading": READING | {"unit": "rod"}}, 422, "'unit' is 'rod'"),
    ({"reading": READING | {"unit": "kilometre"}}, 422, "km from hole 1"),
    ({"reading": READING | {"system": "pegs"}}, 422, "two places at least"),
    ({"hole": 9}, 404, "hole"),
    ({"person": ""}, 422, "Type your name"),
    ({"clearances_m": {"DRAIN": -1}}, 422, "'DRAIN' is -1"),
]


def test_what_cannot_be_taken_is_refused_in_one_sentence_and_nothing_is_kept(manager, app, bunker_in_metres):
    before = held(app)
    for changes, status, words in REFUSED:
        answer = take(manager, bunker_in_metres, **changes)
        assert (answer.status_code, words in answer.json()["detail"]) == (status, True), answer.json()
        assert held(app) == before


@pytest.fixture
def bunker_in_metres(manager):
    return sent(manager, bunker_dxf(1020, 2200))


def zip_bomb():
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("a.shp", b"\x00" * 300_000_000)
    return out.getvalue()


BROKEN = {
    "nothing": (b"", "empty"),
    "a DWG": (b"AC1032" + b"\x00" * 60, "DXF"),
    "half a DXF": (bunker_dxf(1020, 2200)[:9000], "cannot be brought in"),
    "half a GeoJSON": (b'{"type": "FeatureCollection", "features": [{', "cannot be brought in"),
    "an XML of many entities": (
        b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]><kml>&b;</kml>', "cannot be brought in"),
    "a zip bomb": (zip_bomb, "cannot be brought in"),
}  # fmt: skip


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_file_is_refused_in_words_and_leaves_nothing(manager, settings, kind):
    content, words = BROKEN[kind]
    state = sent(manager, content() if callable(content) else content, f"{kind}.zip")
    assert (state["state"], words in state["words"], "Traceback" in state["words"]) == (
        "refused",
        True,
        False,
    ), state
    assert "\n" not in state["words"]
    asked = manager.post(f"{API}/{state['id']}/preview", json=wanted())
    assert (asked.status_code, asked.json()["detail"]) == (422, state["words"])
    left = [file.name for file in (settings.data_dir / "imports" / state["id"]).iterdir()]
    assert set(left) <= {"about.json", "asked.json"}


def test_at_most_two_are_brought_in_at_a_time(manager, app):
    with app.state.imports.receive("small-links", "a"), app.state.imports.receive("small-links", "b"):
        third = manager.post(API, content=b"0")
    assert (third.status_code, third.json()["title"]) == (429, "Busy with others of this kind")
    assert third.json()["detail"].startswith("Two files are being brought in already")
    assert third.json()["type"] == "/problems/busy-error"


def test_a_file_that_says_it_is_too_large_is_refused_before_it_comes(manager, settings):
    refused = manager.post(API, content=b"", headers={"content-length": str(settings.files.import_bytes + 1)})
    assert refused.status_code == 413
    assert "52,000,000 bytes" in refused.json()["detail"]
    assert list((settings.data_dir / "imports").glob("*")) == []


def test_an_import_is_of_its_own_site_and_goes_after_a_day(manager, app, bunker_in_metres, monkeypatch):
    assert manager.get("/api/sites/heath/imports/x").status_code == 404
    assert manager.get(f"{API}/nothing-here").status_code == 404
    now = time.time()
    monkeypatch.setattr("fieldapp.workflow.spool.time.time", lambda: now + 23 * 3600)
    app.state.imports.clear()
    assert manager.get(f"{API}/{bunker_in_metres['id']}").status_code == 200
    monkeypatch.setattr("fieldapp.workflow.spool.time.time", lambda: now + 25 * 3600)
    app.state.imports.clear()
    gone = manager.get(f"{API}/{bunker_in_metres['id']}")
    assert (gone.status_code, "removed after 24 hours" in gone.json()["detail"]) == (404, True)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 10**20) | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)
KEYS = st.sampled_from(["hole", "reading", "layers", "clearances_m", "left_out", "bunker", "person"])
INNER = st.sampled_from(["system", "unit", "order", "ties", "SAND", "id", "name"])


@settings(
    max_examples=40, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
)
@given(
    data=st.dictionaries(KEYS, JSON | st.dictionaries(INNER, JSON, max_size=3), max_size=3),
    what=st.sampled_from(["preview", "take"]),
)
def test_whatever_is_asked_of_an_import_is_answered_or_refused(manager, bunker_in_metres, data, what):
    body = json.dumps(wanted() | data).encode()
    headers = {"content-type": "application/json", "if-match": '"0"'}
    answer = manager.post(f"{API}/{bunker_in_metres['id']}/{what}", content=body, headers=headers)
    assert answer.status_code in (200, 404, 409, 412, 422), answer.text
    assert answer.json()


def test_a_new_bunker_cannot_take_the_short_name_of_one_on_another_hole(
    manager, app, bunker_in_metres, second_hole
):
    before = held(app)
    for base in ("0", "3"):
        answer = take(manager, bunker_in_metres, base, hole=2, layers={"SAND": "sand edge"})
        words = "Bunker 'square' is on hole 1; give the new one another short name."
        assert (answer.status_code, answer.json()["detail"]) == (422, words)
        assert held(app) == before
