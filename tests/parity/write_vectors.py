"""Write the vectors that both languages answer to: `python -m tests.parity.write_vectors`.

One file a module of web/phone/geometry: {"module", "cases": [{"call", "args", "want", "tolerance"}]}. A case
with "make" and "make_args" first makes an object and calls its method; one with "built" has the curve built of it as
its first argument. Numbers in "want" are compared to
within the tolerance, those whose call or key ends in "Deg" on the circle.
"""

from __future__ import annotations

import json
import math
import runpy
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.curve import build_curve
from fieldapp.outline.offset import along_and_off
from fieldapp.play.line_of_play import LineOfPlay
from fieldapp.play.trace_reach import edge_slopes, reach_over_trace
from fieldapp.play.yardage import straight_range95_m, yardage
from fieldapp.reading.verdict import radius95_m, verdict

Case = dict[str, Any]
HERE = Path(__file__).parent
VECTORS = HERE / "vectors"
TOLERANCE_M = 1e-6
ORIGINS = ((0.0, 0.0), (674_032.4, 6_580_821.9))
BLOB = ((0, 0), (6, -2), (11, 1), (12, 7), (7, 9), (5, 6), (1, 8), (-2, 4))
SHAPES = (
    (BLOB, "smooth", True),
    (((0, 0), (0, 10), (10, 10), (10, 0)), "straight", True),
    (BLOB[:5], "smooth", False),
    (((0, 0), (10, 0), (1, 1), (14, 3)), "straight", False),
)
LINES = (
    ((0, 0), (35, 410)),
    ((0, 0), (0, 200), (150, 200)),
    ((0, 0), (-60, 190), (40, 330), (10, 520)),
    ((0, 0), (0, 200), (50, 50)),
)


def case(call: str, args: list[Any], want: Any, tolerance: float = TOLERANCE_M) -> Case:
    return {"call": call, "args": args, "want": want, "tolerance": tolerance}


def shifted(points: Any, origin: tuple[float, float]) -> list[list[float]]:
    return [[float(x), float(y)] for x, y in np.add(points, origin)]


def places_about(points: list[list[float]], margin_m: float, count: int, seed: int) -> Iterator[list[float]]:
    """The vertices, the middles between them, and places all about."""
    vertices = np.array(points)
    yield from vertices.tolist()
    yield from ((vertices[1:] + vertices[:-1]) / 2).tolist()
    low, high = vertices.min(axis=0) - margin_m, vertices.max(axis=0) + margin_m
    yield from np.random.default_rng(seed).uniform(low, high, (count, 2)).tolist()


def traces() -> Iterator[tuple[list[list[float]], bool, float]]:
    for origin in ORIGINS:
        for points, curve, closed in SHAPES:
            marks = tuple(ControlPoint(*xy) for xy in shifted(points, origin))
            built = build_curve(DrawnShape(marks, curve, closed))
            yield built.trace(0.3).tolist(), closed, built.length_m
    yield [[0.0, 0.0], [0.0, 0.0], [0.0, 8.0], [6.0, 8.0], [6.0, 8.0], [0.0, 0.0]], True, 24.0


def offset_cases() -> Iterator[Case]:
    for seed, (trace, closed, length_m) in enumerate(traces()):
        for x, y in places_about(trace, 6.0, 12, seed):
            along, off = along_and_off(trace, closed, length_m, (x, y))
            yield case(
                "alongAndOff", [trace, closed, length_m, x, y], {"alongM": float(along), "offM": float(off)}
            )


def line_cases() -> Iterator[Case]:
    for seed, (origin, points) in enumerate((origin, points) for origin in ORIGINS for points in LINES):
        vertices = shifted(points, origin)
        line = LineOfPlay(np.array(vertices))
        for x, y in places_about(vertices, 80.0, 40, seed):
            along, offset = line.locate((x, y))
            yield case("locate", [vertices, x, y], {"alongM": float(along), "offsetM": float(offset)})
        turns = np.concatenate([[0.0], np.cumsum(line.legs_m)])
        for along_m in [*turns.tolist(), *np.linspace(-40, line.length_m + 60, 15).tolist()]:
            (x, y), bearing = line.at(along_m)
            yield case(
                "at", [vertices, along_m], {"x": float(x), "y": float(y), "bearingDeg": float(bearing)}
            )


def yardage_cases() -> Iterator[Case]:
    for seed, points in enumerate(LINES):
        vertices = shifted(points, ORIGINS[1])
        for x, y in places_about(vertices, 80.0, 12, seed):
            found = yardage(LineOfPlay(np.array(vertices)), (x, y), 1.000312)
            want = {"straightM": found.straight_m, "alongM": found.along_m, "offsetM": found.offset_m}
            yield case("yardage", [vertices, x, y, 1.000312], want)
    for radius_m in (0.0, 0.017, 0.4, 6.4859, 48.0):
        yield case("straightRange95M", [radius_m], straight_range95_m(radius_m))
        yield case("straightRange95M", [radius_m, 0.25, 0.07], straight_range95_m(radius_m, 0.25, 0.07))


