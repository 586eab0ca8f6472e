"""What the screens of the tape show of a job: ties, the string, and a lost peg."""

import math
from datetime import date

import pytest

from fieldapp.formats.bundle import describe_hole
from fieldapp.formats.site_folder import load_checked_site
from fieldapp.model.standing_peg import StandingPeg
from fieldapp.outline.laid_out import hole_scale
from fieldapp.shipped_files import sample_site_folders
from fieldapp.tape.bunker_points import bunker_points, pegs_of_bunker, site_square_unit_m, site_tape, tie_peg
from fieldapp.tape.squared_bunker import usual_string
from fieldapp.workflow.sites import laid_out

pytestmark = pytest.mark.browser
SITES = {folder.name: load_checked_site(folder) for folder in sample_site_folders()}

POINTS = [[1, 100.0, 210.0, 0.0], [2, 110.0, 210.0, 10.0], [3, 110.0, 220.0, 20.0], [4, 100.0, 220.0, 30.0]]
OUTLINE = {
    "id": "sand", "part": "sand edge", "closed": True, "length_m": 40.0,
    "trace": [[x, y] for _, x, y, _ in [*POINTS, POINTS[0]]], "points": POINTS,
    "levels_m": None, "levels_basis": "not known: taken as level ground",
}  # fmt: skip
PEG = {"kind": "reference", "level_m": None, "note": ""}
PEGS = {"a": (95.0, 200.0), "b": (120.0, 202.0), "c": (113.0, 223.0), "d": (92.0, 226.0)}


def bundle(pegs=PEGS, unit="metre", scale=1.0, reports=(), **outline):
    return {
        "site": {"id": "s", "tolerance_m": 0.1, "units": {"ground": unit, "yardage": "yard"}},
        "frame": {"ground_scale": scale},
        "hole": {"number": 1, "tees": [], "green": [100, 300]},
        "bunkers": [
            {"id": "one", "name": "One", "revision": "A", "play_bearing_deg": 0.0, "middle": [105, 215], "plan": None,
             "outlines": [{**OUTLINE, **outline}]}
        ],
        "pegs": [{**PEG, "id": name, "x": x, "y": y} for name, (x, y) in pegs.items()],
        "field_pegs": [], "peg_reports": list(reports), "marks": [],
        "tape": {"length_m": 30.0, "error_m": 0.01},
    }  # fmt: skip


def report(peg, state, number=1, **more):
    return {"id": f"r{number}", "peg": peg, "state": state, "note": "", "photos": [], "person": "Ada",
            "made_at": f"2026-05-01T0{number}:00:00Z", **more}  # fmt: skip


@pytest.fixture
def model(ask):
    """A function that gives the model of a screen for a bundle and what was chosen."""

    def of(module, name, given, **chosen):
        question = f"""async (m, [bundle, chosen]) => {{
          const jobs = await import('/phone/session/job.js');
          const {{ standingPegs }} = await import('/phone/session/standing_pegs.js');
          const job = jobs.createJob({{ bundle, frame: null, bunkerId: 'one', person: 'Ada', device: 'phone 1' }});
          return m.{name}(job, standingPegs(job), chosen);
        }}"""
        return ask(module, question, [given, chosen])

    return of


def ties(model, given, number=1, only=None):
    return model("tie_model", "tieModel", given, number=number, only=only)


def test_the_figures_are_the_distances_on_the_ground(model):
    shown = ties(model, bundle(scale=1.001))
    for row in shown["rows"]:
        wanted = math.dist(PEGS[row["peg"]], POINTS[0][1:3]) * 1.001
        assert float(row["figure"]) == pytest.approx(wanted, abs=0.005)
    assert [row["sign"] for row in ties(model, bundle(unit="foot"))["rows"]] == ["ft", "ft"]


def test_a_peg_that_is_not_in_place_is_left_out_and_said(model):
    shown = ties(model, bundle(reports=[report("a", "missing"), report("b", "moved", 2)]))
    assert {row["peg"] for row in shown["rows"]} == {"c", "d"}
    assert shown["leftOut"] == [
        "a is left out: it was reported missing.",
        "b is left out: it was reported moved.",
    ]


