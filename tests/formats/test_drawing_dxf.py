"""DXF: bulges, arcs, curves, blocks, units, versions; what ezdxf or a hand wrote, read by our reader."""

import io
import math

import ezdxf
import numpy as np
import pytest
import shapely

from fieldapp.errors import FormatError
from fieldapp.formats.drawing import DrawingLimits, read_drawing
from fieldapp.formats.drawing_dxf_out import bulge_of
from fieldapp.formats.drawing_dxf_shapes import bulged
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from tests.formats.drawing_files import dxf_of_everything

WITHIN_M = 0.00005


def dxf(draw, version="R2010", unit=6):
    """What ezdxf writes of what `draw` does with an empty drawing."""
    document = ezdxf.new(version)
    if version != "R12":
        document.header["$INSUNITS"] = unit
    draw(document.modelspace())
    written = io.StringIO()
    document.write(written)
    return written.getvalue().encode()


def lines_of(draw, **how):
    return read_drawing("x.dxf", dxf(draw, **how)).lines


def places(line, sagitta=0.00001):
    return build_curve(DrawnShape(line.points, line.curve, line.closed)).vertices(sagitta)


def away(line, true):
    """How far a line's curve lies from dense true places, both ways."""
    own = places(line)
    there = shapely.distance(shapely.points(np.asarray(true)), shapely.LineString(own)).max()
    return max(there, shapely.distance(shapely.points(own), shapely.LineString(true)).max())


def on_circle(x, y, radius, first_deg, last_deg, count=4000):
    angle = np.radians(np.linspace(first_deg, last_deg, count))
    return np.stack([x + radius * np.cos(angle), y + radius * np.sin(angle)], axis=1)


# Autodesk, DXF Reference (2012), LWPOLYLINE, group code 42: "The bulge is the tangent of one fourth the included angle
# for an arc segment, made negative if the arc goes clockwise from the start point to the endpoint. A bulge of 0
# indicates a straight segment, and a bulge of 1 is a semicircle."
@pytest.mark.parametrize(
    ("bulge", "middle"),
    [
        (1.0, (0.0, -1.0)),  # a semicircle, anticlockwise from (-1, 0) to (1, 0): by way of the south
        (-1.0, (0.0, 1.0)),
        (
            math.tan(math.radians(90) / 4),
            (0.0, -(math.sqrt(2) - 1)),
        ),  # a quarter, about (0, 1)
        (math.tan(math.radians(270) / 4), (0.0, -(math.sqrt(2) + 1))),  # three quarters, about (0, -1)
    ],
)
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_included_angle(bulge, middle):
    start, through, end = bulged([(-1.0, 0.0, bulge), (1.0, 0.0, 0.0)], closed=False)
    assert (start.role, through.role, end.role) == ("plain", "through", "plain")
    assert (through.x, through.y) == pytest.approx(middle, abs=1e-12)
    assert bulge_of(start, end, through) == pytest.approx(-1 / bulge)
    first = bulge_of(start, through, end)
    assert 4 * math.atan(first) == pytest.approx(2 * math.atan(bulge))


R12_BY_HAND = """  0
SECTION
  2
ENTITIES
  0
POLYLINE
  8
SAND
 66
1
 70
1
  0
VERTEX
  8
SAND
 10
0.0
 20
0.0
 42
1.0
  0
VERTEX
  8
SAND
 10
4.0
 20
0.0
  0
VERTEX
  8
SAND
 10
4.0
 20
3.0
  0
SEQEND
  0
ENDSEC
  0
EOF
"""


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_an_r12_file_written_by_hand(end):
    drawing = read_drawing("x.dxf", R12_BY_HAND.replace("\n", end).encode())
    (line,) = drawing.lines
    assert (line.layer, line.closed, line.curve) == ("SAND", True, "straight")
    assert [(at.x, at.y, at.role) for at in line.points] == [
        (0.0, 0.0, "plain"), (2.0, -2.0, "through"), (4.0, 0.0, "plain"), (4.0, 3.0, "plain")
    ]  # fmt: skip
    assert (drawing.unit_m, drawing.system) == (None, None)
    assert "span too much for degrees" in drawing.reasons[1]


