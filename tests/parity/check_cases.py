"""Cases for the yardage check, as both languages call it."""

from __future__ import annotations

import itertools
from typing import Any

from fieldapp.play.yardage_check import (
    CheckedFigure,
    Settling,
    Standing,
    check_verdict,
    more_seconds,
    needed_radius95_m,
    radius95_after,
    settling,
)
from fieldapp.reading.check_in import CheckIn
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess

Case = dict[str, Any]
QUICK = ErrorProcess(((0.3, 0.0), (0.7, 15.0)), 2)
CHECK_IN = CheckIn(1.5, -0.5, 1_000.0, 2.6, 3.1, tuple(940.0 + 2 * step for step in range(31)))
STANDINGS = (
    None,
    Standing(2.65, 1_200.0, 0.0),
    Standing(0.8, 1_200.5, 44.2),
    Standing(0.0093, 1_200.0, 12.0),
    Standing(2.65, 1_200.0, 30.0, CHECK_IN),
)
COMPARED = tuple(
    CheckedFigure(difference, 0.9144, effect, radius, tee, grid, slope)
    for difference, effect, radius, (tee, grid, slope) in itertools.product(
        (0.0, 0.31, -0.9144, 0.905, -1.7),
        (0.0, 0.4, None),
        (None, 0.05, 1.1, 6.5),
        ((0.0, 0.0, 0.0), (0.2, 0.11, 0.0), (0.2, 0.11, 1.7), (0.2, None, 1.0)),
    )
)


def case(call: str, args: list[Any], want: Any, tolerance: float = 1e-6) -> Case:
    return {"call": call, "args": args, "want": want, "tolerance": tolerance}


def js_process(process: ErrorProcess) -> dict[str, Any]:
    return {"parts": [list(part) for part in process.parts], "spread": process.spread}


def js_compared(compared: CheckedFigure) -> dict[str, Any]:
    return {
        "differenceM": compared.difference_m,
        "toleranceM": compared.tolerance_m,
        "lineEffectM": compared.line_effect_m,
        "radius95M": compared.radius95_m,
        "tee95M": compared.tee95_m,
        "grid95M": compared.grid95_m,
        "edgeSlope": compared.edge_slope,
    }


def js_standing(standing: Standing | None) -> dict[str, Any] | None:
    if standing is None:
        return None
    check_in = standing.check_in
    return {
        "sigmaM": standing.sigma_m,
        "firstS": standing.first_s,
        "stoodS": standing.stood_s,
        "checkIn": check_in
        and {
            "shiftX": check_in.shift_x,
            "shiftY": check_in.shift_y,
            "madeAtS": check_in.made_at_s,
            "sigmaM": check_in.sigma_m,
            "radius95M": check_in.radius95_m,
            "keptS": list(check_in.times_s),
        },
    }


def js_settling(found: Settling) -> dict[str, Any]:
    return {
        "kind": found.kind,
        "moreS": found.more_s,
        "radius95M": found.radius95_m,
        "accuracyM": found.accuracy_m,
    }


def check_cases() -> list[Case]:
    cases = []
    for compared in COMPARED:
        js = js_compared(compared)
        cases.append(case("range95M", [js], compared.range95_m))
        cases.append(case("neededRadius95M", [js], needed_radius95_m(compared)))
        figures = compared.difference_m, compared.range95_m, compared.tolerance_m, compared.line_effect_m
        cases.append(case("checkVerdict", list(figures), check_verdict(*figures)))
    for process in (DEFAULT_PROCESS, QUICK):
        for standing in STANDINGS[1:]:
            js = js_standing(standing), js_process(process)
            for total_s in (0.0, 1.0, 59.7, 700.0):
                found = radius95_after(standing, total_s, process)
                cases.append(case("radius95After", [js[0], total_s, js[1]], found))
            for wanted_m in (0.004, 0.5, 2.0):
                cases.append(
                    case("moreSeconds", [js[0], wanted_m, js[1]], more_seconds(standing, wanted_m, process))
                )
        for compared, standing in itertools.product(COMPARED[::7], STANDINGS):
            args = [js_compared(compared), js_standing(standing), js_process(process)]
            cases.append(case("settling", args, js_settling(settling(compared, standing, process))))
    return cases