def test_a_peg_that_was_set_again_makes_its_points_less_sure(model):
    sure = ties(model, bundle(), only=["a", "c"])
    again = ties(model, bundle(reports=[report("a", "reset", within_m=0.05)]), only=["a", "c"])
    assert again["found"]["ellipse"]["majorM"] > 1.3 * sure["found"]["ellipse"]["majorM"]
    assert "the pegs taken as exact" in sure["basis"]
    assert "the pegs as well as they are known" in again["basis"]


def test_a_peg_placed_by_phone_is_not_taped_from_and_said(model):
    """The place of a crew's peg is as good as the receiver was: metres are no place to hook a tape on."""
    own = {**PEG, "id": "e", "x": 105.0, "y": 200.0, "within_m": 6.5}
    given = {**bundle(pegs={name: PEGS[name] for name in "abc"}), "field_pegs": [own]}
    shown = ties(model, given)
    assert shown["check"]["words"][-1] in "abc"
    assert shown["leftOut"] == ["e is left out: it is known to 6.5 m only."]
    assert line(model, given)["pegs"] == ["a", "b", "c"]
    assert [field["id"] for field in reset(model, {}, given, lost="a")["fields"]] == ["b", "c"]
    feet = ties(model, {**given, "site": {**given["site"], "units": {"ground": "foot", "yardage": "yard"}}})
    assert feet["leftOut"] == ["e is left out: it is known to 21.4 ft only."]


def test_a_crew_s_peg_of_which_nobody_told_how_well_it_is_placed_is_not_taped_from(model):
    own = {**PEG, "id": "e", "x": 105.0, "y": 200.0}
    shown = ties(model, {**bundle(), "field_pegs": [own]})
    assert shown["leftOut"] == ["e is left out: nobody told how well it is placed."]


def test_the_large_figure_says_what_it_is(model):
    assert [row["note"] for row in ties(model, bundle())["rows"]] == ["held level"] * 2
    flat = bundle(levels_m=[3.0] * 4, levels_basis="spot levels")
    for peg in flat["pegs"]:
        peg["level_m"] = 3.0
    assert [row["note"] for row in ties(model, flat)["rows"]] == ["along the slope, the same held level"] * 2


def test_of_the_pegs_to_use_best_of_all_is_on_or_those_that_were_chosen(model):
    assert not any(peg["isOn"] for peg in ties(model, bundle())["pegs"])
    assert [peg["id"] for peg in ties(model, bundle(), only=["a", "c"])["pegs"] if peg["isOn"]] == ["a", "c"]
    alone = ties(model, bundle(), only=["a"])
    assert alone["why"] == {
        "title": "Choose a second peg",
        "detail": "Only a is chosen, and a place needs two.",
    }


def test_tapes_that_cross_flat_are_said(model):
    flat = {"a": (80.0, 211.0), "b": (120.0, 212.0)}
    assert "cross flat" in ties(model, bundle(pegs=flat))["poor"]
    assert ties(model, bundle())["poor"] is None


@pytest.mark.parametrize(
    ("pegs", "title", "words"),
    [
        ({}, "No peg in reach", "No peg is in place here."),
        ({"far": (100.0, 245.0)}, "No peg in reach", "The nearest is far, 35.00 m away; the tape is 30.00 m long."),
        ({"a": (95.0, 200.0), "far": (100.0, 245.0)}, "Only one peg in reach", "the next is far, 35.00 m away"),
        ({"a": (90.0, 210.0), "b": (112.0, 210.0)}, "The pegs lie in one line", "do not cross there"),
    ],
)  # fmt: skip
def test_a_point_that_cannot_be_taped_says_why_and_leads_to_the_pegs(model, pegs, title, words):
    shown = ties(model, bundle(pegs=pegs))
    assert shown["why"]["title"] == title
    assert words in shown["why"]["detail"]
    assert (shown["button"], shown["toPegs"]) == (None, True)


def test_on_a_slope_the_tape_reads_more_than_held_level(model):
    given = bundle(levels_m=[1.0, 1.0, 1.0, None], levels_basis="the ground between spot levels")
    for peg in given["pegs"]:
        peg["level_m"] = 3.0
    shown = ties(model, given, only=["a", "d"])
    level = math.dist(PEGS["a"], POINTS[0][1:3])
    assert float(shown["rows"][0]["figure"]) == pytest.approx(math.hypot(level, 2), abs=0.005)
    assert f"{level:.2f} m held level" in shown["rows"][0]["note"]
    assert "levels: the ground between spot levels" in shown["basis"]


