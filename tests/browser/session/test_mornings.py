"""The morning check: its three verdicts, the distances as typed, and a moved peg found by the tapes."""

from __future__ import annotations

import math

import pytest

pytestmark = pytest.mark.browser

VERDICT = "(m, given) => m.morningVerdict(given)"
FITS = {
    "verdict": "all fit",
    "suspects": [],
    "suspectLine": None,
    "shift": None,
    "wanted": None,
    "unchecked": [],
    "strengths": [{"seenFromM": 0.071}, {"seenFromM": 0.064}],
}
ALL_FOUND = {"a": "found", "b": "found", "c": "found"}


def judged(ask, finding=FITS, states=ALL_FOUND, **more):
    given = {"pegs": ["a", "b", "c"], "states": states, "finding": finding, **more}
    return ask("morning_verdict", VERDICT, given)


def test_it_is_safe_to_go_on_only_when_all_fit_and_every_peg_was_found(ask):
    found = judged(ask)
    assert (found["verdict"], found["reset"], found["settle"]) == ("go on", [], [])
    shown = "a peg moved by 7.1 cm or more (80 of 100 times) would have shown."
    assert found["reasons"] == [f"The taped distances fit: {shown}"]


def test_a_distance_that_cannot_be_used_is_never_left_out_of_a_verdict(ask):
    fault = "'x' is no length: type it again."
    found = judged(ask, faults=[fault])
    assert (found["verdict"], found["reasons"], found["settle"]) == ("cannot tell", [], [fault])
    assert judged(ask, NAMED, faults=[fault])["verdict"] == "cannot tell"
    missing = judged(ask, FITS, {**ALL_FOUND, "c": "missing"}, faults=[fault])
    assert (missing["verdict"], missing["reset"], missing["settle"]) == ("re-set", ["c"], [fault])
    strip = ask(
        "morning_verdict", "(m, [fits, fault]) => m.tapesStrip(fits, 'metre', [fault])", [FITS, fault]
    )
    assert (strip["kind"], strip["detail"]) == ("cannot tell", fault)


SAVING = """(m, { finding, states, named }) => {
  const moved = m.movedByTapes(finding, states);
  let count = 0;
  return { moved, ids: m.namedIds(named, moved, () => `new ${(count += 1)}`) };
}"""


@pytest.mark.parametrize(
    ("finding", "states", "moved"),
    [
        ("named", {}, ["b"]),
        ("named", {"b": {"state": "found"}}, ["b"]),
        ("named", {"b": {"state": "moved"}}, []),
        ("fits", {}, []),
        (None, {}, []),
    ],
)
def test_only_pegs_that_the_tapes_name_are_reported_by_them(ask, finding, states, moved):
    given = {"finding": {"named": NAMED, "fits": FITS, None: None}[finding], "states": states}
    assert ask("morning_saving", SAVING, given) == {"moved": moved, "ids": dict.fromkeys(moved, "new 1")}


def test_a_named_peg_keeps_the_id_of_its_report_when_the_check_is_saved_again(ask):
    given = {"finding": NAMED, "states": {}, "named": {"b": "old"}}
    assert ask("morning_saving", SAVING, given)["ids"] == {"b": "old"}


def test_a_check_that_was_being_saved_goes_on_with_the_records_that_are_missing(ask):
    left = "(m, [own, draft]) => m.leftToAdd({ own }, draft).map(({ id }) => id)"
    draft = {"ids": {"morning": "m", "taped": "t"}, "making": [{"id": "t"}, {"id": "p"}, {"id": "m"}]}
    assert ask("morning_saving", left, [[{"id": "t", "kind": "taped"}], draft]) == ["p", "m"]
    assert ask("morning_saving", left, [[{"id": "m", "kind": "morning"}], draft]) == []
    undone = [{"id": "m", "kind": "morning"}, {"id": "u", "kind": "undo", "undoes": "m"}]
    assert ask("morning_saving", left, [undone, draft]) == []
    assert ask("morning_saving", left, [[], {"ids": {"morning": "m", "taped": "t"}}]) == []


