"""Has a peg moved: the kept draft, and what is said in feet and of a distance taped twice."""

from __future__ import annotations

import itertools
import math

import pytest

pytestmark = pytest.mark.browser

NOW = 1_800_000_000_000
DRAFT = {"version": 1, "id": "a", "startedAt": NOW, "lines": [{"one": "r1", "other": "r2", "typed": "7.42"}]}
SQUARE = {"r1": (0.0, 0.0), "r2": (20.0, 1.0), "r3": (19.0, 18.0), "r4": (-1.0, 17.0)}
SAID = """(m, {pegs, lines, unit}) => {
  const frame = { trueBearingDeg: () => 0 };
  const outline = { id: 'sand', part: 'sand edge', points: [[1, 8, 8, 0]], trace: [[8, 8], [9, 9]] };
  const bunker = { id: 'b', play_bearing_deg: 0, outlines: [outline] };
  const site = { id: 's', tolerance_m: 0.1, units: { ground: unit } };
  const job = { frame, bunkerId: 'b', outlineId: 'sand', practice: null, own: [],
    painted: new Map([['b/sand', new Map()]]),
    bundle: { site, bunkers: [bunker], frame: { ground_scale: 1 }, tape: { length_m: 30, error_m: 0.01 } } };
  const draft = { id: 'a', lines: lines.map(([one, other, m2]) => ({ one, other, typed: String(m2) })) };
  return import('/phone/session/morning_tapes.js').then(({ tapesSay }) => {
    const said = tapesSay(job, pegs, lines.map(([one, other, distanceM]) => ({ one, other, distanceM })));
    const faults = lines.map(() => null);
    const leftOut = ['r9 is left out: it is moved.'];
    return m.movedModel(job, { draft, told: [], said, faults, pick: null, pegs, leftOut });
  });
}"""


def model(ask, lines, unit="metre"):
    pegs = [
        {"id": peg, "x": x, "y": y, "withinM": 0.01, "levelM": None, "kind": "reference", "note": ""}
        for peg, (x, y) in SQUARE.items()
    ]
    return ask("moved_model", SAID, {"pegs": pegs, "lines": lines, "unit": unit})


def six(moved=(0.0, 0.0)):
    true = {**SQUARE, "r2": (SQUARE["r2"][0] + moved[0], SQUARE["r2"][1] + moved[1])}
    return [(a, b, round(math.dist(true[a], true[b]), 3)) for a, b in itertools.combinations(SQUARE, 2)]


@pytest.mark.parametrize(
    ("kept", "read"), [(DRAFT, DRAFT), ({**DRAFT, "version": 2}, None), ("?", None), (None, None)]
)
def test_a_kept_draft_that_this_page_cannot_read_is_none(ask, kept, read):
    assert ask("moved_draft", "(m, kept) => m.movedFrom(kept)", kept) == read


@pytest.mark.parametrize(
    ("typed", "own", "unsaved"), [("7.42", [], True), ("7.42", [{"id": "a"}], False), ("", [], False)]
)
def test_typed_distances_that_were_not_saved_are_told_of(ask, typed, own, unsaved):
    draft = {**DRAFT, "lines": [{"one": "r1", "other": "r2", "typed": typed}]}
    assert ask("moved_draft", "(m, [own, draft]) => m.isUnsaved({ own }, draft)", [own, draft]) is unsaved


def test_a_named_peg_is_told_with_the_way_from_its_place_in_feet(ask):
    told = model(ask, six((0.12, -0.05)), "foot")
    facts = dict(told["facts"])
    assert told["strip"]["title"] == "r2 has moved"
    assert facts["What to do"] == "Measure nothing from r2 until it is set again."
    assert facts["Where r2 is now"].startswith(
        "0.17 ft toward the tee and 0.39 ft to the right from its place, within"
    )
    assert facts["r1 to r2"] == "66.08 ft, 0.38 ft longer than by their places"
    assert told["intro"].endswith("r9 is left out: it is moved.")


def test_a_distance_taped_twice_otherwise_is_to_be_left_out(ask):
    lines = [*six(), ("r1", "r3", 26.30)]
    told = model(ask, lines)
    assert told["wanted"] is None
    assert (
        dict(told["facts"])["What to do"]
        == "Leave out 26.30 m from r1 to r3: taped again it reads otherwise."
    )


def test_a_second_reading_is_called_one_and_asked_for_as_one(ask):
    told = model(ask, [("r1", "r2", 20.02), ("r2", "r1", 20.03), ("r1", "r3", 26.17)])
    assert [line["label"] for line in told["lines"]][:2] == [
        "r1 to r2, m, held level",
        "r2 to r1, m, held level, once more",
    ]
    taped = "{ lines: [{ one: 'b', other: 'a', typed: '7' }] }"
    code = f"(m) => [['a', 'b'], ['b', 'c']].map((wanted) => m.wantedWords({taped}, wanted))"
    assert ask("morning_draft", code) == ["a to b again", "b to c"]


def test_three_distances_that_make_no_triangle_are_told(ask):
    told = model(ask, [("r1", "r2", 50.0), ("r2", "r3", 10.0), ("r3", "r1", 10.0)])["told"]
    words = "50.00 m from r1 to r2 cannot lie between 10.00 m and 10.00 m by r3: one of the three is misread."
    assert told == [words]
    assert model(ask, six())["told"] == []