def test_each_tape_is_pulled_as_it_is_reckoned_where_one_peg_has_no_level(model):
    given = bundle(levels_m=[1.0, 1.0, 1.0, None], levels_basis="the ground between spot levels")
    given["pegs"][0]["level_m"] = 3.0
    shown = ties(model, given, only=["a", "d"])
    notes = {row["peg"]: row["note"] for row in shown["rows"]}
    assert notes["a"].startswith("along the slope, ")
    assert notes["d"] == "held level"
    assert "none is known for the tape from d: hold it level" in shown["basis"]
    again = reset(model, {}, given, lost="d")
    assert [field["should"].split(", ")[1] for field in again["fields"] if field["id"] == "a"] == [
        "held level"
    ]
    given["pegs"][3]["level_m"] = 1.0
    again = reset(model, {}, given, lost="d")
    pulls = {field["id"]: field["should"].split(", ")[1] for field in again["fields"]}
    assert (pulls["a"], pulls["c"]) == ("along the slope", "held level")


def line(model, given, **chosen):
    return model(
        "line_model", "lineModel", given,
        **{"startId": None, "endId": None, "everyM": None, "number": 1, "index": 0, **chosen},
    )  # fmt: skip


def test_the_string_gives_chainage_and_square_offset(model):
    given = bundle(pegs={"a": (95.0, 205.0), "b": (120.0, 205.0)})
    shown = line(model, given, number=3)
    assert [row["figure"] for row in shown["rows"]] == ["15.00", "15.00"]
    assert shown["rows"][1]["words"] == "Square to the left"
    turned = line(model, given, number=3, startId="b", endId="a")
    assert [row["figure"] for row in turned["rows"]] == ["10.00", "15.00"]
    assert turned["rows"][1]["words"] == "Square to the right"


def test_a_foot_before_the_string_says_to_lay_it_on(model):
    shown = line(model, bundle(pegs={"a": (104.0, 205.0), "b": (120.0, 205.0)}), number=1)
    assert shown["rows"][0]["note"] == "back behind a: lay the string on past it"
    assert shown["list"][0]["along"] == "−4.00 m"


def test_equal_steps_meet_both_sides_of_the_outline(model):
    shown = line(model, bundle(pegs={"a": (95.0, 205.0), "b": (120.0, 205.0)}), everyM=6.0)
    assert [(row["along"], row["off"]) for row in shown["list"]] == [
        ("6.00 m", "15.00 m left"), ("6.00 m", "5.00 m left"), ("12.00 m", "15.00 m left"), ("12.00 m", "5.00 m left"),
    ]  # fmt: skip
    assert shown["button"] is None


@pytest.mark.parametrize(
    ("name", "bunker"),
    [("skerry-bank", "4-right"), ("vindeloga", "7-right"), ("quandary-strait", "12-inner")],
)
def test_the_string_to_begin_with_is_that_of_the_desk(ask, name, bunker):
    """Beside the bunker where it can be: between r4a and r4c it would run over 4-right."""
    site, grid = SITES[name]
    points = bunker_points(
        site, laid_out(site, grid, site.bunker(bunker)), hole_scale(grid, site.hole(site.bunker(bunker).hole))
    )
    tape = site_tape(site)
    own = pegs_of_bunker([StandingPeg(peg) for peg in site.pegs], points, tape)
    desk = usual_string(points, [tie_peg(peg, points.scale) for peg in own], tape, site_square_unit_m(site))
    given = describe_hole(site, grid, site.bunker(bunker).hole, date(2026, 5, 1))
    question = """async (m, [bundle, bunkerId]) => {
      const { createJob } = await import('/phone/session/job.js');
      const { standingPegs } = await import('/phone/session/standing_pegs.js');
      const job = createJob({ bundle, frame: null, bunkerId, person: 'Ada', device: 'phone 1' });
      return m.lineModel(job, standingPegs(job), { startId: null, endId: null, everyM: null, number: 1, index: 0 });
    }"""
    shown = ask("line_model", question, [given | {"field_pegs": [], "peg_reports": [], "marks": []}, bunker])
    assert (shown["startId"], shown["endId"]) == (desk.start.id, desk.end.id)


