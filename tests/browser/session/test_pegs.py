"""Pegs on the phone: which belong to a bunker, how far to search, what a report holds, where a new one may be."""

import pytest

from tests.browser.session.test_job import BUNDLE

pytestmark = pytest.mark.browser


def peg(name, x, y, **more):
    return {"id": name, "kind": "reference", "x": x, "y": y, "level_m": None, "note": "", **more}


def report(name, state, at, **more):
    made_at = f"2026-05-01T{at}:00.000Z"
    plain = {"note": "", "photos": [], "person": "Kim", "made_at": made_at}
    return {"id": f"{name} {state} {at}", "peg": name, "state": state, **plain, **more}


PEGS = [peg("r4a", 4, -14, note="Oak, beside the path"), peg("r4b", 0, 44), peg("r4c", 0, 46)]
WITH_PEGS = {**BUNDLE, "tape": {"length_m": 30, "error_m": 0.01}, "pegs": PEGS}
SET_UP = """
  const frame = {
    toCourse: (lat, lon) => [lon * 1e5, lat * 1e5], toGnss: (x, y) => [y / 1e5, x / 1e5], trueBearingDeg: () => 42,
  };
  const load = (name) => import(`/phone/session/${name}.js`);
  const names = 'job standing_pegs bunker_pegs record peg_words board_rows peg_page new_peg gauge'.split(' ');
  const [jobs, stands, near, records, words, board, page, fresh, gauges] = await Promise.all(names.map(load));
  const made = jobs.createJob({bundle, frame, bunkerId: 'b', person: 'Moira', device: 'd'});
  const fix = (x, y, accuracyM, at = 0) => ({latDeg: y / 1e5, lonDeg: x / 1e5, accuracyM, heightM: null, at});
  const receiving = jobs.withReceiver(made, null, gauges.unknownReceiver);
  const at = (x, y, accuracyM) => jobs.withFix(receiving, fix(x, y, accuracyM));
  const pegs = stands.standingPegs(made);
  const peg = (id) => pegs.find((one) => one.id === id);
"""


@pytest.fixture
def run(blank):
    """Run lines of JavaScript on a job called `made` and its `pegs`."""

    def lines(code, **changes):
        return blank.evaluate(f"async (bundle) => {{ {SET_UP} {code} }}", {**WITH_PEGS, **changes})

    return lines


def test_the_pegs_of_a_bunker_are_those_within_one_and_a_half_tapes_of_its_line(run):
    """The bunker's line begins at y = 0, so r4b is 44 m and r4c 46 m off; one and a half tapes are 45 m."""
    ids = "return near.bunkerPegs(made, pegs).map(({id}) => id)"
    assert run(ids) == ["r4a", "r4b"]
    frame = {**BUNDLE["frame"], "ground_scale": 1.03}
    assert run(ids, frame=frame) == ["r4a"], "reach is on the ground"


def test_a_report_carries_the_last_note_on_and_is_one_the_server_reads(run):
    told = [report("r4a", "found", "08:00", note="300 mm behind the broom", photos=["first-photo"])]
    made = run(
        """const stamp = {id: 'a-new-report', at: Date.UTC(2026, 4, 1, 9)};
        const found = {peg: 'r4a', kind: 'reference', state: 'found', photos: ['photo-no-2']};
        return records.pegRecord(made, found, stamp)""",
        peg_reports=told,
    )
    assert (made["kind"], made["peg"], made["state"], made["bunker"]) == ("peg", "r4a", "found", "b")
    assert (made["note"], made["photos"]) == ("300 mm behind the broom", ["photo-no-2"])
    assert (made["x"], made["y"], made["placed_by"], made["reading"]) == (None, None, "", None)


def test_taking_ones_newest_report_back_brings_what_stood_before_not_a_peg_in_place(run):
    """The server told of both; a peg that was missing must not look fit to tape from while nobody asks it again."""
    told = [report("r4a", "missing", "08:00"), report("r4a", "found", "09:00", id="mine-that-goes-back")]
    states = run(
        """const undo = {kind: 'undo', undoes: 'mine-that-goes-back', practice: false, id: 'u', made_at: '2026'};
        const before = stands.standingPegs(made), after = stands.standingPegs({...made, own: [undo]});
        return [before, after].map((all) => all.find(({id}) => id === 'r4a').state)""",
        peg_reports=told,
    )
    assert states == ["found", "missing"]


