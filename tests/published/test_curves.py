"""Curves against published values; the source stands beside each number."""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from fieldapp.model import (
    Bunker,
    ControlPoint,
    DrawnShape,
    Ellipse,
    Hole,
    LocalGrid,
    Outline,
    Placement,
    Site,
    Tee,
)
from fieldapp.outline.curve import build_curve
from fieldapp.outline.paint_points import chord_sagittas_m, paint_points
from fieldapp.outline.place import outline_curves


@dataclass(frozen=True)
class Value:
    given: tuple[float, ...]
    expected: float
    tolerance: float
    source: str


SAGITTA_PAGE = "s = r - sqrt(r^2 - (c/2)^2), worked on bit1024.com/tool/Arc-Height-Sagitta-Calculator"
SAGITTAS = [
    Value((10, 12), 2, 0.005, SAGITTA_PAGE),
    Value((15, 20), 3.82, 0.005, SAGITTA_PAGE),
    Value((20, 5), 0.156865, 5e-7, f"computed by {SAGITTA_PAGE}"),
    Value((5, 1), 0.025063, 5e-7, f"computed by {SAGITTA_PAGE}"),
    Value((100, 20), 0.501256, 5e-7, f"computed by {SAGITTA_PAGE}"),
]
CHORDS = "computed by n = ceil(pi / acos(1 - sagitta / r)), not published"
LEAST_CHORDS = [
    Value((5, 0.01), 50, 0, CHORDS),
    Value((10, 0.01), 71, 0, CHORDS),
    Value((20, 0.01), 100, 0, CHORDS),
    Value((20, 0.05), 45, 0, CHORDS),
    Value((10, 0.005), 100, 0, CHORDS),
]
POLYGON = (
    "computed: inscribed n-gon against its circle, area sin(2 pi/n)/(2 pi/n), perimeter sin(pi/n)/(pi/n)"
)
POLYGON_AREAS = [
    Value((8,), 0.900316, 5e-7, POLYGON),
    Value((16,), 0.974495, 5e-7, POLYGON),
    Value((32,), 0.993587, 5e-7, POLYGON),
    Value((64,), 0.998394, 5e-7, POLYGON),
]
POLYGON_PERIMETERS = [
    Value((8,), 0.974495, 5e-7, POLYGON),
    Value((16,), 0.993587, 5e-7, POLYGON),
    Value((32,), 0.998394, 5e-7, POLYGON),
]
ELLIPTIC = "4 a E(e^2), computed; formula en.wikipedia.org/wiki/Perimeter_of_an_ellipse"
RAMANUJAN = "Ramanujan 1914, second formula, computed; formula en.wikipedia.org/wiki/Perimeter_of_an_ellipse"
PERIMETERS = [
    Value((10, 5), 48.44224110, 5e-9, ELLIPTIC),
    Value((10, 5), 48.44224108, 3e-8, RAMANUJAN),
    Value((10, 5), 48.442, 5e-4, "decimals from memory"),
    Value((20, 12), 102.10799545, 5e-9, ELLIPTIC),
]
AREAS = [Value((10, 5), 157.0796327, 5e-8, "pi a b")]


def circle(radius):
    marks = [(radius, 0, "plain"), (0, radius, "through"), (-radius, 0, "plain"), (0, -radius, "through")]
    return build_curve(DrawnShape(tuple(ControlPoint(*mark) for mark in marks), "straight"))


def ellipse(a, b):
    site = Site(
        id="s",
        name="S",
        grid=LocalGrid(57.0, -2.0),
        tees=(Tee("t", 1, "T", 0.0, 0.0),),
        holes=(Hole(1, "One", 0.0, 400.0),),
    )
    outline = Outline("sand", "sand edge", Ellipse(2 * a, 2 * b))
    return outline_curves(site, Bunker("b", 1, "B", "A", (outline,), Placement("t", 200, 0, 35)), 1.0)["sand"]


def polygon(count):
    turn = 2 * np.pi * np.arange(count) / count
    return build_curve(DrawnShape(tuple(ControlPoint(math.cos(a), math.sin(a)) for a in turn), "straight"))


@pytest.mark.parametrize("value", SAGITTAS)
def test_the_sagitta_of_an_arc_over_a_chord(value):
    radius, chord = value.given
    curve, arc_m = circle(radius), 2 * radius * math.asin(chord / 2 / radius)
    trace, trace_m = curve.trace_with_chainage(1e-9 * radius)
    ends = np.array([0.0, arc_m])
    on_arc = trace_m <= arc_m
    found = chord_sagittas_m(curve.points_at(ends), ends, trace[on_arc], trace_m[on_arc])
    assert found[0] == pytest.approx(value.expected, abs=value.tolerance)


@pytest.mark.parametrize("value", LEAST_CHORDS)
def test_a_traced_circle_has_few_more_chords_than_the_least_that_keep_the_sagitta(value):
    radius, sagitta_m = value.given
    chords = len(circle(radius).trace(sagitta_m)) - 1
    assert value.expected <= chords <= value.expected + 4


@pytest.mark.parametrize("value", LEAST_CHORDS)
def test_paint_points_on_a_circle_are_no_fewer_than_the_least_that_keep_the_sagitta(value):
    radius, sagitta_m = value.given
    assert len(paint_points(circle(radius), (99, 0), 1000, sagitta_m).xy) >= value.expected


@pytest.mark.parametrize("value", POLYGON_AREAS)
def test_the_area_of_an_inscribed_polygon(value):
    assert polygon(*map(int, value.given)).area_m2 / math.pi == pytest.approx(
        value.expected, abs=value.tolerance
    )


@pytest.mark.parametrize("value", POLYGON_PERIMETERS)
def test_the_perimeter_of_an_inscribed_polygon(value):
    length = polygon(*map(int, value.given)).length_m
    assert length / (2 * math.pi) == pytest.approx(value.expected, abs=value.tolerance)


@pytest.mark.parametrize("value", PERIMETERS)
def test_the_perimeter_of_an_ellipse(value):
    assert ellipse(*value.given).length_m == pytest.approx(value.expected, abs=value.tolerance)


@pytest.mark.parametrize("value", AREAS)
def test_the_area_of_an_ellipse(value):
    assert ellipse(*value.given).area_m2 == pytest.approx(value.expected, abs=value.tolerance)


def test_a_circle_is_a_true_circle_and_not_the_32_sided_buffer_of_a_geometry_library():
    """Such a buffer of radius 10 has area 312.1445 and length 62.7310 (computed, quad_segs 8)."""
    curve = circle(10)
    assert (curve.area_m2, curve.length_m) == pytest.approx((100 * math.pi, 20 * math.pi), abs=1e-9)


def test_a_very_long_ellipse_keeps_its_perimeter():
    """4 a E(e^2) for a 20, b 0.5 by its series of arithmetic-geometric means, computed here."""
    a, b = 20.0, 0.5
    x, y, weight, total = a, b, 1.0, 0.0
    for _ in range(8):
        total += weight * (x * x - y * y)
        x, y, weight = (x + y) / 2, math.sqrt(x * y), weight * 2
    assert ellipse(a, b).length_m == pytest.approx(2 * math.pi * (a * a - total / 2) / x, abs=1e-6)