CANNOT = [
    (None, ALL_FOUND, "Tape between the pegs."),
    (FITS, {"a": "found", "b": "found"}, "Go and see c."),
    ({**FITS, "unchecked": ["c"]}, ALL_FOUND, "Tape to c as well."),
    ({**FITS, "verdict": "cannot tell", "wanted": ["b", "c"]}, ALL_FOUND, "Tape b to c."),
    (
        {**FITS, "verdict": "cannot tell", "suspects": ["a", "b"]},
        ALL_FOUND,
        "Measure nothing from a and b: set again whichever is loose.",
    ),
    (
        {**FITS, "verdict": "misfit", "suspectLine": ["a", "c"], "wanted": ["a", "c"]},
        ALL_FOUND,
        "Tape a to c.",
    ),
    ({**FITS, "verdict": "misfit"}, ALL_FOUND, "Tape the distances once more, each by itself."),
]


@pytest.mark.parametrize(("finding", "states", "settles"), CANNOT)
def test_anything_else_cannot_be_told_and_what_would_settle_it_is_said(ask, finding, states, settles):
    found = judged(ask, finding, states)
    assert (found["verdict"], found["reset"], found["settle"]) == ("cannot tell", [], [settles])


@pytest.mark.parametrize(
    ("pegs", "words"), [([], "no peg in reach"), (["a"], "One peg"), (["a", "b"], "Two pegs")]
)
def test_fewer_than_three_pegs_cannot_be_checked_by_tape(ask, pegs, words):
    found = judged(ask, None, dict.fromkeys(pegs, "found"), pegs=pegs)
    assert found["verdict"] == "cannot tell"
    assert words in found["settle"][0]


NAMED = {**FITS, "verdict": "misfit", "suspects": ["b"], "shift": {"movedM": 0.061, "withinM": 0.04}}
RESET = [
    (FITS, {**ALL_FOUND, "c": "moved"}, {}, ["c"], "c was found moved."),
    (FITS, {**ALL_FOUND, "c": "missing"}, {}, ["c"], "c was found missing."),
    (NAMED, ALL_FOUND, {}, ["b"], "b is not where it was: it is about 6 cm off."),
    ({**NAMED, "shift": None}, ALL_FOUND, {}, ["b"], "b is not where it was."),
    (NAMED, {**ALL_FOUND, "c": "missing"}, {}, ["c", "b"], "c was found missing."),
    (FITS, {"a": "found", "b": "found"}, {"before": ["c"]}, ["c"], "c was out of place before"),
]


@pytest.mark.parametrize(("finding", "states", "more", "reset", "words"), RESET)
def test_pegs_reported_or_named_by_the_tapes_are_to_be_set_again(ask, finding, states, more, reset, words):
    found = judged(ask, finding, states, **more)
    assert (found["verdict"], found["reset"]) == ("re-set", reset)
    assert words in " ".join(found["reasons"])


def test_a_peg_out_of_place_before_that_is_found_again_counts_as_found(ask):
    assert judged(ask, before=["c"])["verdict"] == "go on"


def test_a_distance_that_is_none_is_said_and_the_others_count(ask):
    lines = [{"one": "a", "other": "b", "typed": typed} for typed in ("", "20.01", "x", "0", "-3")]
    found = ask("morning_draft", "(m, lines) => m.typedLines({ lines }, 'metre')", lines)
    assert found["lines"] == [{"one": "a", "other": "b", "distanceM": 20.01}]
    assert found["faults"][:2] == [None, None]
    assert "'x' is no length" in found["faults"][2]
    assert all("more than 0" in words for words in found["faults"][3:])


def test_a_check_of_yesterday_is_old_and_a_strange_one_is_none(ask):
    hours = 3_600_000
    ages = ask(
        "morning_draft",
        "(m, ages) => ages.map((ms) => m.isOld({ startedAt: 1e12 }, 1e12 + ms))",
        [hours, 13 * hours],
    )
    assert ages == [False, True]
    assert ask("morning_draft", "(m) => [m.morningFrom(null), m.morningFrom({ version: 1, ids: {} })]") == [
        None,
        None,
    ]


