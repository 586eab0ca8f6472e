"""What the layers of a drawing become, and what is told and refused of it."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely

from fieldapp.formats.drawing import DrawnSpot
from fieldapp.model import ControlPoint, DrawnShape, Outline
from fieldapp.outline.curve import build_curve
from fieldapp.workflow.drawing_placing import PlacedDrawing, PlacedLine
from fieldapp.workflow.drawing_uses import Uses, guessed_use, made_of
from fieldapp.workflow.import_taking import in_place_of

SQUARE = ((0, 0), (8, 0), (8, 8), (0, 8))


def line(points, closed=True, layer="SAND", index=0, name=""):
    shape = DrawnShape(tuple(ControlPoint(float(x), float(y)) for x, y in points), "straight", closed)
    return PlacedLine(index, layer, name, shape, 0.0)


def made(*lines, spots=(), uses=None, standing=(), **more):
    return made_of(
        PlacedDrawing(lines, spots, 0.0, ()), Uses(uses or {"SAND": "sand edge"}, {}, **more), standing
    )


@pytest.mark.parametrize(
    ("layer", "layers", "use"),
    [
        ("B-SAND_EDGE", ("a", "b"), "sand edge"),
        ("Mound-Top", ("a", "b"), "mound top"),
        ("MOUNDS", ("a", "b"), "mound foot"),
        ("main drain", ("a", "b"), "keep clear: drain"),
        ("Layer 7", ("a", "b"), ""),
        ("Layer 7", ("Layer 7",), "sand edge"),
    ],
)
def test_a_layer_is_taken_by_the_words_in_its_name(layer, layers, use):
    assert guessed_use(layer, layers) == use


def test_what_is_made_otherwise_than_it_came_is_told():
    many = [(x / 1000, (x * 7919 % 13) * 1e-5) for x in range(3000)] + [(3, 3), (0, 3)]
    told = made(line(many, index=4)).told
    assert told[0].startswith("Line 5 of layer 'SAND' has 3,002 points; 2,002 were left out, and")
    assert told[0].endswith("and none of them lies more than 1 mm off the line as it is now.")
    assert made(line([*SQUARE[:2], (8.0002, 0), *SQUARE[2:]], name="rim")).told == (
        "'rim' of layer 'SAND' had 1 point within a millimetre of the one before, left out.",
    )
    assert "is open, and a sand edge goes all round" in made(line(SQUARE, closed=False)).told[0]


def test_several_sand_edges_are_told_to_be_measured_by_the_first():
    beside = [line([(x + 20 * at, y) for x, y in SQUARE], index=at) for at in range(3)]
    assert made(beside[0]).told == ()
    assert made(*beside[:2]).told == (
        "It has two sand edges; reach, carry, area and middle are of the first, 'sand-edge', alone. Make the other a "
        "bunker of its own, or another part.",
    )
    assert made(*beside).told[0].startswith("It has 3 sand edges; reach, ")


def test_what_thinning_moves_is_measured_on_the_smooth_line_itself():
    corners = [(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)]
    side = [
        (x0 + (x1 - x0) * t / 750, y0 + (y1 - y0) * t / 750 + (0.2 * math.sin(t) if y0 == y1 == 0 else 0))
        for (x0, y0), (x1, y1) in pairwise(corners)
        for t in range(750)
    ]
    given = line(side)
    found = made(replace(given, shape=replace(given.shape, curve="smooth")))
    ((outline,), told) = found.outlines, found.told[0]
    kept = shapely.LineString(build_curve(outline.shape).trace(0.0005))
    away_mm = shapely.distance(shapely.points(side), kept).max() * 1000
    assert away_mm > 1
    assert f"more than {math.ceil(away_mm)} mm off" in told


def test_a_line_that_crosses_itself_stands_against_keeping_until_it_is_left_out():
    crossing = line([(0, 0), (8, 8), (8, 0), (0, 8)])
    (fault,) = made(crossing).faults
    assert fault.startswith(
        "Line 1 of layer 'SAND' cannot be an outline: The outline crosses or touches itself near"
    )
    assert made(crossing, left_out=frozenset({0})).faults == ()


def test_too_many_outlines_of_one_bunker_are_refused():
    (fault,) = made(*(line([(x + 20 * at, y) for x, y in SQUARE], index=at) for at in range(41))).faults
    assert fault.startswith("That makes 41 outlines of one bunker, and 40 are the most")


def test_lines_areas_and_points_are_kept_clear_of_under_names_of_their_own():
    uses = {"P": "keep clear: pipe"}
    found = made(
        line(SQUARE, layer="P"),
        line(SQUARE[:2], False, "P", 1),
        spots=(DrawnSpot("P", "valve", 1.0, 2.0),),
        uses=uses,
    ).things
    assert [(one.id, one.extent, one.name) for one in found] == [
        ("pipe", "area", "P"),
        ("pipe-2", "line", "P"),
        ("pipe-3", "point", "valve"),
    ]


def test_a_thing_of_more_points_than_can_be_sent_again_is_refused():
    many = [(x, (x * 7919) % 13) for x in range(2001)]
    uses = {"SAND": "keep clear: cable"}
    assert made(line(many[:2000], closed=False), uses=uses).faults == ()
    (fault,) = made(line(many, closed=False), uses=uses).faults
    assert "has 2,001 points, and a thing to keep clear of has 2,000 at most" in fault


def test_new_outlines_take_over_the_ids_and_heights_of_their_parts_and_others_stay():
    shape, other = line(SQUARE).shape, line(SQUARE[:3]).shape
    held = (Outline("rim", "sand edge", other, level_m=3.5), Outline("foot", "mound foot", other))
    now = in_place_of(held, (Outline("sand-edge", "sand edge", shape), Outline("foot", "sand edge", shape)))
    assert now == (
        Outline("rim", "sand edge", shape, level_m=3.5),
        Outline("foot-2", "sand edge", shape),
        Outline("foot", "mound foot", other),
    )


def test_a_thing_that_stands_there_already_is_told_and_not_taken_twice():
    drain = line(((0, 0), (8, 0), (9, 5)), closed=False, layer="drain")
    uses = {"drain": "keep clear: drain"}
    (stands,) = made(drain, uses=uses).things
    again = made(
        drain, line(((0, 0), (8, 1)), closed=False, layer="drain", index=1), uses=uses, standing=(stands,)
    )
    assert [thing.points for thing in again.things] == [((0.0, 0.0), (8.0, 1.0))]
    assert again.told == ("1 thing to keep clear of stands there already; nothing is taken twice.",)
    turned = line(((9, 5), (8, 0), (0, 0)), closed=False, layer="drain")
    assert made(turned, uses=uses, standing=(stands,)).things == ()
    assert len(made(turned, uses={"drain": "keep clear: cable"}, standing=(stands,)).things) == 1
