"""Cases of the tape modules: intersection, ties, base line, slope and a lost peg set again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations
from typing import Any

import numpy as np

from fieldapp.errors import InputError
from fieldapp.tape import baseline, intersection, reset, slope, ties
from fieldapp.tape.ties import Tape, TiePeg

Case = dict[str, Any]
TOLERANCE = 1e-6
ORIGINS = ((0.0, 0.0), (657_152.56, 6_766_514.56))
TAPE = Tape(30.0, 0.01)
ABOUT = ((-12.0, -9.0), (14.0, -11.0), (16.0, 9.0), (-2.0, 17.0), (-60.0, 4.0))
LEVELS = (1.2, None, 0.4, 2.0, 1.0)
SIGMAS = (0.0, 0.01, 0.0, 0.02, 0.005)


def case(call: str, args: list[Any], want: Any, tolerance: float = TOLERANCE) -> Case:
    return {"call": call, "args": args, "want": want, "tolerance": tolerance}


def place(xy: Any) -> dict[str, float] | None:
    return None if xy is None else {"x": float(xy[0]), "y": float(xy[1])}


def upper(cov: Any) -> list[float]:
    return [float(cov[0, 0]), float(cov[0, 1]), float(cov[1, 1])]


def intersection_cases() -> list[Case]:
    return [*_meetings(), *_crossings()]


def _meetings() -> Iterator[Case]:
    distances = ((9.0, 8.0), (3.0, 4.0), (20.0, 5.0), (5.0, 20.0), (6.0, 4.0), (14.0, 4.0), (0.0, 10.0))
    for origin in ORIGINS:
        for end in ((10.0, 0.0), (6.0, 8.0), (-10.0, 0.0), (0.0, 0.0)):
            for ra, rb in distances:
                a, b = np.array(origin), np.array(origin) + end
                met = intersection.intersect(a, b, ra, rb)
                want = {
                    "kind": met.kind,
                    "left": place(met.left),
                    "right": place(met.right),
                    "gapM": met.gap_m,
                    "reason": met.reason,
                }
                yield case("intersect", [place(a), place(b), ra, rb], want)


def _crossings() -> Iterator[Case]:
    rng = np.random.default_rng(1)
    for origin in ORIGINS:
        for point, a, b in rng.uniform(-25, 25, (8, 3, 2)) + np.array(origin):
            places = [place(xy) for xy in (point, a, b)]
            angle = float(intersection.crossing_angle_deg(point, a, b))
            yield case("crossingAngleDeg", places, angle)
            pegs = [np.array([[4e-4, 1e-4], [1e-4, 2e-4]]), np.array([[1e-4, 0.0], [0.0, 3e-4]])]
            for known in (None, pegs):
                cov = intersection.point_covariance(point, a, b, 0.01, 0.02, *(known or ()))
                sent = [] if known is None else [upper(one) for one in known]
                yield case("pointCovariance", [*places, 0.01, 0.02, *sent], upper(cov), 1e-9)
                for probability in (0.95, 0.5):
                    found = intersection.error_ellipse(cov, probability)
                    want = {"majorM": found.major_m, "minorM": found.minor_m}
                    yield case("errorEllipse", [upper(cov), probability], want)
    for cov in ([4e-4, 1e-4, 2e-4], [1e-4, -5e-5, 3e-4], [2e-4, 0.0, 1e-4], [1e-4, 0.0, 2e-4]):
        found = intersection.error_ellipse([[cov[0], cov[1]], [cov[1], cov[2]]])
        want = {"majorM": found.major_m, "minorM": found.minor_m, "bearingDeg": found.bearing_deg}
        yield case("errorEllipse", [cov], want)


def _pegs(origin: tuple[float, float], count: int) -> list[TiePeg]:
    rows = zip(ABOUT, LEVELS, SIGMAS, strict=True)
    pegs = [
        TiePeg(f"p{k}", (origin[0] + x, origin[1] + y), sigma, level)
        for k, ((x, y), level, sigma) in enumerate(rows, 1)
    ]
    return pegs[:count]


def _js_peg(peg: TiePeg) -> dict[str, Any]:
    return {"id": peg.id, "x": peg.xy[0], "y": peg.xy[1], "sigmaM": peg.sigma_m, "levelM": peg.level_m}


def ties_cases() -> list[Case]:
    known = (None, 0.0, 0.05, 0.15, 0.16, 6.5)
    return [
        *(case("pegSigmaM", [within], ties.peg_sigma_m(within)) for within in known[:3]),
        *(case("isTapeable", [within], ties.is_tapeable(within)) for within in known),
        *(
            _tie_case(origin, count, levels)
            for origin in ORIGINS
            for count in range(6)
            for levels in (True, False)
        ),
    ]


def _tie_case(origin: tuple[float, float], count: int, known: bool) -> Case:
    points = np.random.default_rng(count).uniform(-9, 9, (12, 2)) + np.array(origin)
    points = np.concatenate([points, [[origin[0] + 40, origin[1] + 40]], [np.add(origin, ABOUT[0])]])
    levels = np.where(np.arange(len(points)) % 3 == 0, np.nan, 0.1 * np.arange(len(points)))
    pegs = _pegs(origin, count)
    found = ties.tie_sheet(points, pegs, TAPE, levels if known else None)
    asked = [
        {**(place(xy) or {}), "levelM": None if not known or math.isnan(level) else float(level)}
        for xy, level in zip(points, levels, strict=True)
    ]
    tape = {"lengthM": TAPE.length_m, "errorM": TAPE.error_m}
    return case("tieSheet", [asked, [_js_peg(peg) for peg in pegs], tape], [_js_ties(one) for one in found])


def _js_ties(found: ties.PointTies) -> dict[str, Any]:
    axes = found.ellipse and {"majorM": found.ellipse.major_m, "minorM": found.ellipse.minor_m}
    return {
        "ties": [{"peg": tie.peg, "levelM": tie.level_m, "slopeM": tie.slope_m} for tie in found.ties],
        "side": found.side,
        "crossingDeg": found.crossing_deg,
        "ellipse": axes,
        "checkWithinM": found.check_within_m,
        "why": found.why,
    }


def baseline_cases() -> list[Case]:
    return [*_rows(), *_squares()]


def _rows() -> Iterator[Case]:
    for origin in ORIGINS:
        start, end = _pegs(origin, 2)
        for one, other in ((start, end), (end, start)):
            ends = [_js_peg(one), _js_peg(other)]
            places = np.random.default_rng(3).uniform(-15, 15, (8, 2)) + np.array(origin)
            for xy in places:
                along, off = baseline.chainage_and_offset(xy, one.xy, other.xy).tolist()
                yield case("chainageAndOffset", [place(xy), *ends], {"chainageM": along, "offsetM": off})
                back = baseline.point_at(along, off, one.xy, other.xy)
                yield case("pointAt", [along, off, *ends], place(back))
            for unit in (1.0, 2.0):
                rows = baseline.baseline_table(places, one, other, TAPE, unit)
                want = [
                    {
                        "chainageM": row.chainage_m,
                        "offsetM": row.offset_m,
                        "isOnString": row.is_on_string,
                        "ellipse": {"majorM": row.ellipse.major_m, "minorM": row.ellipse.minor_m},
                    }
                    for row in rows
                ]
                asked = [[place(xy) for xy in places], *ends, {"lengthM": 30.0, "errorM": 0.01}, unit]
                yield case("baselineTable", asked, want)


def _squares() -> Iterator[Case]:
    shapes = (
        [[0, 0], [4, 0], [4, 4], [0, 4], [0, 0]],
        [[0.3, 0], [6.1, -2.7], [11, 1], [5.2, 6], [2, 2.5], [-2, 4], [0.3, 0]],
    )
    for origin in ORIGINS:
        start, end = _pegs(origin, 2)
        for shape in shapes:
            trace = np.add(shape, origin)
            for every in (1.0, 2.5):
                found = baseline.squares_to(trace, every, start.xy, end.xy).tolist()
                want = [{"chainageM": along, "offsetM": off} for along, off in found]
                asked = [trace.tolist(), every, _js_peg(start), _js_peg(end)]
                yield case("squaresTo", asked, want)
    yield case("rightAngleSides", [0.5], list(baseline.right_angle_sides(0.5)))
    yield case("rightAngleSigmaRad", [2.0, 0.01], baseline.right_angle_sigma_rad(2.0, 0.01), 1e-12)
    yield case("equalDiagonals", [9.0, 7.0], baseline.equal_diagonals(9.0, 7.0))


def slope_cases() -> Iterator[Case]:
    for length, difference in ((10.0, 1.0), (7.42, -0.6), (5.0, 5.0), (3.0, 3.1)):
        try:
            want: float | None = float(slope.level_distance(length, difference))
        except InputError:
            want = None
        yield case("levelDistance", [length, difference], want)
        yield case("slopeDistance", [length, difference], float(slope.slope_distance(length, difference)))


def reset_cases() -> list[Case]:
    tests = [case("critical", [dof], reset.critical(dof), 1e-9) for dof in range(1, 11)]
    return [*tests, *_resets(), *_degenerate_resets()]


def _resets() -> Iterator[Case]:
    rng = np.random.default_rng(5)
    for origin in ORIGINS:
        for count in (2, 3, 4, 5):
            for used in list(combinations(ABOUT, count))[:4]:
                true = rng.uniform(-8, 8, 2)
                for blunder in (0.0, 0.15):
                    errors = rng.normal(0.0, 0.01, count)
                    errors[0] += blunder
                    taped = [math.dist(xy, true) + e for xy, e in zip(used, errors, strict=True)]
                    for side in (None, "left", "right"):
                        yield _reset_case(used, taped, origin, side)


def _degenerate_resets() -> Iterator[Case]:
    in_line = ((0.0, 0.0), (10.0, 0.0), (20.0, 0.0))
    for side in (None, "left", "right"):
        yield _reset_case(in_line, [math.dist(xy, (5, 6)) for xy in in_line], ORIGINS[0], side)
    yield _reset_case(in_line[:2], [3.0, 3.0], ORIGINS[0], None)
    yield _reset_case(in_line[:2], [3.0, 14.0], ORIGINS[0], None)
    yield _reset_case(in_line[:2], [6.0, 4.0], ORIGINS[0], None, with_covariance=False)
    yield _reset_case((*in_line[:2], (5.0, 5.0)), [3.0, 3.0, 1.0], ORIGINS[0], None)


def _reset_case(
    places: Any, taped: list[float], origin: Any, side: Any, with_covariance: bool = True
) -> Case:
    used = [tuple(np.add(xy, origin).tolist()) for xy in places]
    found = reset.reset_peg(
        [reset.ResetTie(xy, length, 0.012) for xy, length in zip(used, taped, strict=True)], side
    )
    want = {
        "kind": found.kind,
        "candidates": [place(xy) for xy in found.candidates],
        "xy": place(found.xy),
        "residualsM": None if found.residuals_m is None else found.residuals_m.tolist(),
        "critical": found.critical,
        "dof": found.dof,
        "fit": found.fit,
        "fault": found.fault,
        "gapM": found.gap_m,
    }
    if with_covariance:
        want["covariance"] = None if found.covariance is None else upper(found.covariance)
    asked = [
        {"x": x, "y": y, "distanceM": length, "sigmaM": 0.012}
        for (x, y), length in zip(used, taped, strict=True)
    ]
    return case("resetPeg", [asked, side], want)
