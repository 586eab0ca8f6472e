"""The yardage check of an edge: what it is held against, what the line makes of it, and its words."""

import pytest

pytestmark = pytest.mark.browser

# A square of sand, 100 to 110 m out and 10 m wide, straight ahead of the plate.
SQUARE = [[-5, 100], [5, 100], [5, 110], [-5, 110], [-5, 100]]
PLAN = {"tee": "back", "reach_m": 100.5, "carry_m": None, "along_m": 105, "offset_m": 0, "tolerance_m": 0.5}
SLANTED = [[-5, 100], [5, 104], [5, 110], [-5, 110], [-5, 100]]
JOB = """const CHECK_IN = {shiftX: 0, shiftY: 0, madeAtS: 0, sigmaM: 0.5, radius95M: 0.1, keptS: [0, 8]};
const job = (given) => {
  const sigmaM = given.sigma === undefined ? 0.5 : given.sigma;
  const reading = {fixes: 9, seconds: 8, leftOut: 0, sigmaM, timesS: [0, 8]};
  const tees = [
    {id: 'back', name: 'Back', x: 0, y: 0, line: [[0, 0], [0, 300]], within_m: given.within},
    {id: 'front', name: 'Front', x: 0, y: 20, line: [[0, 20], [0, 300]]},
  ];
  const outlines = [{id: 'sand', part: 'sand edge', closed: given.closed ?? true, trace: given.trace}];
  const bunkers = [{id: 'b', name: '1 left', revision: 'A', middle: [0, 105], plan: given.plan ?? null, outlines}];
  const site = {units: {ground: 'metre'}};
  const place = {x: given.x, y: given.y, awayM: null, radius95M: given.radius, checkIn: given.checkIn ?? null, reading};
  const hole = {number: 1, tees, grid_within_m: given.grid, grid_unknown: given.unknown ?? null};
  if (given.older) delete hole.grid_unknown;
  const practice = given.practising ? {grade: 'centimetre', start: ''} : null;
  return {
    bunkerId: 'b', teeId: given.tee ?? 'back', yardageUnit: 'metre', place, holding: null, practice, own: [],
    gauge: {trial: null, checkIn: given.checkIn ? {found: CHECK_IN} : null, lasting: null},
    watch: given.watch ?? {last: null, since: null, same: 0},
    bundle: {site, bunkers, hole, pegs: given.pegs ?? [{id: 'c1'}], frame: {ground_scale: given.scale ?? 1}},
  };
};"""


def here(ask, figure="reach", **given):
    given = {"trace": SQUARE, "plan": PLAN, "x": 0, "y": 100.5, "radius": 0.1, "grid": 0, **given}
    return ask(
        "check_here", f"(m, [g, figure]) => {{ {JOB} return m.checkHere(job(g), figure); }}", [given, figure]
    )


def settle(ask, figure="reach", **given):
    """The sentence for what `checkHere` finds."""
    given = {"trace": SQUARE, "plan": PLAN, "x": 0, "y": 100.5, "radius": 0.1, "grid": 0, **given}
    found = here(ask, figure, **given)
    return ask(
        "check_words",
        f"(m, [g, check]) => {{ {JOB} return m.settleWords(check, job(g)); }}",
        [given, found],
    )


def test_a_planned_figure_is_what_it_is_held_against_with_the_plans_own_tolerance(ask):
    found = here(ask)
    assert (found["plannedM"], found["basis"], found["toleranceM"]) == (100.5, "planned", 0.5)
    assert (found["differenceM"], found["verdict"]) == (0, "agrees")


@pytest.mark.parametrize(
    ("changes", "figure", "drawn"),
    [
        ({"tee": "front"}, "reach", 80.0),
        ({}, "carry", 110.0),
        ({"plan": None}, "along", 105.0),
        ({"plan": None, "scale": 1.001}, "reach", 100.1),
    ],
    ids=["another tee", "a figure that is not planned", "no plan", "ground metres"],
)
def test_without_a_plan_it_is_held_against_the_drawing(ask, changes, figure, drawn):
    found = here(ask, figure, **changes)
    assert (found["basis"], found["plannedM"]) == ("drawn", pytest.approx(drawn))


def test_without_a_plan_at_all_a_yard_is_allowed(ask):
    assert here(ask, "along", plan=None)["toleranceM"] == 0.9144


def why(ask, aim, figure="reach", **given):
    given = {"trace": SQUARE, "plan": PLAN, "x": 0, "y": 100.5, "radius": 0.1, "grid": 0, **given}
    return ask(
        "check_here",
        f"(m, [g, aim, figure]) => {{ {JOB} return m.whyNoCheck(job(g), aim, figure); }}",
        [given, aim, figure],
    )