def test_a_string_needs_two_pegs(model):
    shown = line(model, bundle(pegs={"a": (95.0, 205.0)}))
    assert (shown["why"]["title"], shown["list"]) == ("A string needs two pegs", [])
    assert (shown["button"], shown["toPegs"]) == (None, True)


@pytest.mark.parametrize(
    ("typed", "unit", "fault"),
    [
        ("0.0001", "metre", "'0.0001' cannot be the spacing along the string; give from 0.1 to 50 m."),
        ("51", "metre", "'51' cannot be the spacing along the string; give from 0.1 to 50 m."),
        ("0.2", "foot", "'0.2' cannot be the spacing along the string; give from 0.33 to 164 ft."),
        ("0.5", "foot", None),
        ("0,1", "metre", None),
        ("50", "metre", None),
    ],
)
def test_the_spacing_along_the_string_has_the_limits_of_the_desk(ask, typed, unit, fault):
    found = ask("line_spacing", "(m, given) => m.spacingTyped(...given)", [typed, unit])
    assert found.get("fault") == fault


def reset(model, typed, given=None, side=None, lost="a"):
    return model("reset_model", "resetModel", given or bundle(), lost=lost, typed=typed, side=side)


def read(at, **errors):
    """What the tapes from the other pegs read to a place."""
    return {name: f"{math.dist(PEGS[name], at) + error:.2f}" for name, error in errors.items()}


def test_a_lost_peg_can_be_set_by_its_distances_alone(model):
    shown = reset(model, {})
    assert (shown["verdict"], shown["save"]["label"]) == (None, "a stands again")
    made = shown["save"]["made"]
    assert made["withinM"] < 0.05
    assert (made["x"], made["y"]) == PEGS["a"]
    assert len(made["ties"]) == 2


def test_a_planned_peg_is_driven_by_its_distances(model):
    others = {name: xy for name, xy in PEGS.items() if name != "a"}
    planned = {**PEG, "id": "a", "x": 95.0, "y": 200.0, "within_m": None, "placed": "r1"}
    reports = [report("a", "planned"), report("c", "missing", 2)]
    shown = reset(model, {}, bundle(others, reports=reports[:1]) | {"field_pegs": [planned]})
    assert shown["save"]["label"] == "a is driven"
    assert model("reset_model", "lostRows", bundle(others, reports=reports) | {"field_pegs": [planned]})[
        :2
    ] == [
        {"name": "c", "label": "Peg c", "words": "was reported missing", "state": "bad"},
        {"name": "a", "label": "Peg a", "words": "planned, not driven yet", "state": None},
    ]


def test_three_tapes_that_fit_say_that_it_stands(model):
    shown = reset(model, read(PEGS["a"], b=0.01, c=-0.01, d=0.0))
    assert (shown["verdict"]["kind"], shown["verdict"]["title"]) == ("inside", "In its place")
    assert math.dist((shown["save"]["made"]["x"], shown["save"]["made"]["y"]), PEGS["a"]) < 0.03


def test_a_peg_of_the_plan_stands_as_far_from_its_place_as_the_tapes_found_it(model):
    """Its place stays the plan's, so the radius told of it holds the offset besides what the tapes leave open."""
    beside = (PEGS["a"][0] + 0.02, PEGS["a"][1])
    exact = {name: str(math.dist(PEGS[name], beside)) for name in "bcd"}
    shown = reset(model, exact)
    known = reset(model, {name: str(math.dist(PEGS[name], PEGS["a"])) for name in "bcd"})["save"]["made"][
        "withinM"
    ]
    assert shown["verdict"]["kind"] == "inside"
    assert known == pytest.approx(0.0245, abs=0.0005)
    assert shown["save"]["made"]["withinM"] == pytest.approx(known + 0.02, abs=0.001)
    assert "2 cm off, known within 2.5 cm" in shown["verdict"]["detail"]
    others = {name: place for name, place in PEGS.items() if name != "a"}
    own = {**PEG, "id": "a", "x": PEGS["a"][0], "y": PEGS["a"][1], "within_m": 0.02}
    crew = reset(model, exact, {**bundle(pegs=others), "field_pegs": [own]})
    assert crew["save"]["made"]["withinM"] == pytest.approx(known, abs=0.001)