def trace_reach_cases() -> Iterator[Case]:
    for seed, (trace, _, _) in enumerate(closed for closed in traces() if closed[1]):
        inside, *tees = places_about(trace, 90.0, 6, seed)
        for tee in (inside, *tees[-3:], np.mean(trace, axis=0).tolist()):
            for through in list(places_about(trace, 4.0, 8, seed + 1))[::4]:
                found = reach_over_trace(trace, tee, through)
                want = found and {"reachM": found.reach_m, "carryM": found.carry_m}
                yield case("reachOverTrace", [trace, tee, through], want)
                slopes = edge_slopes(trace, tee, through)
                want = slopes and {"reach": slopes.reach, "carry": slopes.carry}
                yield case("edgeSlopes", [trace, tee, through], want, 1e-5)


def check_cases() -> list[Case]:
    written: list[Case] = runpy.run_path(str(HERE / "check_cases.py"))["check_cases"]()
    return written


def verdict_cases() -> Iterator[Case]:
    for accuracy_m in (None, 0.0, -1.0, 0.012, 1.0, 4.0, 65.0):
        yield case("radius95M", [accuracy_m], radius95_m(accuracy_m))
    distances: tuple[float | None, ...] = (None, 0.0, 0.03, 0.05, 0.06, 0.1, 0.1001, 0.15, 2.0, 14.5)
    for distance_m in distances:
        for radius_m in (None, 0.0, 0.02, 0.05, 0.1, 6.5):
            want = verdict(distance_m, radius_m, 0.10)
            yield case("verdict", [distance_m, radius_m, 0.10], want)


def frame_cases() -> list[Case]:
    written: list[Case] = runpy.run_path(str(HERE / "frame_cases.py"))["frame_cases"]()
    return written


def reading_cases(module: str) -> Callable[[], list[Case]]:
    def cases() -> list[Case]:
        written: list[Case] = runpy.run_path(str(HERE / "reading_cases.py"))[f"{module}_cases"]()
        return written

    return cases


def tie_cases(module: str) -> Callable[[], list[Case]]:
    def cases() -> list[Case]:
        written: list[Case] = runpy.run_path(str(HERE / "tie_cases.py"))[f"{module}_cases"]()
        return written

    return cases


def network_cases(module: str) -> Callable[[], list[Case]]:
    def cases() -> list[Case]:
        written: list[Case] = list(runpy.run_path(str(HERE / "network_cases.py"))[f"{module}_cases"]())
        return written

    return cases


def draft_cases(module: str) -> Callable[[], list[Case]]:
    def cases() -> list[Case]:
        written: list[Case] = list(runpy.run_path(str(HERE / "draft_cases.py"))[f"{module}_cases"]())
        return written

    return cases


CASES: dict[str, Callable[[], Iterable[Case]]] = {
    "adjust": network_cases("adjust"),
    "baseline": tie_cases("baseline"),
    "check_in": reading_cases("check_in"),
    "chi_square": network_cases("chi_square"),
    "clearance": draft_cases("clearance"),
    "combine": reading_cases("combine"),
    "curve": draft_cases("curve"),
    "frame": frame_cases,
    "intersection": tie_cases("intersection"),
    "likelihood": reading_cases("likelihood"),
    "line_of_play": line_cases,
    "measures": draft_cases("measures"),
    "moved": network_cases("moved"),
    "next_line": network_cases("next_line"),
    "offset": offset_cases,
    "process": reading_cases("process"),
    "reset": tie_cases("reset"),
    "shot": draft_cases("shot"),
    "slope": tie_cases("slope"),
    "ties": tie_cases("ties"),
    "strength": network_cases("strength"),
    "trace_reach": trace_reach_cases,
    "trial": reading_cases("trial"),
    "verdict": verdict_cases,
    "yardage": yardage_cases,
    "yardage_check": check_cases,
}
"""By module: the function that gives its cases as Python answers them now."""


def differences(found: Any, want: Any, tolerance: float, where: str) -> Iterator[str]:
    """Say where an answer differs from what is wanted."""
    if isinstance(want, dict):
        for key, value in want.items():
            yield from differences(found[key], value, tolerance, f"{where}.{key}")
    elif isinstance(want, list):
        for index, value in enumerate(want):
            yield from differences(found[index], value, tolerance, f"{where}[{index}]")
    elif isinstance(want, float | int) and not isinstance(want, bool) and isinstance(found, float | int):
        apart = abs(found - want)
        if where.endswith("Deg"):
            apart = min(apart % 360.0, 360.0 - apart % 360.0)
        if not apart <= tolerance or math.isnan(apart):
            yield f"{where}: {found!r} instead of {want!r}"
    elif found != want:
        yield f"{where}: {found!r} instead of {want!r}"


def write() -> None:
    VECTORS.mkdir(exist_ok=True)
    for name, cases in CASES.items():
        document = {"module": f"{name}.js", "cases": list(cases())}
        text = json.dumps(document, allow_nan=False, separators=(",", ":")).replace('{"call"', '\n{"call"')
        (VECTORS / f"{name}.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    write()