def test_a_peg_of_the_crew_goes_with_the_report_that_placed_it(run):
    own = {
        "id": "p1",
        "kind": "reference",
        "x": 1.0,
        "y": 2.0,
        "note": "",
        "within_m": 0.02,
        "placed": "that-placed-it",
    }
    counts = run(
        """const undo = {kind: 'undo', undoes: 'that-placed-it', practice: false, id: 'u', made_at: '2026'};
        return [[], [undo]].map((own) => stands.standingPegs({...made, own}).filter(({id}) => id === 'p1').length)""",
        field_pegs=[own],
    )
    assert counts == [1, 0]


def test_a_peg_knows_the_photos_the_server_told_of_and_those_of_this_phone(run):
    photos = run(
        """const found = {peg: 'r4a', kind: 'reference', state: 'found', photos: ['two', 'three']};
        const own = records.pegRecord(made, found, {id: 'x', at: 0});
        return stands.standingPegs({...made, own: [own]}).map((one) => one.photos)""",
        peg_photos=[{"peg": "r4a", "photos": ["one", "two"]}],
    )
    assert photos == [["one", "two", "three"], [], []]


SEARCHES = {
    "a peg of the plan": ("peg('r4a')", 8.11),
    "one of a crew": ("{...peg('r4a'), isOwn: false, withinM: 6}", 10.09),
    "one that is planned": ("{...peg('r4a'), isOwn: false, state: 'planned'}", 8.11),
    "one of which nobody told how well": ("{...peg('r4a'), isOwn: false}", None),
}


@pytest.mark.parametrize("name", SEARCHES)
def test_the_search_radius_is_the_phones_and_the_pegs_together(run, name):
    """A figure of 5 m taken as its 68 % radius is 5 * 2.4477 / 1.5096 = 8.11 m at 95 %; hypot(8.11, 6) = 10.09."""
    which, wanted = SEARCHES[name]
    found = run(f"return words.wayToPeg(at(4, -80, 5), {which})")
    assert found["distanceM"] == pytest.approx(66)
    assert found["searchM"] == (None if wanted is None else pytest.approx(wanted, abs=0.005))


def test_no_way_is_shown_without_a_position_or_far_from_the_hole(run):
    assert run("return [words.wayToPeg(made, peg('r4a')), words.wayToPeg(at(90000, 0, 5), peg('r4a'))]") == [
        None,
        None,
    ]


def test_the_board_tells_nearest_first_with_way_state_note_and_photos(run):
    rows = run(
        """const job = at(0, 40, 0.5);
        const ids = board.nearestFirst(job, pegs);
        return board.boardRows(job, pegs, ids, Date.UTC(2026, 4, 1, 10))""",
        peg_reports=[report("r4c", "missing", "08:30", note="dug away?", photos=["one"])],
        peg_photos=[{"peg": "r4c", "photos": ["one"]}],
    )
    assert [row["id"] for row in rows] == ["r4b", "r4c", "r4a"]
    assert [row["far"] for row in rows] == ["4.0 m", "6.0 m", "54.2 m"]
    assert rows[0]["way"] == f"{rows[0]['far']} toward the green"
    assert (rows[1]["state"], rows[1]["words"], rows[1]["note"], rows[1]["photos"], rows[1]["isBad"]) == (
        "missing",
        "Missing",
        "dug away?",
        1,
        True,
    )
    assert rows[2]["note"] == "Oak, beside the path"


def test_within_the_radius_the_board_says_here_and_the_page_how_near(run):
    told = run(
        """const job = at(3, -15, 5);
        return [board.boardRows(job, pegs, ['r4a'], 0)[0], page.pegPage(job, peg('r4a'), 0)]"""
    )
    assert (told[0]["far"], told[0]["way"]) == ("here", "")
    assert told[1]["parts"][0] == ["", "within"]
    assert told[1]["search"] == ["Search 8.2 m round it", "so well is your position known (95 %)"]