def test_why_no_check_can_be_taken(ask):
    place = {"x": 0, "y": 0, "awayM": None}
    assert why(ask, {"place": place, "staleS": None}) is None
    assert why(ask, {"place": None, "staleS": None}) == "no position"
    assert why(ask, {"place": {"awayM": 9e5}, "staleS": None}) == "far away"
    assert why(ask, {"place": place, "staleS": 8}) == "old position"
    assert why(ask, {"place": place, "staleS": None}, tee="gold") == "no tee"
    no_edge = {"closed": False, "plan": None}
    assert why(ask, {"place": place, "staleS": None}, **no_edge) == "nothing to compare"
    assert why(ask, {"place": place, "staleS": None}, "along", **no_edge) is None


def test_off_the_line_the_drawing_tells_what_that_makes_of_the_difference(ask):
    # The front edge rises 4 m over 10 m, so 2 m to the right of the middle it lies 0.8 m farther out.
    found = here(ask, trace=SLANTED, plan=PLAN | {"reach_m": 102}, x=2, y=102.8)
    assert found["offLineM"] == pytest.approx(2.0)
    straight = (2**2 + 102.8**2) ** 0.5
    assert found["measuredM"] == pytest.approx(straight)
    assert found["ownLineM"] == pytest.approx(straight, abs=1e-6)
    assert found["lineEffectM"] == pytest.approx(straight - 102.0)
    assert (found["verdict"], found["settling"]["kind"]) == ("cannot tell", "step onto the line")


def test_who_misses_the_sand_by_more_than_the_receiver_errs_is_sent_onto_the_line(ask):
    assert settle(ask, x=6, y=100.5).startswith("Step 6.00 m left, looking from the tee")
    assert settle(ask, x=-6, y=100.5).startswith("Step 6.00 m right, looking from the tee")


def test_who_misses_it_by_less_is_taken_as_on_the_line(ask):
    found = here(ask, x=6, y=100.5, radius=20)
    assert (found["ownLineM"], found["lineEffectM"]) == (None, 0)
    assert found["settling"]["kind"] == "better receiver"


def test_of_the_middle_no_line_is_told(ask):
    found = here(ask, "offset", x=2, y=105)
    assert (found["measuredM"], found["offLineM"], found["ownLineM"]) == (2, None, None)


def test_a_position_that_never_moves_can_tell_nothing(ask):
    fix = {"latDeg": 1, "lonDeg": 1, "accuracyM": 1}
    watch = {"last": {**fix, "at": 30_000}, "since": 0, "same": 30}
    found = here(ask, watch=watch)
    assert found["verdict"] == "cannot tell"
    assert "may be repeating an old one" in settle(ask, watch=watch)


def test_the_range_takes_plate_and_grid_where_they_are_stated(ask):
    part = 1.959964 / 2.447747
    assert here(ask, radius=1.2)["rangeM"] == pytest.approx(1.2 * part, abs=1e-6)
    assert here(ask, radius=1.2, within=0.3, grid=0.4)["rangeM"] == pytest.approx(1.3 * part, abs=1e-6)
    assert here(ask, radius=1.2, within=None)["rangeM"] == pytest.approx(1.2 * part, abs=1e-6)


UNKNOWN_GRIDS = {
    "a plan kept from before": ({"older": True}, "open this page once with signal."),
    "a plan of a kind not known yet": ({"unknown": "tide"}, "open this page once with signal."),
    "two pegs that nothing checks": ({"grid": None, "unknown": "fit"}, "have a third peg measured for it"),
    "a shift": ({"grid": None, "unknown": "shift"}, "Check in on a control peg first:"),
    "an origin by hand": ({"grid": None, "unknown": "origin"}, "Check in on a control peg first:"),
    "no peg": (
        {"grid": None, "unknown": "shift", "pegs": []},
        "there is no peg to check in on: tape it, or have it surveyed,",
    ),
}


@pytest.mark.parametrize("name", UNKNOWN_GRIDS)
def test_a_grid_that_nobody_knows_is_never_taken_as_exact(ask, name):
    given, words = UNKNOWN_GRIDS[name]
    for x, y in ((0, 100.5), (0, 130), (6, 100.5)):
        found = here(ask, x=x, y=y, **given)
        assert (found["rangeM"], found["grid95M"], found["verdict"]) == (None, None, "cannot tell")
        assert words in settle(ask, x=x, y=y, **given)
    said = ask("check_words", "(m, check) => m.checkRange(check, 'metre')", found)
    assert said == "How far the grid is off is not known, so no range can be given."


