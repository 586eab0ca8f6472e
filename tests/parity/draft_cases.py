"""Cases for the curves of a draft, their measures, shots over them and what they come near to.

Lengths must agree to 1e-6 m, which is far below the millimetre that is promised, and axes to 0.001 degrees.
"""

from __future__ import annotations

import math
import runpy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.model.keep_clear import KeepClear
from fieldapp.outline.clearance import nearnesses
from fieldapp.outline.curve import Curve, build_curve
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.outline.measure import measure
from fieldapp.play.carry import bearing_between, shot

Case = dict[str, Any]
DRAWN = runpy.run_path(str(Path(__file__).with_name("draft_shapes.py")))
TOLERANCE_M, TOLERANCE_DEG = 1e-6, 1e-3
COARSE_M, TRACED_M = 0.05, 0.005
THINGS = (
    ("point", [(3.0, 3.0)]),
    ("point", [(20.0, 14.0)]),
    ("line", [(-9.0, -6.0), (3.0, -5.0), (18.0, -9.0)]),
    ("line", [(-9.0, 3.0), (20.0, 4.0)]),
    ("line", [(14.5, 0.0), (16.0, 8.0)]),
    ("area", [(15.0, 9.0), (18.0, 9.0), (18.0, 14.0), (15.0, 12.0)]),
    ("area", [(-40.0, -40.0), (40.0, -40.0), (40.0, 40.0), (-40.0, 40.0)]),
    ("area", [(16.0, 0.0), (26.0, 10.0), (26.0, 0.0), (16.0, 10.0)]),
)

WRONG: tuple[tuple[list[list[Any]], bool], ...] = (
    ([[0, 0], [5, 5]], True),
    ([[0, 0]], False),
    ([[0, 0], [5, 5], [0, 0.0004]], True),
    ([[0, 0], [5, 5], [5.0002, 5], [9, 0]], True),
    ([[0, 0], [5, 0, "through"], [9, 0], [4, 6]], True),
    ([[0, 0], [5, 1, "through"], [9, 0, "through"], [4, 6]], True),
    ([[0, 0], [5, 1], [9, 3, "through"]], False),
    ([[0, 0], [5, 1], [90000, 3]], False),
)


def built(document: dict[str, Any]) -> Curve:
    points = tuple(ControlPoint(*point) for point in document["points"])
    return build_curve(DrawnShape(points, document["curve"], document["closed"]))


def shapes() -> Iterator[tuple[dict[str, Any], Curve]]:
    for origin in DRAWN["ORIGINS"]:
        for name in DRAWN["SHAPES"]:
            document = DRAWN["shape_document"](name, origin)
            yield document, built(document)


def case(call: str, document: dict[str, Any], args: list[Any], want: Any, tolerance: float) -> Case:
    return {"call": call, "built": document, "args": args, "want": want, "tolerance": tolerance}


def curve_cases() -> Iterator[Case]:
    for document, curve in shapes():
        want = curve.vertices(COARSE_M).tolist()
        yield case("vertices", document, [COARSE_M], want, TOLERANCE_M)
    for points, closed in WRONG:
        document = {"points": points, "curve": "straight", "closed": closed}
        try:
            built(document)
        except OutlineError as refused:
            yield {
                "call": "buildCurve",
                "args": [document],
                "want": {"fault": str(refused)},
                "tolerance": 0.0,
            }


def measures_cases() -> Iterator[Case]:
    for document, curve in shapes():
        found = measure(curve)
        lengths = {
            "areaM2": found.area_m2,
            "perimeterM": found.perimeter_m,
            "longAxisM": found.long_axis_m,
            "shortAxisM": found.short_axis_m,
        }
        yield case("measure", document, [], lengths, TOLERANCE_M)
        bearing = {"longAxisBearingDeg": found.long_axis_bearing_deg}
        yield case("measure", document, [], bearing, TOLERANCE_DEG)


def shot_cases() -> Iterator[Case]:
    for origin in DRAWN["ORIGINS"]:
        for name, (_, closed, _) in DRAWN["SHAPES"].items():
            if closed and name != "many points":
                yield from _shots(DRAWN["shape_document"](name, origin), origin)


def _shots(document: dict[str, Any], origin: tuple[float, float]) -> Iterator[Case]:
    curve = built(document)
    away = np.array([(90 * math.sin(a), 90 * math.cos(a)) for a in np.linspace(0.1, 6.2, 6)])
    for tee in [*(away + origin).tolist(), (np.array([3.0, 3.0]) + origin).tolist()]:
        for through in (np.array([(4.0, 3.5), (9.0, 5.0), (40.0, 60.0)]) + origin).tolist():
            found = shot(curve, tee, bearing_between(tee, through), 1.0)
            want = found.stretches_m and {"reachM": found.reach_m, "carryM": found.carry_m}
            yield case("shotOver", document, [tee, through], want or None, TOLERANCE_M)


@dataclass(frozen=True)
class Traced:
    """An outline of a coarse trace, so that the vectors stay small."""

    id: str
    curve: Curve

    def trace(self) -> NDArray[np.float64]:
        return self.curve.vertices(TRACED_M)


@dataclass(frozen=True)
class Bunker:
    outlines: tuple[Traced, ...]


def clearance_cases() -> Iterator[Case]:
    for name in ("smooth", "straight", "arcs", "open smooth"):
        outline = Traced(name, built(DRAWN["shape_document"](name)))
        bunker = cast(LaidOutBunker, Bunker((outline,)))
        for extent, points in THINGS:
            thing = KeepClear("one", "drain", "Drain", extent, tuple(points), 2.0)
            (found,) = nearnesses(bunker, [thing], 1.0)
            args = [outline.trace().tolist(), outline.curve.closed, {"extent": extent, "points": points}]
            want = {"distanceM": found.distance_m}
            yield {"call": "nearness", "args": args, "want": want, "tolerance": 1e-9}
