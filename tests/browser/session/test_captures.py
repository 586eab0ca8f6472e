"""A captured line on the phone: where its points lie, what is typed, its draft, its walk, and what is said of it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fieldapp.model import CapturedPoint, ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.tape.baseline import point_at
from fieldapp.tape.captured import place_point
from fieldapp.tape.intersection import error_ellipse, point_covariance
from fieldapp.tape.likeness import likeness
from fieldapp.tape.ties import Tape, TiePeg, peg_sigma_m

pytestmark = pytest.mark.browser

SCALE = 1.0004
PEGS = {
    "a": {"x": 1000.0, "y": 2000.0, "withinM": None},
    "b": {"x": 1030.0, "y": 2010.0, "withinM": 0.02},
    "c": {"x": 1015.0, "y": 2005.0, "withinM": None},
}
PLACE = "(m, [point, pegs, tape]) => m.placeOfPoint(point, pegs, tape)"
TAPE = {"scale": SCALE, "errorM": 0.01, "unit": "metre"}


def place(ask, by, pegs, distances, side=""):
    point = {"by": by, "pegs": pegs, "distancesM": distances, "side": side}
    return ask("capture_place", PLACE, [point, PEGS, TAPE])


def ground(peg: str) -> np.ndarray:
    return np.array([PEGS[peg]["x"], PEGS[peg]["y"]]) * SCALE


def test_an_offset_point_lies_where_python_puts_it_in_ground_metres(ask):
    found = place(ask, "line", ["a", "b"], [12.5, -3.2])
    wanted = point_at(12.5, -3.2, ground("a"), ground("b")) / SCALE
    assert (found["x"], found["y"]) == (
        pytest.approx(wanted[0], abs=1e-6),
        pytest.approx(wanted[1], abs=1e-6),
    )
    assert 0.0245 < found["withinM"] < 0.06


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_point_of_two_tapes_lies_on_its_side_with_the_error_of_tapes_and_pegs(ask, side):
    left = np.array([1012.0, 2016.0]) * SCALE
    mirrored = ground("b") - ground("a")
    axis = mirrored / np.hypot(*mirrored)
    across = left - ground("a")
    right = ground("a") + 2 * (across @ axis) * axis - across
    truth = left if side == "left" else right
    tapes = [float(np.hypot(*(truth - ground(peg)))) for peg in "ab"]
    found = place(ask, "ties", ["a", "b"], tapes, side)
    assert np.array([found["x"], found["y"]]) * SCALE == pytest.approx(truth, abs=1e-6)
    sigma = 0.02 / math.sqrt(-2 * math.log(0.05))
    covariance = point_covariance(truth, ground("a"), ground("b"), 0.01, 0.01, None, np.eye(2) * sigma**2)
    assert found["withinM"] == pytest.approx(error_ellipse(covariance).major_m, abs=1e-6)
    point = CapturedPoint("ties", ("a", "b"), tuple(tapes), side, found["x"], found["y"], found["withinM"])
    desk = place_point(
        point,
        {peg: TiePeg(peg, tuple(ground(peg)), sigma * (peg == "b")) for peg in "ab"},
        Tape(99.0, 0.01),
        SCALE,
    )
    assert desk.radius95_m == pytest.approx(found["withinM"], abs=1e-6), (
        "the desk tells of it as the phone does"
    )


def test_tapes_that_cannot_meet_say_by_how_much(ask):
    apart = float(np.hypot(*(ground("b") - ground("a"))))
    short = place(ask, "ties", ["a", "b"], [10.0, 12.0], "left")["fault"]
    assert f"{apart - 22:.2f} m too short to reach from a to b" in short
    inside = place(ask, "ties", ["a", "b"], [50.0, 10.0], "left")["fault"]
    assert f"one is {50 - 10 - apart:.2f} m longer" in inside
    in_line = place(ask, "ties", ["a", "b"], [apart / 2, apart / 2], "left")["fault"]
    assert "lie in one line there" in in_line
    assert "at one place" in place(ask, "line", ["a", "a"], [1.0, 1.0])["fault"]


TYPED = [
    ("7.42", "metre", 7.42),
    (" 7,42 ", "metre", 7.42),
    ("-.5", "metre", -0.5),
    ("10", "foot", 3.048),
    ("-3'6\"", "foot", -1.0668),
    ("0", "metre", 0.0),
]


@pytest.mark.parametrize(("text", "unit", "length"), TYPED)
def test_a_length_is_read_in_the_unit_of_the_site(ask, text, unit, length):
    found = ask("typed_length", "(m, a) => m.lengthTyped(...a)", [text, unit, "the distance from a"])
    assert found == {"lengthM": pytest.approx(length)}


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "Type the"), ("seven", "'seven' is no length"), ("1e3", "no length"), ("742", "longer")],
)
def test_what_is_no_length_is_said_in_one_sentence(ask, text, words):
    found = ask("typed_length", "(m, a) => m.lengthTyped(...a)", [text, "metre", "the distance from a"])
    assert words in found["fault"]
    assert found["fault"].endswith(".")


SHAPES = [
    ([(0, 0), (6, -2), (11, 1), (12, 7), (5, 6), (-2, 4)], "smooth", True),
    ([(0, 0), (6, -2), (11, 1), (12, 7)], "smooth", False),
    ([(0, 0), (6, -2), (11, 1)], "straight", True),
]


@pytest.mark.parametrize(("points", "curve", "closed"), SHAPES)
def test_the_preview_is_the_curve_that_the_server_draws(ask, points, curve, closed):
    given = [[{"x": x, "y": y} for x, y in points], curve, closed]
    drawn = ask("../geometry/smooth_line", "(m, a) => m.lineThrough(...a)", given)
    built = build_curve(DrawnShape(tuple(ControlPoint(*xy) for xy in points), curve, closed))
    trace = built.trace(1e-4)
    apart = [float(np.hypot(*(trace - (one["x"], one["y"])).T).min()) for one in drawn]
    assert max(apart) < 0.05
    assert drawn[0] == {"x": points[0][0], "y": points[0][1]}
    assert (drawn[-1] == drawn[0]) is closed


JOB = """{ bunkerId: 'k', practice: null, own: [], place: null, person: 'Robin', device: 'd', gauge: {}, frame: {},
  bundle: { site: { id: 's', units: { ground: 'metre' } }, hole: { number: 4 }, frame: { ground_scale: 1 },
    tape: { length_m: 30, error_m: 0.01 },
    bunkers: [{ id: 'k', revision: 'C', outlines: [{ id: 'sand', part: 'sand edge', closed: true, points: [],
      length_m: 40, trace: [[0, 0], [0, 10], [10, 10], [10, 0], [0, 0]] }] }] } }"""
DRAFT = f"""const job = {JOB};
  const peg = (id, x, y, state = null) => ({{ id, x, y, withinM: null, state }});
  const pegs = [peg('a', 0, -5), peg('b', 20, -5), peg('gone', 5, 5, 'moved')];
  const tape = {{ scale: 1, errorM: 0.01, unit: 'metre' }};
  let draft = d.newDraft(job, {{ id: 'one', outlineId: 'sand', by: 'line', pegs }});
  const put = (first, second, side = 'left', from = pegs) => {{
    const made = d.tryPoint(draft, d.measurement({{ ...draft.entry, side }}, [first, second]), from, tape);
    if (!made.fault) draft = d.withPoint(draft, made.point, made.pegs);
    return made.fault ?? null;
  }};"""


def with_draft(ask, code):
    script = f"(d) => {{ {DRAFT} {code} }}"
    return ask("capture_draft", script)


def test_points_come_in_order_and_one_can_be_put_between_and_taken_out(ask):
    found = with_draft(
        ask,
        """put(0, 5); put(10, 5); put(10, 15); draft = d.goOnAfter(draft, 1); const at = d.nextNumber(draft); put(5, 5);
        const xs = draft.points.map((p) => p.x); const then = d.nextNumber(draft);
        return { xs, at, then, out: d.withoutPoint(draft, 2).points.map((p) => p.x), ways: draft.points[0] };""",
    )
    assert found["xs"] == [pytest.approx(x) for x in (0, 5, 10, 10)]
    assert (found["at"], found["then"]) == (2, 3)
    assert found["out"] == [pytest.approx(x) for x in (0, 10, 10)]
    assert found["ways"]["distancesM"] == [0, -5]


def test_a_peg_that_is_gone_or_was_set_elsewhere_makes_no_point(ask):
    found = with_draft(
        ask,
        """put(1, 5); draft.entry.pegs = ['a', 'gone']; const gone = put(1, 1); draft.entry.pegs = ['a', 'b'];
        const elsewhere = put(2, 5, 'left', [peg('a', 0.06, -5), pegs[1]]); draft.entry.pegs = ['a', 'a'];
        return [gone, elsewhere, put(1, 1), draft.points.length];""",
    )
    assert "gone does not stand where it was" in found[0]
    assert "a was set elsewhere since you began" in found[1]
    assert found[2:] == ["Choose two different pegs.", 1]


def test_the_method_in_the_record_follows_from_the_points(ask):
    found = with_draft(
        ask,
        """const method = (...ways) => d.methodOf({ ...draft, points: ways.map((by) => ({ by })) });
        return [method('line', 'line'), method('ties'), method('line', 'ties'), method('reading'),
          d.methodOf(d.withEntry(draft, { by: 'walk' }))];""",
    )
    assert found == ["line", "ties", "mixed", "mixed", "walk"]


@pytest.mark.parametrize("kept", [None, {}, {"version": 2}, {"version": 1, "id": "x", "outline": "y"}])
def test_a_kept_draft_that_this_page_cannot_read_is_none(ask, kept):
    assert ask("capture_draft", "(m, kept) => m.draftFrom(kept)", kept) is None


WALK = """(m, steps) => {
  let draft = { fixes: [], startedAt: null, lastAt: null, gapS: 0, points: [], entry: { by: 'walk' } };
  const seen = steps.map(([s, x, y]) => {
    const fix = { at: 1e6 + 1000 * s, latDeg: 50 + y / 1e5, lonDeg: x / 1e5 };
    draft = m.withWalked(draft, { fix, sample: { sigmaM: 2 }, place: { x, y, radius95M: 4.9, awayM: null } });
    return draft.fixes.length;
  });
  const [within, round, walked] = [m.walkWithinM(draft), m.isRound(draft, 1), m.walkedM(draft, 1)];
  return { seen, last: draft.fixes.at(-1), within, round, walked }; }"""


def test_a_walk_takes_each_position_once_and_knows_when_it_is_round(ask):
    ring = [[s, 10 * math.cos(s / 5), 10 * math.sin(s / 5)] for s in range(32)]
    found = ask("capture_walk", WALK, ring)
    assert found["seen"][-1] == 32
    assert found["round"] is True
    assert found["within"] == 4.9
    assert found["walked"]["lengthM"] == pytest.approx(62, abs=0.5)
    halfway = ask("capture_walk", WALK, [*ring[:16], [15.3, 0, 0], [3, 9, 9], [17, *ring[15][1:]]])
    assert halfway["seen"][-4:] == [16, 16, 16, 16], "too soon, an older one, a repeated one"
    assert halfway["round"] is False
    assert halfway["last"]["tS"] == 15


def test_five_thousand_positions_are_the_most(ask):
    steps = [[s, s % 97, s % 89] for s in range(5003)]
    assert max(ask("capture_walk", WALK, steps)["seen"]) == 5000


def truth(ask, **draft):
    given = {"points": [], "fixes": [], "entry": {"by": "line"}, "closed": True, **draft}
    return ask("capture_words", "(m, d) => m.truthOf(d, 'metre')", given)


def test_how_true_a_line_is_follows_from_its_points_and_a_phones_walk_is_told_plainly(ask):
    points = [{"by": "ties", "withinM": within} for within in (0.031, 0.044)]
    assert truth(ask, points=points)["title"] == "Points within 3.1 to 4.4 cm (95 %)"
    assert truth(ask, points=points)["kind"] == "inside"
    poor = truth(ask, points=[*points, {"by": "reading", "withinM": 4.9}])
    assert (poor["kind"], "Point 3 is the worst" in poor["detail"]) == ("cannot tell", True)
    unknown = truth(ask, points=[*points, {"by": "reading", "withinM": None}])
    assert unknown["title"] == "How true it is cannot be told"
    walk = truth(ask, fixes=[{"withinM": 4.9}] * 5, entry={"by": "walk"})
    assert (walk["kind"], walk["title"]) == ("cannot tell", "± 4.9 m; ties are better")


@pytest.mark.parametrize(
    ("count", "words"), [(0, "No point has"), (2, "Two points have no shape"), (3, None)]
)
def test_fewer_than_three_points_are_told(ask, count, words):
    given = {"points": [{}] * count, "fixes": [], "entry": {"by": "line"}}
    found = ask("capture_words", "(m, d) => m.tooFewWords(d)", given)
    assert found is None if words is None else words in found


def test_points_out_of_order_cross_themselves(ask):
    square = [{"x": x, "y": y} for x, y in ((0, 0), (10, 0), (10, 10), (0, 10))]
    crossed = [square[0], square[2], square[1], square[3]]
    code = "(m, d) => m.crossingWords(d)"
    for curve in ("smooth", "straight"):
        given = {"curve": curve, "closed": True}
        assert ask("capture_doubts", code, {"points": square, **given}) is None
        words = ask("capture_doubts", code, {"points": crossed, **given})
        assert "from point 1 to 2 it meets the way from 3 to 4" in words
        repeated = ask("capture_doubts", code, {"points": [*crossed[:2], crossed[1], *crossed[2:]], **given})
        assert "from point 1 to 2 it meets the way from 4 to 5" in repeated


WALKED = """const walk = (xys) => d.withEntry({ ...draft,
    fixes: xys.map(([x, y], i) => ({ tS: i, x, y, withinM: 4 })) }, { by: 'walk' });"""


def doubts(ask, code):
    script = f"async (d) => {{ const m = await import('./phone/session/capture_doubts.js'); {DRAFT} {WALKED} {code} }}"
    return ask("capture_draft", script)


def test_a_line_that_the_desk_is_bound_to_refuse_is_doubted_in_words(ask):
    found = doubts(
        ask,
        """const ring = Array.from({ length: 40 }, (_, i) => [5 + 5 * Math.cos(i / 6), 5 + 5 * Math.sin(i / 6)]);
        const few = m.doubtsOf(job, draft); put(0, 5); put(5, 5); put(10, 5); put(15, 5);
        return [few, m.doubtsOf(job, walk(ring)), m.doubtsOf(job, walk([[0, 0], [2, 0], [4, 0], [6, 0]])),
          m.doubtsOf(job, walk(ring.map(([x, y]) => [x + 274, y]))), m.doubtsOf(job, draft)];""",
    )
    assert found[:2] == [[], []]
    assert found[2] == [
        "You have not come back to where you began: you walked 6 m and are 6 m from there.",
        "It all lies in one straight line: nothing lies inside.",
    ]
    assert len(found[3]) == 1
    assert found[3][0].startswith("It lies 264.")
    assert found[4] == ["It all lies in one straight line: nothing lies inside."]


def test_saving_a_doubtful_line_is_asked_once_more(ask):
    found = doubts(
        ask,
        """const look = await import('./phone/session/capture_model.js');
        put(0, 5); put(10, 15); put(10, 5); put(0, 15); const told = { chosen: null, isSaving: false, draft };
        return [false, true].map((isSure) => { const { save, remarks } = look.lookModel(job, { ...told, isSure });
          return [save.label, save.isAsking, save.note, remarks.length]; });""",
    )
    assert found == [
        ["Save this line", False, "sand edge, 4 points", 1],
        ["Save it all the same", True, "it is not likely to be confirmed", 1],
    ]


def test_what_is_measured_while_practising_is_kept_apart(ask):
    code = """(m) => [null, { grade: 'phone' }].map(
      (practice) => m.draftKey({ bundle: { site: { id: 's' } }, bunkerId: 'k', practice }))"""
    real, practice = ask("capture_draft", code)
    assert real != practice


def test_a_clock_put_back_in_the_middle_of_a_walk_is_said(ask):
    code = """(m, at) => m.walkTrouble({ place: { awayM: null, radius95M: 4 }, fix: { at } }, { lastAt: 1e12 })"""
    assert ask("capture_walk", code, 1e12 + 1000) is None
    assert "clock was put back" in ask("capture_walk", code, 1e12 - 60_000)


@pytest.mark.parametrize(("unit", "square_m"), [("metre", 2.0), ("foot", 6 * 0.3048)])
def test_squares_off_a_string_are_as_true_as_the_3_4_5_of_the_sites_unit(ask, unit, square_m):
    point = {"by": "line", "pegs": ["a", "b"], "distancesM": [12.5, -9.2], "side": ""}
    found = ask("capture_place", PLACE, [point, PEGS, TAPE | {"unit": unit}])
    known = [TiePeg(peg, tuple(ground(peg)), peg_sigma_m(PEGS[peg]["withinM"])) for peg in "ab"]
    record = CapturedPoint("line", ("a", "b"), (12.5, -9.2), "", 0.0, 0.0, None)
    placed = place_point(record, {peg.id: peg for peg in known}, Tape(30.0, 0.01), SCALE, square_m)
    largest = np.sqrt(np.linalg.eigvalsh(placed.covariance).max()) * math.sqrt(-2 * math.log(0.05))
    assert found["withinM"] == pytest.approx(largest, abs=1e-6)


def test_the_screen_that_tapes_points_says_to_hold_the_tapes_level(ask):
    """Nothing is taken off for a slope here: a tape on the ground would put the point too far out."""
    site = {"units": {"ground": "metre"}}
    bundle = {
        "site": site, "bunkers": [{"id": "one", "outlines": []}], "tape": {"length_m": 30, "error_m": 0.01},
        "frame": {"ground_scale": 1},
    }  # fmt: skip
    question = """(m, [bundle, ways]) => ways.map((by) => {
      const draft = { entry: { by, pegs: ['a', 'b'], first: '', second: '', side: 'left' }, points: [] };
      const job = { bundle, bunkerId: 'one', place: null };
      return m.measureModel(job, { draft, told: [], doubt: null, isChoosing: false }, []).here;
    })"""
    line, ties = ask("capture_model", question, [bundle, ["line", "ties"]])
    assert line.startswith("Hold the tapes level.")
    assert ties.startswith("Hold both tapes level")


REPEATED = [
    ([(0, 0), (6, -2), (6, -2), (12, 7)], "smooth", True),
    ([(0, 0), (6, -2), (6, -2), (6, -2), (12, 7)], "smooth", False),
    ([(0, 0), (6, -2), (12, 7), (0, 0)], "smooth", True),
    ([(3, 3), (3, 3), (3, 3)], "smooth", True),
    ([(3, 3), (3, 3), (5, 5)], "straight", True),
]


@pytest.mark.parametrize(("points", "curve", "closed"), REPEATED)
def test_points_at_one_place_give_a_line_of_figures_only(ask, points, curve, closed):
    given = [[{"x": x, "y": y} for x, y in points], curve, closed]
    drawn = ask("../geometry/smooth_line", "(m, a) => m.lineThrough(...a)", given)
    assert all(math.isfinite(one["x"]) and math.isfinite(one["y"]) for one in drawn)
    assert drawn[0] == {"x": points[0][0], "y": points[0][1]}


def test_a_point_added_twice_is_told_by_its_number(ask):
    found = with_draft(
        ask,
        """put(0, 5); put(10, 5); put(10, 15); const at = (x, y) => d.twiceWords(draft, { x, y }, 1);
        const words = [at(10, 10.004), at(0, 0), at(10, 9)]; draft = d.goOnAfter(draft, 1);
        return [...words, at(0, 0), at(10, 0.001)];""",
    )
    assert found[0] == "Point 4 is the same as point 3. Measure the next one."
    assert found[1] == "Point 4 is the same as point 1. The line closes by itself: look at it and save."
    assert found[2] is None
    assert found[3] == "Point 2 is the same as point 1. Measure the next one."
    assert found[4] == "This one is the same as point 2. Measure the next one."


def test_the_last_point_is_taken_away_where_it_was_put(ask):
    found = with_draft(
        ask,
        """put(0, 5); put(10, 5); draft = d.goOnAfter(draft, 1); put(5, 5); const back = d.withoutLast(draft);
        const none = d.withoutLast(d.withoutLast(d.goOnAfter(back, null)));
        return [back.points.map((p) => p.x), d.nextNumber(back), none.points.length, d.withoutLast(none) === none];""",
    )
    assert found == [[pytest.approx(0), pytest.approx(10)], 2, 0, True]


@pytest.mark.parametrize("curve", ["smooth", "straight"])
def test_the_phone_and_the_desk_tell_the_same_of_a_line_beside_the_drawn_one(ask, curve):
    """The drawn line is the square of the job, ten metres each way; errors of 7 cm do not make the figures coarser."""
    ring = [(-2.03, 5.0), (1.0, 11.2), (6.0, 9.31), (12.4, 8.8), (8.0, 1.3), (4.0, -0.6)]
    drawn = build_curve(
        DrawnShape(tuple(ControlPoint(*xy) for xy in ((0, 0), (0, 10), (10, 10), (10, 0))), "straight", True)
    )
    alike = likeness(drawn, build_curve(DrawnShape(tuple(ControlPoint(*xy) for xy in ring), curve, True)))
    gap = max(math.dist(one, other) for one, other in zip(ring, [*ring[1:], ring[0]], strict=True))
    facts = ask(
        "capture_words",
        f"(m, ring) => m.captureFacts({JOB}, {{ outline: 'sand', closed: true, curve: '{curve}',"
        " entry: { by: 'line' }, points: ring.map(([x, y]) => ({ x, y, withinM: 0.07 })) })",
        ring,
    )
    assert facts == [
        ["Beside the drawn line", f"up to {alike.out_m:.2f} m outside, {alike.in_m:.2f} m inside"],
        ["Widest gap between points", f"{gap:.2f} m"],
    ]
