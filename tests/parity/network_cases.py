"""Cases for networks of pegs, as both languages call them: chi-square, adjustment, what moved, which line next."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from fieldapp.tape.adjust import adjust
from fieldapp.tape.chi_square import critical, seen_noncentrality
from fieldapp.tape.moved import Finding, which_moved
from fieldapp.tape.network import Distance, NetPeg
from fieldapp.tape.next_line import checking_line, first_lines
from fieldapp.tape.strength import limit_of

Case = dict[str, Any]
Net = tuple[list[NetPeg], list[Distance]]

PLACES = ((0.0, 0.0), (20.3, 1.1), (18.7, 17.9), (-1.4, 16.2), (9.2, 27.5))
FAR = (674_032.4, 6_580_821.9)
ALL = tuple(itertools.combinations(range(4), 2))
TRIANGLE = ((0, 1), (0, 2), (1, 2))


def case(call: str, args: list[Any], want: Any, tolerance: float = 1e-6) -> Case:
    return {"call": call, "args": args, "want": want, "tolerance": tolerance}


def network(
    ends: Sequence[tuple[int, int]],
    seed: int,
    sigmas: Sequence[float | None] = (0.004,),
    moved: tuple[int, float, float] | None = None,
    misread: tuple[int, float] | None = None,
    origin: tuple[float, float] = (0.0, 0.0),
) -> Net:
    """A network of five pegs with a fixed error of every place and tape; a sigma of 0 fixes the peg."""
    rng = np.random.default_rng(seed)
    sigma = list(itertools.islice(itertools.cycle(sigmas), len(PLACES)))
    true = np.array(PLACES) + rng.normal(0, 0.004, (len(PLACES), 2))
    if moved is not None:
        true[moved[0]] += moved[1:]
    taped = [float(np.hypot(*(true[a] - true[b]))) + rng.normal(0, 0.01) for a, b in ends]
    if misread is not None:
        taped[misread[0]] += misread[1]
    pegs = [
        NetPeg(f"r{at}", (x + origin[0], y + origin[1]), known or None, known == 0.0)
        for at, ((x, y), known) in enumerate(zip(PLACES, sigma, strict=True))
    ]
    lines = [Distance(f"r{a}", f"r{b}", length, 0.01) for (a, b), length in zip(ends, taped, strict=True)]
    return pegs, lines


NETWORKS: tuple[Net, ...] = (
    network(ALL, 1),
    network(ALL, 2, moved=(1, 0.05, 0.04)),
    network(ALL, 3, misread=(2, 0.10)),
    network(ALL, 4, moved=(2, -0.07, 0.01), origin=FAR),
    network(ALL, 5, moved=(1, 0.3, 0.2), misread=(5, 0.4)),
    network(ALL, 6, sigmas=(0.0, 0.0, 0.004, 0.02)),
    network(ALL, 7, sigmas=(0.0, 0.004), moved=(0, 0.06, 0.02)),
    network(ALL[:4], 8),
    network(ALL[:5], 9, moved=(0, 0.08, 0.03)),
    network(TRIANGLE, 10),
    network(TRIANGLE, 11, moved=(1, 0.07, 0.05)),
    network(TRIANGLE, 12, misread=(0, -0.09)),
    network(ALL[:1], 13),
    network(ALL[:1], 14, misread=(0, 0.12)),
    network(ALL[:2], 15, moved=(0, 0.09, 0.08)),
    network((*ALL, (1, 0)), 16, misread=(0, 0.08)),
    network((*ALL, (0, 4), (2, 4), (3, 4)), 17, moved=(4, -0.02, 0.06)),
    network((), 18),
)
FREE = (
    network(ALL, 21, sigmas=(None,)),
    network(ALL, 22, sigmas=(0.0, None)),
    network(TRIANGLE, 23, (None,)),
)


def js_pegs(pegs: Sequence[NetPeg]) -> list[Any]:
    return [
        {"id": peg.id, "x": peg.xy[0], "y": peg.xy[1], "sigmaM": peg.sigma_m, "fixed": peg.fixed}
        for peg in pegs
    ]


def js_lines(lines: Sequence[Distance]) -> list[Any]:
    return [
        {"one": line.one, "other": line.other, "levelM": line.level_m, "sigmaM": line.sigma_m}
        for line in lines
    ]


def js_finding(found: Finding) -> Any:
    shift = found.shift
    return {
        "verdict": found.verdict,
        "reason": found.reason,
        "chiSquare": found.chi_square,
        "dof": found.dof,
        "critical": found.critical,
        "suspects": list(found.suspects),
        "suspectLine": found.suspect_line and list(found.suspect_line),
        "shift": shift
        and {
            "peg": shift.peg,
            "x": shift.x,
            "y": shift.y,
            "movedM": shift.moved_m,
            "withinM": shift.within_m,
        },
        "wanted": found.wanted and list(found.wanted),
        "tests": [
            {
                "peg": one.peg,
                "line": one.line,
                "chiSquare": one.chi_square,
                "dof": one.dof,
                "critical": one.critical,
                "remains": one.remains,
            }
            for one in found.tests
        ],
        "strengths": [
            {"peg": one.peg, "seenFromM": one.seen_from_m, "namedFromM": one.named_from_m}
            for one in found.strengths
        ],
        "unchecked": list(found.unchecked),
    }


def chi_square_cases() -> Iterator[Case]:
    for dof, significance in itertools.product((0, 1, 2, 3, 5, 10, 30, 120), (0.2, 0.05, 0.01, 0.001)):
        yield case("critical", [dof, significance], critical(dof, significance))
        if dof:
            for power in (0.5, 0.8, 0.95):
                want = seen_noncentrality(dof, significance, power)
                yield case("seenNoncentrality", [dof, significance, power], want)


def adjust_cases() -> Iterator[Case]:
    for pegs, lines in (*NETWORKS, *FREE):
        found = adjust(pegs, lines)
        want = {
            "xy": (found.xy - found.network.origin).ravel().tolist(),
            "covariance": found.covariance.tolist(),
            "residualsM": found.residuals_m.tolist(),
            "redundancy": found.redundancy.tolist(),
            "standardised": [None if math.isnan(w) else w for w in found.standardised.tolist()],
            "dof": found.dof,
            "chiSquare": found.chi_square,
            "chiCritical": found.chi_critical,
            "defect": found.defect,
        }
        yield case("adjust", [js_pegs(pegs), js_lines(lines)], want)


def moved_cases() -> Iterator[Case]:
    for pegs, lines in NETWORKS:
        yield case("whichMoved", [js_pegs(pegs), js_lines(lines)], js_finding(which_moved(pegs, lines)))
    pegs, lines = NETWORKS[9]
    options = {"significance": 0.05, "limitM": 0.05, "reachM": 24.0}
    found = which_moved(pegs, lines, 0.05, 0.05, 24.0)
    yield case("whichMoved", [js_pegs(pegs), js_lines(lines), options], js_finding(found))


def strength_cases() -> Iterator[Case]:
    for tolerance_m, error_m in ((0.10, 0.010), (0.06, 0.010), (0.02, 0.010), (0.02, 0.004), (0.30, 0.05)):
        yield case("limitOf", [tolerance_m, error_m], limit_of(tolerance_m, error_m))


def next_line_cases() -> Iterator[Case]:
    pegs, lines = NETWORKS[0]
    for reach_m, count in ((30.0, 3), (30.0, 5), (17.0, 4), (3.0, 3)):
        want = [list(ends) for ends in first_lines(pegs, 0.01, reach_m, count)]
        yield case("firstLines", [js_pegs(pegs), 0.01, reach_m, count], want)
    for taken in range(len(lines) + 1):
        ends = checking_line(pegs, lines[:taken], 22.0)
        yield case(
            "checkingLine",
            [js_pegs(pegs), js_lines(lines[:taken]), 22.0],
            None if ends is None else list(ends),
        )