PEGS = {"r4a": (2183.44, 5248.31), "r4b": (2195.96, 5278.34), "r4c": (2221.29, 5255.82)}
TAPES = """(m, { pegs, lines, levels, tolerance }) => {
  const tape = { length_m: 30, error_m: 0.01 };
  const job = { bundle: { site: { tolerance_m: tolerance ?? 0.1 }, frame: { ground_scale: 1 }, tape } };
  const levelM = (id) => levels?.[id] ?? null;
  const standing = Object.entries(pegs).map(([id, [x, y]]) => ({ id, x, y, withinM: null, levelM: levelM(id) }));
  const said = m.tapesSay(job, standing, lines);
  return { ask: m.linesToTape(job, standing), long: m.isLong(job, standing, { one: 'r4a', other: 'r4b' }), said };
}"""
LABELS = """(m, [levels, lines]) => {
  const site = { tolerance_m: 0.1, units: { ground: 'metre' } };
  const job = { bundle: { site, frame: { ground_scale: 1 }, tape: { length_m: 30, error_m: 0.01 } } };
  const netPegs = Object.entries(levels).map(([id, levelM], i) => ({ id, x: i, y: i * i, levelM }));
  const draft = { lines: lines.map(({ one, other }) => ({ one, other, typed: '7' })) };
  const said = { finding: null, lines: [], faults: [] };
  const shown = m.tapeModel(job, { draft, told: [], said, faults: [], pick: null, netPegs });
  return { intro: shown.intro, lines: shown.lines.map(({ label }) => label) };
}"""
ERRORS_M = {("r4a", "r4b"): 0.004, ("r4a", "r4c"): -0.006, ("r4b", "r4c"): 0.003}


def taped(moved=(0.0, 0.0), pairs=tuple(ERRORS_M), misread=0.0):
    places = {**PEGS, "r4b": (PEGS["r4b"][0] + moved[0], PEGS["r4b"][1] + moved[1])}
    lengths = [math.dist(places[one], places[other]) + ERRORS_M[one, other] for one, other in pairs]
    lengths[-1] += misread
    return [
        {"one": one, "other": other, "distanceM": round(length, 2)}
        for (one, other), length in zip(pairs, lengths, strict=True)
    ]


def test_the_three_pegs_of_a_bunker_are_asked_for_though_they_lie_farther_apart_than_the_tape(ask):
    found = ask("morning_tapes", TAPES, {"pegs": PEGS, "lines": taped()})
    assert sorted(map(sorted, found["ask"])) == sorted(map(sorted, ERRORS_M))
    assert found["long"] is True
    assert found["said"]["finding"]["verdict"] == "all fit"


def test_a_peg_moved_by_60_mm_is_named(ask):
    found = ask("morning_tapes", TAPES, {"pegs": PEGS, "lines": taped(moved=(-0.0133, 0.0585))})["said"][
        "finding"
    ]
    assert (found["verdict"], found["suspects"]) == ("misfit", ["r4b"])
    assert found["shift"]["movedM"] == pytest.approx(0.06, abs=0.02)


def test_a_tolerance_that_the_distances_would_not_show_is_not_said_to_be_kept(ask):
    given = {"pegs": PEGS, "lines": taped(), "tolerance": 0.06}
    found = ask("morning_tapes", TAPES, given)["said"]["finding"]
    seen = max(one["seenFromM"] for one in found["strengths"])
    assert 0.06 < seen < 0.10
    assert (found["verdict"], found["reason"]) == ("cannot tell", "too few")
    strip = ask("morning_verdict", "(m, finding) => m.tapesStrip(finding, 'metre')", found)
    assert "or more (80 of 100 times) would have shown: more than this site allows." in strip["detail"]
    assert strip["detail"].endswith("Tape the distances once more, each by itself.")


def test_a_tape_is_pulled_as_it_is_reckoned_where_one_peg_has_no_level(ask):
    """A peg that a crew placed has no level: only the distance between the other two is reduced."""
    levels = {"r4a": 12.0, "r4c": 14.0}
    lines = taped()
    lines[1]["distanceM"] = math.hypot(math.dist(PEGS["r4a"], PEGS["r4c"]), 2.0)
    said = ask("morning_tapes", TAPES, {"pegs": PEGS, "lines": lines, "levels": levels})["said"]
    reduced = {(line["one"], line["other"]): line["levelDifferenceM"] is not None for line in said["lines"]}
    assert reduced == {("r4a", "r4b"): False, ("r4a", "r4c"): True, ("r4b", "r4c"): False}
    shown = ask("morning_model", LABELS, [{peg: levels.get(peg) for peg in PEGS}, lines])
    assert shown["lines"] == [
        "r4a to r4b, m, held level", "r4a to r4c, m, along the slope", "r4b to r4c, m, held level",
    ]  # fmt: skip
    assert "as each line says: along the slope, or held level" in shown["intro"]