def test_a_peg_that_a_crew_placed_keeps_its_note_when_it_is_set_again(ask):
    code = """async (m, peg) => {
      const bundle = { site: { id: 's' }, hole: { number: 1 }, frame: { ground_scale: 1 } };
      const job = { bundle, practice: null, bunkerId: 'b' };
      return m.resetRecord(job, peg, { x: 1, y: 2, withinM: 0.02, ties: [] }, { id: 'i', at: 0 }).note;
    }"""
    peg = {"id": "a", "kind": "reference", "state": "missing", "note": "by the oak"}
    assert ask("reset_record", code, {**peg, "isOwn": False}) == "by the oak"
    assert ask("reset_record", code, {**peg, "isOwn": True}) == ""


def test_two_tapes_leave_a_side_to_choose_and_no_check(model):
    shown = reset(model, read(PEGS["a"], b=0.0, d=0.0))
    assert shown["verdict"]["kind"] == "cannot tell"
    chosen = shown["sides"]["side"]
    other = reset(model, read(PEGS["a"], b=0.0, d=0.0), side="right" if chosen == "left" else "left")
    assert other["verdict"]["kind"] == "outside"
    assert other["save"]["made"] is None


def test_tapes_that_cannot_meet_say_by_how_much_and_nothing_is_saved(model):
    shown = reset(model, {"b": "5", "d": "6"})
    gap = math.dist(PEGS["b"], PEGS["d"]) - 11
    assert f"{gap:.2f} m too short together" in shown["verdict"]["detail"]
    assert shown["save"]["made"] is None
    assert "too long for the other" in reset(model, {"b": "60", "d": "6"})["verdict"]["detail"]


def test_three_tapes_that_do_not_fit_are_refused_with_what_is_amiss(model):
    shown = reset(model, read(PEGS["a"], b=0.0, c=0.3, d=0.0))
    assert shown["verdict"]["title"] == "The tapes do not fit"
    assert shown["save"]["made"] is None
    assert any("than all say" in field["residual"] for field in shown["fields"])


def test_of_four_tapes_the_misread_one_is_named(model):
    given = bundle(pegs={**PEGS, "e": (110.0, 196.0)})
    typed = {**read(PEGS["a"], b=0.0, c=0.3, d=0.0), "e": f"{math.dist((110.0, 196.0), PEGS['a']):.2f}"}
    assert "That from c does not fit" in reset(model, typed, given)["verdict"]["detail"]


def test_a_peg_of_the_plan_beside_its_place_is_not_taken_but_a_crew_s_own_is(model):
    beside = (PEGS["a"][0] + 0.2, PEGS["a"][1])
    typed = read(beside, b=0.0, c=0.0, d=0.0)
    shown = reset(model, typed)
    assert shown["verdict"]["kind"] == "outside"
    assert shown["verdict"]["turnDeg"] == pytest.approx(-90, abs=8)
    assert shown["save"]["made"] is None
    others = {name: place for name, place in PEGS.items() if name != "a"}
    own = {**PEG, "id": "a", "x": PEGS["a"][0], "y": PEGS["a"][1], "within_m": 0.02}
    crew = reset(model, typed, {**bundle(pegs=others), "field_pegs": [own]})
    assert crew["save"]["label"] == "a stands here now"
    assert crew["save"]["made"]["x"] == pytest.approx(beside[0], abs=0.02)


def test_what_is_no_distance_is_said_at_its_field(model):
    shown = reset(model, {"b": "12 a", "c": "20"})
    assert "is no distance" in next(field["fault"] for field in shown["fields"] if field["id"] == "b")
    assert shown["save"] == {"label": "A distance cannot be read", "note": "see above", "made": None}


def test_three_pegs_in_a_line_leave_the_side_to_choose(model):
    given = bundle(pegs={"a": (105.0, 205.0), "b": (95.0, 200.0), "c": (110.0, 200.0), "d": (120.0, 200.0)})
    typed = {
        name: f"{math.dist(xy, (105.0, 205.0)):.2f}"
        for name, xy in (("b", (95.0, 200.0)), ("c", (110.0, 200.0)), ("d", (120.0, 200.0)))
    }
    assert reset(model, typed, given)["sides"] is not None