STATES = {
    "no position": ("made", "not known without a position"),
    "no figure": ("at(3, -15, 0)", "this receiver gives no accuracy figure"),
    "too poor": ("at(3, -15, 60)", "go into the open, and wait"),
}


@pytest.mark.parametrize("name", STATES)
def test_what_cannot_be_told_of_the_search_is_said(run, name):
    job, words = STATES[name]
    assert words in run(f"return page.pegPage({job}, peg('r4a'), 0)")["search"][1]


def test_a_find_far_off_is_asked_about(run):
    words = run("return [-80, -20].map((y) => page.farOffWords(at(4, y, 5), peg('r4a')))")
    assert "tap again to report it all the same" in words[0]
    assert words[1] is None


def test_a_new_pegs_name_is_free_and_can_be_typed_otherwise(run):
    assert run("return fresh.proposedId(pegs, 4)") == "r4d"
    faults = run("return ['', 'R4A', 'a b', 'mo-1', 'x'.repeat(17)].map((id) => fresh.idFault(id, pegs))")
    for fault, words in zip(
        faults, ("Give the peg a name", "already", "letters, digits", None, "at most 16"), strict=True
    ):
        assert fault is None if words is None else words in fault
    assert run("return fresh.idFault('r4a', pegs, 'r4a')") is None, "a planned peg keeps its name"


PLACES = {
    "made": "No position",
    "at(90000, 0, 5)": "Far from this hole",
    "at(3, -15, 0)": "How well is not known",
    "at(3, -15, 60)": "Within 98 m",
}


@pytest.mark.parametrize("job", PLACES)
def test_a_new_peg_is_placed_only_by_a_position_that_says_how_good_it_is(run, job):
    found = run(f"return fresh.newPlace({job}, 0)")
    assert (found["place"], found["label"]) == (None, PLACES[job])


def test_a_new_peg_is_where_the_phone_is_within_what_it_can(run):
    found = run(
        """const job = at(3, -15, 5);
        const {place} = fresh.newPlace(job, 0);
        return records.pegRecord(job, {peg: 'r4d', kind: 'reference', state: 'new', place}, {id: 'x', at: 0})"""
    )
    assert (found["x"], found["y"], found["placed_by"]) == (pytest.approx(3), pytest.approx(-15), "reading")
    assert found["within_m"] == pytest.approx(8.11, abs=0.005)
    assert found["reading"]["radius95_m"] == found["within_m"]
    old = run("return fresh.newPlace(at(3, -15, 5), 9000)")
    assert (old["place"], old["label"]) == (None, "Old position")


def test_a_peg_that_has_moved_is_said_to_be_seen_and_not_in_place(run):
    shown = run(
        "return [page.pegPage(made, peg('r4a'), 0), board.boardRows(made, pegs, ['r4a'], 0)[0]]",
        peg_reports=[report("r4a", "moved", "08:00"), report("r4a", "found", "09:00")],
    )
    assert {one["words"] for one in shown} == {"Seen, but it has moved: set it again"}
    assert (shown[0]["state"], shown[0]["isLost"], shown[1]["isBad"]) == ("moved", True, True)


def test_a_paint_peg_is_on_the_board_and_nothing_is_taped_from_it(run):
    """As on the desk: it stands on the outline itself."""
    found = run(
        """const tape = await load('tape_pegs'), lost = await load('reset_model');
        return [near.bunkerPegs(made, pegs).map(({id}) => id), tape.tapePegs(made, pegs).usable.map(({id}) => id),
          board.pegsIn(made, pegs, 'bunker').map(({id}) => id), board.boardWords(made, pegs),
          lost.lostRows(made, pegs).map(({name}) => name)]""",
        pegs=[*PEGS, peg("x1", 1, 1) | {"kind": "paint"}],
    )
    assert found[:2] == [["r4a", "r4b"], ["r4a", "r4b"]]
    assert found[2:] == [["r4a", "r4b", "x1"], "3 pegs by this bunker", ["r4a", "r4b", "x1"]]