def test_one_distance_is_too_few_to_go_on_by(ask):
    found = ask("morning_tapes", TAPES, {"pegs": PEGS, "lines": taped(pairs=tuple(ERRORS_M)[:1])})["said"][
        "finding"
    ]
    assert (found["verdict"], found["wanted"] is not None) == ("cannot tell", True)


def test_a_tape_on_a_slope_is_reduced_where_both_levels_are_known(ask):
    levels = {"r4a": 12.0, "r4b": 14.0}
    flat = math.dist(PEGS["r4a"], PEGS["r4b"])
    lines = [{"one": "r4a", "other": "r4b", "distanceM": math.hypot(flat, 2.0)}]
    found = ask("morning_tapes", TAPES, {"pegs": PEGS, "lines": lines, "levels": levels})["said"]
    assert found["lines"][0]["levelDifferenceM"] == pytest.approx(2.0)
    assert found["finding"]["chiSquare"] < 0.001
    short = [{"one": "r4a", "other": "r4b", "distanceM": 1.5}]
    found = ask("morning_tapes", TAPES, {"pegs": PEGS, "lines": short, "levels": levels})["said"]
    assert (found["finding"], "shorter than the difference" in found["faults"][0]) == (None, True)


ROW = """(m, { own, now, pegs, revision }) => {
  const bundle = { site: { id: 's' }, bunkers: [{ id: 'k', revision: revision ?? 'A' }] };
  return m.morningRowWords({ own, practice: null, bunkerId: 'k', bundle }, pegs ?? [], Date.parse(now));
}"""
CHECKED = {
    "id": "m",
    "kind": "morning",
    "bunker": "k",
    "practice": False,
    "verdict": "go on",
    "reset": [],
    "revision": "A",
    "made_at": "2026-05-02T06:30:00Z",
}


def test_the_first_screen_tells_of_a_check_of_today_only(ask):
    today, tomorrow = "2026-05-02T08:00:00Z", "2026-05-03T06:00:00Z"
    assert ask("morning_model", ROW, {"own": [CHECKED], "now": today}).startswith("Safe to go on, checked at")
    advice = "Before work goes on: do the pegs still stand where they did?"
    assert ask("morning_model", ROW, {"own": [CHECKED], "now": tomorrow}) == advice
    undo = {"kind": "undo", "undoes": "m"}
    assert ask("morning_model", ROW, {"own": [CHECKED, undo], "now": today}) == advice


def peg(state, at="2026-05-02T06:00:00Z"):
    return {"id": "r4a", "state": state, "report": None if state is None else {"made_at": at}}


@pytest.mark.parametrize(
    ("pegs", "revision", "words"),
    [
        ([peg(None), peg("found")], "A", "Safe to go on, checked at"),
        ([peg("reset")], "A", "Safe to go on, checked at"),
        ([peg("missing")], "A", "Not safe now: r4a was reported missing after the check at"),
        ([peg("moved")], "A", "Not safe now: r4a was reported moved after the check at"),
        ([peg("reset", "2026-05-02T07:00:00Z")], "A", "Check again: r4a was set after the check at"),
        ([], "B", "Check again: revision B of the plan came after the check at"),
    ],
)
def test_a_check_does_not_outlast_what_was_reported_after_it(ask, pegs, revision, words):
    given = {"own": [CHECKED], "now": "2026-05-02T08:00:00Z", "pegs": pegs, "revision": revision}
    assert ask("morning_model", ROW, given).startswith(words)
    again = {**CHECKED, "verdict": "re-set", "reset": ["r4a"]}
    assert ask("morning_model", ROW, {**given, "own": [again]}).startswith("Set again: r4a, checked at")
