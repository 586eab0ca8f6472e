"""A bunker placed by play measures what was typed; shapes to start from are true to a millimetre and a half."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

from fieldapp.formats.site_folder import load_checked_site
from fieldapp.model import Bunker, Ellipse, Kidney, Outline, Placement
from fieldapp.outline.place import outline_curves, own_frame

pytestmark = pytest.mark.browser

SCALE = 1.0004
LINES = {"straight": [[10.0, 20.0], [130.0, 410.0]], "bend": [[0.0, 0.0], [20.0, 200.0], [110.0, 390.0]]}
PLACE = """async (m, {kind, sizes, closed, part, line, scale, asked, unit}) => {
  const { createFigures } = await import(location.origin + '/desk/draft/figures.js');
  const { startPoints } = await import(location.origin + '/desk/draft/shapes.js');
  const points = startPoints(kind, sizes, [70, 70], 110, scale);
  const mound = points.map(([x, y]) => [x + 9, y + 4]);
  const outlines = [{id: 'mound', part: 'mound foot', curve: 'smooth', closed: true, points: mound},
    {id: 'edge', part, curve: 'smooth', closed, points}];
  const tees = [{id: 't', x: line[0][0], y: line[0][1], line}];
  const board = {ground_scale: scale, units: {yardage: unit}, tees, pegs: [], keep_clear: []};
  const figuresOf = createFigures(board);
  return asked.map((wanted) => {
    const found = m.placeByPlay({outlines, bunker: {}, plan: null}, board, {tee: 't', ...wanted});
    if (found.fault) return {fault: found.fault};
    const { traces, ...figures } = figuresOf(found.doc, 't');
    const [first, second] = found.doc.outlines.map((o) => o.points[0]);
    return {...figures, apart: Math.hypot(first[0] - second[0], first[1] - second[1])};
  });
}"""
KIDNEY = {"kind": "kidney", "sizes": {"length_m": 12, "width_m": 7, "waist_m": 2}}


@pytest.fixture
def place(ask):
    def placed(asked, **given):
        usual = {
            **KIDNEY,
            "closed": True,
            "part": "sand edge",
            "line": LINES["bend"],
            "scale": 1.0004,
            "unit": "yard",
        }
        return ask("placing", PLACE, {**usual, **given, "asked": asked}, room="desk/draft")

    return placed


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("by", ["carry", "reach", "along"])
def test_the_placed_bunker_measures_what_was_typed(place, line, by):
    asked = [
        {"by": by, "length_m": length, "offset_m": offset, "slant_deg": slant}
        for length in (60.0, 239.57, 330.0)
        for offset, slant in ((18.0, 35.0), (-7.5, 0.0), (0.0, 90.0), (16.0, 145.0))
    ]
    for wanted, found in zip(asked, place(asked, line=LINES[line]), strict=True):
        assert found.get("fault") is None, (wanted, found)
        assert found[f"{by}_m"] == pytest.approx(wanted["length_m"], abs=0.001)
        assert found["offset_m"] == pytest.approx(wanted["offset_m"], abs=0.001)
        assert (found["slant_deg"] - wanted["slant_deg"] + 90) % 180 - 90 == pytest.approx(0, abs=0.02)
        assert found["apart"] == pytest.approx(math.hypot(9, 4))


def test_without_a_slant_its_bearing_stays(place):
    (found,) = place([{"by": "carry", "length_m": 150, "offset_m": 5, "slant_deg": None}])
    assert found["long_axis_bearing_deg"] == pytest.approx(110, abs=0.3)


@pytest.mark.parametrize(
    ("given", "wanted", "words"),
    [
        ({"closed": False}, {"by": "carry"}, "The sand edge is an open line, which has no carry; close it"),
        (
            {},
            {"by": "carry", "length_m": 900},
            "A carry of 984.3 yards lies beyond the green: here it is at most ",
        ),
        (
            {"unit": "metre"},
            {"by": "reach", "length_m": 900},
            "A reach of 900 m lies beyond the green: here it is at most ",
        ),
        (
            {},
            {"by": "along", "length_m": 900},
            "A place 984.3 yards along the line of play lies beyond the green: ",
        ),
        (
            {},
            {"by": "carry", "length_m": 4, "offset_m": 40},
            "A carry of 4.4 yards is too short so far beside the line",
        ),
        (
            {},
            {"by": "along", "length_m": 195, "offset_m": 200},
            "That place lies inside a bend, nearer to another leg",
        ),
        ({}, {"by": "carry", "length_m": None}, "The carry is not a number; give it in figures."),
        ({}, {"by": "along", "length_m": -3}, "The distance along is less than nothing; give how far it is"),
    ],
)
def test_where_it_cannot_lie_so_a_sentence_says_why(place, given, wanted, words):
    (found,) = place([{"length_m": 200, "offset_m": 0, "slant_deg": 0, **wanted}], **given)
    assert found["fault"].startswith(words), found


def test_an_open_line_can_be_placed_by_its_middle(place):
    (found,) = place([{"by": "along", "length_m": 120, "offset_m": -4, "slant_deg": 20}], closed=False)
    assert (found["along_m"], found["offset_m"]) == (
        pytest.approx(120, abs=0.001),
        pytest.approx(-4, abs=0.001),
    )
    assert found["carry_m"] is None


@pytest.fixture(scope="module")
def site():
    return load_checked_site(Path(__file__).parents[3] / "sample_sites" / "skerry-bank")[0]


@pytest.mark.parametrize(
    ("kind", "sizes", "most"),
    [
        ("oval", {"length_m": 12, "width_m": 7}, 40),
        ("oval", {"length_m": 40, "width_m": 4}, 100),
        ("round", {"length_m": 6}, 24),
        ("kidney", {"length_m": 12, "width_m": 7, "waist_m": 2}, 48),
        ("kidney", {"length_m": 30, "width_m": 14, "waist_m": 9}, 72),
    ],
)
def test_a_shape_to_start_from_lies_within_two_millimetres_of_that_of_a_site_folder(
    ask, site, kind, sizes, most
):
    place = Placement("4-back", 240.0, 12.0, 35.0)
    size = {"width_m": sizes["length_m"], **sizes}
    shape = Kidney(**size) if kind == "kidney" else Ellipse(**size)
    bunker = Bunker("b", 4, "B", "", (Outline("edge", "sand edge", shape),), place)
    true = shapely.LineString(outline_curves(site, bunker, SCALE)["edge"].vertices(1e-5))
    frame = own_frame(site, place, SCALE)
    bearing_deg = math.degrees(math.atan2(*frame.axes[0]))
    question = """async (m, {kind, sizes, centre, bearing, scale}) => {
      const points = m.startPoints(kind, sizes, centre, bearing, scale);
      const { drawn } = await import(location.origin + '/desk/draft/drawn.js');
      return {points, trace: drawn({points, curve: 'smooth', closed: true}).trace};
    }"""
    given = {
        "kind": kind,
        "sizes": sizes,
        "centre": frame.centre.tolist(),
        "bearing": bearing_deg,
        "scale": SCALE,
    }
    found = ask("shapes", question, given, room="desk/draft")
    assert len(found["points"]) <= most
    assert shapely.hausdorff_distance(true, shapely.LineString(found["trace"]), densify=0.1) < 0.002
    assert all(shapely.distance(shapely.Point(point), true) < 2e-5 for point in found["points"])


@pytest.mark.parametrize(
    ("kind", "sizes", "words"),
    [
        ("oval", {"length_m": 0, "width_m": 5}, "The length is 0 m; it must be from 0.5 to 200 m."),
        (
            "kidney",
            {"length_m": 9, "width_m": 5, "waist_m": 5},
            "The waist is pressed in by 5 m of a width of 5 m; ",
        ),
        ("star", {"length_m": 9}, "'star' is no shape to start from; it is oval, kidney or round."),
    ],
)
def test_a_size_that_is_none_is_refused_in_words(ask, kind, sizes, words):
    question = """(m, [kind, sizes]) => {
      try { return m.startPoints(kind, sizes, [0, 0], 0, 1); } catch (error) { return error.message; }
    }"""
    assert ask("shapes", question, [kind, sizes], room="desk/draft").startswith(words)