def test_circles_and_arcs_are_exact():
    circle, arc = lines_of(lambda space: (space.add_circle((20, 5), 3), space.add_arc((0, 0), 2, 350, 80)))
    assert away(circle, on_circle(20, 5, 3, 0, 360)) < 1e-5
    assert away(arc, on_circle(0, 0, 2, -10, 80)) < 1e-5
    assert math.dist((arc.points[0].x, arc.points[0].y), on_circle(0, 0, 2, 350, 350, 1)[0]) < 1e-9


def test_an_arc_seen_from_below_is_turned_over():
    # with the extrusion (0, 0, -1) the x of an arc's own plane runs to the west
    (arc,) = lines_of(lambda space: space.add_arc((-5, 1), 2, 0, 90, dxfattribs={"extrusion": (0, 0, -1)}))
    assert away(arc, on_circle(5, 1, 2, 90, 180)) < 1e-5
    bulged_back = [(-5, 0, 1), (-9, 0, 0)]
    (line,) = lines_of(
        lambda space: space.add_lwpolyline(bulged_back, format="xyb", dxfattribs={"extrusion": (0, 0, -1)})
    )
    assert away(line, on_circle(7, 0, 2, 180, 0)) < 1e-5


@pytest.mark.parametrize("unit", [4, 6])
def test_an_ellipse_and_a_spline_are_met_within_a_twentieth_of_a_millimetre(unit):
    times = {4: 1000.0, 6: 1.0}[unit]
    fits = [(x * times, y * times) for x, y in ((0, 20), (3, 22), (6, 19), (8, 21))]

    def draw(space):
        space.add_ellipse((30 * times, 0), (3 * times, 1 * times), 0.4)
        space.add_ellipse((50 * times, 0), (3 * times, 0), 0.5, 0.5, 4)
        space.add_rational_spline(
            [(x + 20 * times, y) for x, y in [*fits, (5 * times, 25 * times)]], [1, 2, 1, 3, 1]
        )
        space.add_spline(fits)

    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = unit
    draw(document.modelspace())
    written = io.StringIO()
    document.write(written)
    found = read_drawing("x.dxf", written.getvalue().encode())
    assert found.unit_m == 1 / times
    assert len(found.lines) == 4
    for entity in document.modelspace():
        true = np.array([(at.x, at.y) for at in entity.flattening(0.000005 * times)]) / times
        near = []
        for line in found.lines:
            points = tuple(ControlPoint(at.x / times, at.y / times, at.role) for at in line.points)
            if np.allclose(np.array([points[0].x, points[0].y]), true[0], atol=1e-3):
                near.append(build_curve(DrawnShape(points, line.curve, line.closed)).vertices(0.00001))
        (own,) = near
        there = shapely.distance(shapely.points(true), shapely.LineString(own)).max()
        back = shapely.distance(shapely.points(own), shapely.LineString(true)).max()
        assert max(there, back) <= WITHIN_M + 0.000015, entity


def test_a_spline_with_a_sharp_tip_is_traced_where_points_do_not_do():
    tip = [(20, 20), (23, 22), (26, 19), (28, 21), (20, 20)]
    (line,) = lines_of(lambda space: space.add_rational_spline(tip, [1, 2, 1, 3, 1]))
    assert (line.curve, line.closed) == ("straight", True)
    assert 100 < len(line.points) < 2000


def test_lines_and_arcs_that_meet_are_one_line_whichever_way_they_run():
    def draw(space):
        attributes = {"layer": "edge"}
        space.add_line((600010, 2), (600012, 2), dxfattribs=attributes)
        space.add_line((600012, 0), (600010, 0), dxfattribs=attributes)
        space.add_arc((600012, 1), 1, -90, 90, dxfattribs=attributes)
        space.add_line((600010, 2), (600010, 0), dxfattribs=attributes)
        space.add_line((600010, 0), (600015, 9))

    edge, other = lines_of(draw)
    assert (edge.layer, edge.closed, len(edge.points)) == ("edge", True, 5)
    assert build_curve(DrawnShape(edge.points, "straight")).area_m2 == pytest.approx(
        4 + math.pi / 2, abs=1e-6
    )
    assert (other.layer, other.closed) == ("0", False)


