"""The job in hand: aiming, doubts about a mark, records, and what happens when all is painted."""

import pytest

pytestmark = pytest.mark.browser

POINTS = [[1, 0, 0, 0], [2, 4, 0, 4], [3, 4, -4, 8], [4, 0, -4, 12]]
EDGE = {
    "id": "edge", "part": "sand edge", "closed": True, "length_m": 16, "points": POINTS,
    "trace": [[0, 0], [4, 0], [4, -4], [0, -4], [0, 0]],
}  # fmt: skip
SWALE = {**EDGE, "id": "swale", "part": "swale"}
TEE = {"id": "t", "name": "Back", "x": 0, "y": -100, "line": [[0, -100], [0, 100]]}
BUNKER = {
    "id": "b",
    "name": "4 right",
    "revision": "B",
    "play_bearing_deg": 0,
    "middle": [2, -2],
    "plan": None,
    "outlines": [EDGE, SWALE],
}
BUNDLE = {
    "site": {
        "id": "s",
        "name": "S",
        "tolerance_m": 0.1,
        "units": {"yardage": "yard", "ground": "metre"},
        "notes": [],
    },
    "frame": {"origin": [0, 0, 0], "half_width_m": 1500, "ground_scale": 1},
    "declination": None,
    "hole": {
        "number": 4,
        "name": "",
        "green": [0, 100],
        "tees": [TEE],
        "grid_within_m": 0,
        "grid_unknown": None,
    },
    "bunkers": [BUNKER],
    "pegs": [],
    "marks": [],
}
BY_EWAN = "{id: 'x', bunker: 'b', outline: 'edge', number: 1, revision: 'B', practice: false, person: 'Ewan'}"
SET_UP = """
  const frame = {toCourse: (lat, lon) => [lon * 1e5, lat * 1e5], trueBearingDeg: () => 42};
  const modules = ['job', 'aim', 'record', 'screen'].map(n => import(`/phone/session/${n}.js`));
  const [jobs, aims, records, screen] = await Promise.all(modules);
  const made = jobs.createJob({bundle, frame, bunkerId: 'b', person: 'Moira', device: 'd'});
  const fix = (x, y, accuracyM, at = 0) => ({latDeg: y / 1e5, lonDeg: x / 1e5, accuracyM, heightM: null, at});
"""


@pytest.fixture
def run(blank):
    """Run lines of JavaScript on a job called `made`."""

    def lines(code, bundle=BUNDLE):
        return blank.evaluate(f"async (bundle) => {{ {SET_UP} {code} }}", bundle)

    return lines


def test_a_job_begins_at_the_first_unpainted_point(run):
    mark = {"id": "x", "bunker": "b", "outline": "edge", "number": 1, "revision": "B", "practice": False}
    assert run("return made.number", {**BUNDLE, "marks": [mark]}) == 2


def test_a_job_begins_at_the_first_outline_with_work_left(run):
    mark = {"bunker": "b", "outline": "edge", "revision": "B", "practice": False}
    marks = [{**mark, "id": str(n), "number": n} for n in range(1, 5)]
    assert run("return made.outlineId", {**BUNDLE, "marks": marks}) == "swale"


def test_when_somebody_else_paints_the_target_the_job_aims_on(run):
    assert run(f"return jobs.withMarks(made, {{serverMarks: [{BY_EWAN}]}}).number") == 2


def test_a_painted_point_chosen_by_hand_stays_the_target(run):
    code = f"""const marked = jobs.withMarks(made, {{serverMarks: [{BY_EWAN}]}});
      return jobs.withMarks(jobs.choose(marked, {{outlineId: 'edge', number: 1}}), {{}}).number"""
    assert run(code) == 1


AIMS = [
    # where the fix stands, its accuracy, its age in ms, verdict, doubt
    ((0.01, 0.0), 0.014, 0, "inside", None),
    ((0.5, 0.0), 0.014, 0, "outside", None),
    ((0.09, 0.0), 0.014, 0, "cannot tell", None),
    ((0.01, 0.0), 4.0, 0, "cannot tell", None),
    ((0.01, 0.0), 0.014, 6000, "cannot tell", "old position"),
    ((3.0, 0.0), 0.014, 0, "outside", "far off"),
    ((3.0, 0.0), 4.0, 0, "cannot tell", None),
]


@pytest.mark.parametrize(("spot", "accuracy", "age", "verdict", "doubt"), AIMS)
def test_a_mark_is_judged_and_doubted_by_where_its_fix_stands(run, spot, accuracy, age, verdict, doubt):
    code = f"""const aim = aims.aimOf(jobs.withFix(made, fix({spot[0]}, {spot[1]}, {accuracy})), {age});
      return [aim.verdict, aims.doubtOf(aim)]"""
    assert run(code) == [verdict, doubt]


def test_without_a_position_a_mark_is_doubted_and_its_record_says_so(run):
    code = """const aim = aims.aimOf(made, 0);
      const record = records.markRecord(made, aim, {id: 'one', at: 0});
      return [aims.doubtOf(aim), record.fix, record.off_m, record.verdict]"""
    assert run(code) == ["no position", None, None, "cannot tell"]