def test_practice_positions_are_free_of_what_nobody_knows_of_the_grid(ask):
    for given, _ in UNKNOWN_GRIDS.values():
        found = here(ask, practising=True, **given)
        assert (found["grid95M"], found["verdict"]) == (0, "agrees")
        assert here(ask, practising=True, y=103, **given)["verdict"] == "differs"
    assert here(ask, practising=True, grid=0.4)["grid95M"] == 0.4


@pytest.mark.parametrize(
    ("unknown", "told"),
    [("shift", "shift within 5.0 cm."), ("origin", "shift within 5.0 cm, its direction taken as given.")],
)
def test_a_check_in_settles_where_a_grid_lies_but_for_what_it_leaves(ask, unknown, told):
    check_in = {"id": "1", "peg": "c1", "ageS": 60, "lasting95M": 0.05}
    given = {"grid": None, "unknown": unknown, "checkIn": check_in, "x": 0, "y": 100.5}
    found = here(ask, **given)
    assert (found["grid95M"], found["verdict"]) == (0.05, "agrees")
    assert found["rangeM"] > here(ask)["rangeM"]
    assert parts(ask, found, **given).endswith(told)
    two_pegs = here(ask, **given | {"unknown": "fit"})
    assert (two_pegs["grid95M"], two_pegs["verdict"]) == (None, "cannot tell")
    unworthy = here(ask, **given | {"checkIn": check_in | {"lasting95M": None}})
    assert unworthy["verdict"] == "cannot tell"


def parts(ask, check, **given):
    """What the page says that the range is made of."""
    given = {"trace": SQUARE, "x": 0, "y": 100.5, "radius": 0.1, "grid": 0, **given}
    return ask(
        "check_words", f"(m, [g, check]) => {{ {JOB} return m.partsWords(check, job(g)); }}", [given, check]
    )


def test_what_is_taken_as_exact_is_said(ask):
    told = parts(ask, here(ask))
    assert told == (
        "At 95 %: position within 0.1 m; tee plate taken as exact; grid taken as that of the receiver's corrections."
    )


def test_an_error_across_a_slanted_edge_widens_the_range(ask):
    # The front edge rises 4 m over 10 m.
    slanted = here(ask, trace=SLANTED, plan=PLAN | {"reach_m": 102}, y=102)
    assert slanted["edgeSlope"] == pytest.approx(0.4, abs=0.002)
    assert slanted["rangeM"] == pytest.approx(here(ask)["rangeM"] * (1 + 0.4**2) ** 0.5, rel=1e-3)
    assert here(ask, "along", trace=SLANTED)["edgeSlope"] == 0
    missed = here(ask, trace=SLANTED, x=6, y=102, radius=20)
    assert missed["edgeSlope"] == pytest.approx(0.4, abs=0.02)


def test_where_nothing_is_drawn_to_compare_with_only_the_line_itself_can_tell(ask):
    given = {"closed": False, "y": 100.5}
    assert here(ask, **given)["verdict"] == "agrees"
    off = here(ask, x=3, **given)
    assert (off["lineEffectM"], off["verdict"]) == (None, "cannot tell")


def test_what_time_settles_is_told_in_time_and_what_nothing_settles_wants_a_tape(ask):
    words = settle(ask, radius=0.8, sigma=0.33)
    assert words.startswith("Hold still about ")
    assert "then this receiver can tell, if the figure stays" in words
    assert settle(ask, y=101.0, radius=0.3).startswith("It stands too near the edge of what is allowed")
    assert settle(ask, radius=0.3, within=0.7).startswith("The tee plate or the grid is not known well")


def test_the_receiver_to_come_back_with_stays_the_same_while_a_poor_position_wanders(ask):
    # Half of the 0.5 m that are allowed, rounded down.
    told = {
        settle(ask, radius=6.5, sigma=2.65, y=100.5 + apart) for apart in (-3.1, -0.5, -0.02, 0.3, 0.49, 1.7)
    }
    assert told == {
        "This receiver cannot settle 0.5 m, however long it stands still. Use a survey receiver (within 0.2 m, 95 %), "
        "or have it taped from the tee plate."
    }


def test_a_receiver_without_a_figure_is_told_what_to_come_back_with(ask):
    words = settle(ask, radius=None, sigma=None)
    assert words.startswith(
        "This receiver gives no accuracy figure. Use a survey receiver (within 0.2 m, 95 %)"
    )


def test_a_good_receiver_near_the_limit_is_told_what_this_difference_asks_for(ask):
    # 0.1 m of room is a 95 % radius of 0.125 m, rounded down.
    words = settle(ask, radius=0.2, sigma=2.65, y=100.9)
    assert "Use a survey receiver (within 0.1 m, 95 %)" in words