def test_three_lines_that_meet_in_one_place_are_not_joined():
    star = lines_of(lambda space: [space.add_line((0, 0), end) for end in ((200, 0), (0, 200), (-200, 0))])
    assert len(star) == 3


def test_blocks_are_taken_apart_where_they_are_placed():
    def draw(space):
        inner = space.doc.blocks.new("INNER")
        inner.add_circle((0, 0), 1)
        outer = space.doc.blocks.new("OUTER")
        outer.add_blockref("INNER", (10, 0), dxfattribs={"layer": "0"})
        outer.add_lwpolyline([(0, 0, 1), (2, 0, 0)], format="xyb", dxfattribs={"layer": "own"})
        placed = space.add_blockref("OUTER", (500, 300), dxfattribs={"layer": "trees", "rotation": 90})
        placed.dxf.xscale = placed.dxf.yscale = placed.dxf.zscale = 2
        space.add_blockref("GONE", (0, 0))

    drawing = read_drawing("x.dxf", dxf(draw))
    circle, half = sorted(drawing.lines, key=lambda line: line.closed, reverse=True)
    assert (circle.layer, circle.name, half.layer, half.name) == ("trees", "INNER", "own", "OUTER")
    assert away(circle, on_circle(500, 320, 2, 0, 360)) < 1e-5
    assert away(half, on_circle(500, 302, 2, -90, 90)) < 1e-5
    assert drawing.remarks == ("Left out: 1 INSERT of a block that is not there.",)


def test_what_is_left_out_is_counted_by_type():
    def draw(space):
        space.add_line((0, 0), (200, 1))
        space.add_text("one")
        space.add_text("two")
        space.add_mtext("three")
        space.add_hatch().paths.add_polyline_path([(0, 0), (1, 0), (1, 1)])
        space.add_point((7, 8), dxfattribs={"layer": "pegs"})

    drawing = read_drawing("x.dxf", dxf(draw))
    assert drawing.remarks == ("Left out: 1 HATCH, 1 MTEXT, 2 TEXT.",)
    assert [(spot.layer, spot.x, spot.y) for spot in drawing.spots] == [("pegs", 7.0, 8.0)]


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
def test_every_version_reads_the_same(version):
    drawing = read_drawing("x.dxf", dxf_of_everything(version))
    assert len(drawing.lines) == (5 if version == "R12" else 8)
    assert {line.layer for line in drawing.lines} == {"0"}


def test_a_binary_file_reads_as_the_text_does():
    assert read_drawing("x", dxf_of_everything(binary=True)) == read_drawing("x", dxf_of_everything())


@pytest.mark.parametrize(
    ("code", "unit_m"), [(1, 0.0254), (2, 0.3048), (4, 0.001), (6, 1.0), (21, 1200 / 3937), (0, None)]
)
def test_the_unit_is_what_insunits_says(code, unit_m):
    # Autodesk, DXF Reference (2012), HEADER, $INSUNITS; 21, the US survey foot, since 2017
    drawing = read_drawing("x.dxf", dxf(lambda space: space.add_line((0, 0), (500, 0)), unit=code))
    assert drawing.unit_m == unit_m
    assert f"$INSUNITS {code}" in drawing.reasons[0]


def test_a_large_file_is_gone_through_without_its_blocks():
    content = dxf_of_everything()
    small = DrawingLimits(most_dxf_bytes=len(content) - 1)
    drawing = read_drawing("x.dxf", content, small)
    assert len(drawing.lines) == len(read_drawing("x.dxf", content).lines) - 2
    assert "its blocks were left out" in " ".join(drawing.remarks)
    with pytest.raises(FormatError, match="save it as ascii DXF"):
        read_drawing("x.dxf", dxf_of_everything(binary=True), DrawingLimits(most_dxf_bytes=1000))