def test_a_record_says_what_was_marked_where_and_how_well(run):
    code = """const job = jobs.withFix(made, fix(0.03, 0.04, 0.02, 1000));
      return records.markRecord(job, aims.aimOf(job, 1500), {id: 'one', at: 2000})"""
    record = run(code)
    radius, lat, lon = (record["fix"].pop(key) for key in ("radius95_m", "lat_deg", "lon_deg"))
    assert (lat, lon) == (pytest.approx(0.04 / 1e5), pytest.approx(0.03 / 1e5))
    assert radius == pytest.approx(0.02 * 1.6215, abs=1e-5)
    assert record["off_m"] == pytest.approx(0.05)
    assert record | {"off_m": None} == {
        "id": "one", "kind": "mark", "site": "s", "hole": 4, "made_at": "1970-01-01T00:00:02.000Z",
        "person": "Moira", "device": "d", "practice": False, "receiver": "phone",
        "target": {"bunker": "b", "outline": "edge", "part": "sand edge", "number": 1, "revision": "B",
                   "x": 0, "y": 0},
        "fix": {"accuracy_m": 0.02, "age_s": 0.5, "height_m": None,
                "radius95_basis": "the receiver's accuracy figure taken as its 68 % radius"},
        "off_m": None, "verdict": "inside",
    }  # fmt: skip


def test_a_practice_record_is_flagged_and_names_its_receiver(run):
    code = """const job = jobs.withReceiver(made, {grade: 'centimetre', start: '2026-05-01T08:00:00.000Z'});
      const record = records.markRecord(job, aims.aimOf(job, 0), {id: 'one', at: 0});
      return [record.practice, record.receiver]"""
    assert run(code) == [True, "practice centimetre-grade"]


def test_in_line_mode_the_distance_is_off_the_outline_and_the_mark_is_of_the_nearest_point(run):
    code = """const job = jobs.withFix({...made, mode: 'line'}, fix(3.5, 0.12, 0.014));
      const aim = aims.aimOf(job, 0);
      return [aim.line.offM, aim.line.alongM, aim.point.number, screen.figuresOf(job, aim, 0).way]"""
    off, along, number, way = run(code)
    assert (off, along, number) == (pytest.approx(0.12), pytest.approx(3.5), 2)
    assert way == ["outside the line", "3.50 m along, near point 2"]


STEPS = [
    # where one stands beside an open line of points numbered toward the tee, and the step that leads onto it
    ((4.12, -2.0), "12 cm left"),
    ((3.88, -2.0), "12 cm right"),
    ((4.0, 0.3), "30 cm toward the tee"),
]


@pytest.mark.parametrize(("spot", "step"), STEPS)
def test_off_an_open_line_the_step_to_take_is_told_in_the_direction_of_play(run, spot, step):
    line = {**EDGE, "closed": False, "points": [[1, 4, 0, 0], [2, 4, -4, 4]], "trace": [[4, 0], [4, -4]]}
    bundle = {**BUNDLE, "bunkers": [{**BUNKER, "outlines": [{**line, "length_m": 4}]}]}
    code = f"""const job = jobs.withFix({{...made, mode: 'line'}}, fix({spot[0]}, {spot[1]}, 0.014));
      return screen.figuresOf(job, aims.aimOf(job, 0), 0).way[0]"""
    assert run(code, bundle) == step


def test_when_an_outline_is_painted_the_next_one_is_offered(run):
    code = f"""const mark = n => ({{...{BY_EWAN}, id: 'x' + n, number: n}});
      const job = jobs.aimAtNext(jobs.withMarks(made, {{serverMarks: [1, 2, 3, 4].map(mark)}}), 4);
      const aim = aims.aimOf(job, 0);
      const {{label}} = screen.markButtonOf(job, aim);
      return [label, screen.figuresOf(job, aim, 0).way[0], screen.headOf(job, {{waiting: 0, refused: []}}).progress]"""
    assert run(code) == ["Go on: swale", "All 4 points of the sand edge are painted", "4 of 4"]


def test_outlines_of_one_part_are_told_apart_by_their_ids_where_one_is_chosen_and_painted(run):
    bundle = {**BUNDLE, "bunkers": [{**BUNKER, "outlines": [EDGE, {**EDGE, "id": "rim-2"}, SWALE]}]}
    code = f"""const mark = n => ({{...{BY_EWAN}, id: 'x' + n, number: n}});
      const job = jobs.aimAtNext(jobs.withMarks(made, {{serverMarks: [1, 2, 3, 4].map(mark)}}), 4);
      const aim = aims.aimOf(job, 0);
      const head = screen.headOf(job, {{waiting: 0, refused: []}});
      return [screen.outlineChoices(job)[0].outlines.map(({{part}}) => part), head.part,
        screen.markButtonOf(job, aim).label, screen.figuresOf(job, aim, 0).way[0]]"""
    assert run(code, bundle) == [
        ["sand edge 'edge'", "sand edge 'rim-2'", "swale"],
        "sand edge 'edge', revision B",
        "Go on: sand edge 'rim-2'",
        "All 4 points of the sand edge 'edge' are painted",
    ]


def test_the_figures_of_a_fix_are_distance_way_bearing_and_radius(run):
    code = """const job = jobs.withFix(made, fix(0.35, -2.1, 0.014));
      const figures = screen.figuresOf(job, aims.aimOf(job, 0), 0);
      return [figures.parts, figures.way, figures.bearing, figures.radius, figures.yardage]"""
    assert run(code) == [
        [["2.13", "m"]],
        ["2.10 m toward the green", "0.35 m left"],
        "042°",
        "within 2.3 cm (95 %)",
        ["107.1 ± 0.1 yd", "from Back, 95 %"],
    ]