def test_a_plain_miss_is_told_beside_the_step_onto_the_line(ask):
    words = settle(ask, x=6, y=92.4)
    assert words.startswith(
        "7.90 m short of the plan, and off its line. Step 6.00 m left, looking from the tee"
    )
    drawn = settle(ask, x=6, y=92.4, plan=None)
    assert drawn.startswith("7.40 m short of the drawing, and off its line. Step 6.00 m left")
    assert settle(ask, x=6, y=100.5).startswith("Step 6.00 m left")


def test_on_a_line_of_its_own_the_edge_is_where_it_is_drawn_or_how_far_off(ask):
    def own(**given):
        check = here(ask, **given)
        code = f"(m, [g, check]) => {{ {JOB} return m.checkFacts(check, job(g), 'Back').at(-1)[1]; }}"
        return ask("check_words", code, [{"trace": SQUARE}, check])

    assert own(y=100) == "at 100.00 m: where you stand"
    assert own(y=99.4) == "at 100.00 m: you stand 0.60 m short of it"
    assert own(y=92.4, radius=9) == "at 100 m: you stand about 8 m short of it"
    assert own(x=9) == "nowhere: that line passes beside the sand"


@pytest.mark.parametrize("radius", [0.02, 0.3, 1.1, 4.0, 9.0, 30.0, None])
@pytest.mark.parametrize("y", [70.13, 99.96, 100.5, 101.77, 131.4])
def test_measured_planned_and_difference_add_up_as_they_are_shown(ask, radius, y):
    check = here(ask, y=y, radius=radius)
    (figure, _), facts = ask(
        "check_words",
        f"(m, [g, check]) => {{ {JOB} const yards = {{...job(g), yardageUnit: 'yard'}};"
        " return [m.checkFigure(check, 'yard'), m.checkFacts(check, yards, 'Back')]; }",
        [{"trace": SQUARE}, check],
    )
    planned, difference = facts[0][1], facts[1][1]
    assert planned.endswith(" yd")
    decimals = len(figure.partition(".")[2])
    assert len(planned.removesuffix(" yd").partition(".")[2]) == decimals
    apart = float(figure) - float(planned.removesuffix(" yd"))
    if round(apart, 2) == 0:
        assert difference == "None that shows"
        return
    about = "About " if decimals == 0 else ""
    assert difference == f"{about}{abs(apart):.{decimals}f} yd {'short of' if apart < 0 else 'beyond'} it"


def test_an_offset_is_told_by_its_side_and_the_arrow_points_to_the_plan(ask):
    check = here(ask, "offset", x=-3.0, y=105)
    said = ask(
        "check_words", "(m, check) => [m.checkFigure(check, 'metre'), m.checkRange(check, 'metre')]", check
    )
    assert said == [["3.00", "m left"], "± 0.09 m at 95 %"]
    sign = ask(
        "check_words",
        f"(m, [g, check]) => {{ {JOB} return m.checkSign(check, job(g)); }}",
        [{"trace": SQUARE}, check],
    )
    assert (sign["kind"], sign["turnDeg"]) == ("outside", 90)
    assert sign["detail"] == "3.00 m left of the plan; 0.5 m is allowed."


def test_only_a_standing_check_of_this_phone_is_taken_back_and_practice_apart(ask):
    def check(name, practice=False, made_at="2026-05-02T10:00:00Z"):
        return {"id": name, "device": "d", "kind": "yardage", "practice": practice, "made_at": made_at}

    own = [
        check("a"),
        check("b"),
        {"id": "u", "device": "d", "kind": "undo", "undoes": "b"},
        check("p", True),
        check("old", True, "2026-05-01T10:00:00Z"),
    ]

    def last(practice):
        found = ask(
            "check_records", "(m, given) => m.lastOwnCheck(given)", {"own": own, "practice": practice}
        )
        return found and found["id"]

    assert last(None) == "a"
    assert last({"start": "2026-05-02T00:00:00Z"}) == "p"
    assert last({"start": "2026-05-03T00:00:00Z"}) is None


def test_a_phone_that_stores_nothing_never_says_saved(ask):
    given = {"trace": SQUARE, "plan": PLAN, "x": 0, "y": 100.5, "radius": 0.1, "grid": 0}
    found = ask(
        "check_sheet",
        f"(m, [g, check]) => {{ {JOB} return [true, false].map((kept) => m.savedWords(job(g), check, kept)[0]); }}",
        [given, here(ask)],
    )
    assert found == [
        "Saved on this phone: front edge, 100.50 m, agrees.",
        "Not stored: see the notice on the page.",
    ]
