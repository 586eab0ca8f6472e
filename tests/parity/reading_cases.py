"""Cases for the statistics of fixes: error processes, readings, check-ins and trials, as both languages call them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from fieldapp.reading.check_in import (
    CheckIn,
    Corrected,
    Worth,
    check_in_of,
    check_in_of_trial,
    corrected,
    lasting_shift95_m,
    worth,
)
from fieldapp.reading.combine import Reading, combine
from fieldapp.reading.likelihood import CANDIDATES, explained
from fieldapp.reading.process import (
    DEFAULT_PROCESS,
    ErrorProcess,
    correlation,
    taus_within,
    variance_of_sum,
    worst_variance,
)
from fieldapp.reading.trial import Trial, sigma_of, trial_of, why_no_trial

Case = dict[str, Any]
Fix = dict[str, Any]
PROCESSES = (
    DEFAULT_PROCESS,
    ErrorProcess(((1.0, 0.0),), 1),
    ErrorProcess(((1.0, 60.0),), 1),
    ErrorProcess(((0.2, 0.0), (0.5, 25.0), (0.3, 900.0)), 2),
)
PEG = (674_032.4, 6_580_821.9)


def case(call: str, args: list[Any], want: Any) -> Case:
    return {"call": call, "args": args, "want": want, "tolerance": 1e-6}


def js_process(process: ErrorProcess) -> dict[str, Any]:
    return {"parts": [list(part) for part in process.parts], "spread": process.spread}


def js_reading(reading: Reading) -> dict[str, Any]:
    return {
        "x": reading.x,
        "y": reading.y,
        "radius95M": reading.radius95_m,
        "plainRadius95M": reading.plain_radius95_m,
        "fixes": reading.fixes,
        "leftOut": reading.left_out,
        "seconds": reading.seconds,
        "sigmaM": reading.sigma_m,
        "timesS": [reading.times_s[0], reading.times_s[-1]],
        "keptS": list(reading.times_s),
    }


def js_check_in(check_in: CheckIn) -> dict[str, Any]:
    return {
        "shiftX": check_in.shift_x,
        "shiftY": check_in.shift_y,
        "madeAtS": check_in.made_at_s,
        "sigmaM": check_in.sigma_m,
        "radius95M": check_in.radius95_m,
        "keptS": list(check_in.times_s),
    }


def js_corrected(answer: Corrected) -> dict[str, Any]:
    return {
        "x": answer.x,
        "y": answer.y,
        "radius95M": answer.radius95_m,
        "applied": answer.applied,
        "ageS": answer.age_s,
    }


def js_worth(answer: Worth) -> dict[str, Any]:
    return {"radius95M": answer.radius95_m, "without95M": answer.without95_m, "applied": answer.applied}


def js_trial(trial: Trial) -> dict[str, Any]:
    return {
        "refused": None,
        **js_process(trial.process),
        "scatterM": trial.scatter_m,
        "sigmaPerAccuracy": trial.sigma_per_accuracy,
        "accuracyM": trial.accuracy_m,
        "offsetX": trial.offset_x,
        "offsetY": trial.offset_y,
        "offsetRadius95M": trial.offset_radius95_m,
        "fixes": trial.fixes,
        "leftOut": trial.left_out,
        "seconds": trial.seconds,
        "keptS": list(trial.times_s),
    }


def none_for_nan(value: float) -> float | None:
    return None if math.isnan(value) else value


def walk(seed: int, count: int, step_s: float, gaps: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Times and places about the peg, wandering slowly, with white noise."""
    rng = np.random.default_rng(seed)
    times = np.arange(count) * step_s
    if gaps:
        times = np.round(np.cumsum(rng.exponential(step_s, count)), 3)
    slow = np.cumsum(rng.normal(0, 0.15, (count, 2)), axis=0)
    return times, np.round(np.add(PEG, slow + rng.normal(0, 0.8, (count, 2))), 4)


def readings() -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Times, places and sigmas: plain, with strays, uneven, without a figure, belied, single, twice the same time."""
    some = []
    for seed, (count, step_s, gaps) in enumerate(
        ((1, 1, False), (2, 1, False), (7, 1, False), (30, 1, True))
    ):
        times, places = walk(seed, count, step_s, gaps)
        some.append((times, places, np.full(count, 2.6)))
    times, places = walk(9, 45, 1.0)
    thrown = places.copy()
    thrown[5] += 40
    thrown[31] -= 55
    sigmas = np.linspace(1.5, 4.0, 45)
    unknown = sigmas.copy()
    unknown[3] = np.nan
    some += [(times, thrown, sigmas), (times, places, unknown), (times, thrown, np.full(45, np.nan))]
    some += [(times, places, np.full(45, 0.2)), (np.repeat(times[:15], 3), places, sigmas)]
    return some


def fixes_of(times: np.ndarray, places: np.ndarray, sigmas: np.ndarray) -> list[Fix]:
    rows = zip(times.tolist(), places.tolist(), sigmas.tolist(), strict=True)
    return [{"tS": t, "x": x, "y": y, "sigmaM": none_for_nan(sigma)} for t, (x, y), sigma in rows]


def process_cases() -> list[Case]:
    cases = []
    times = walk(4, 25, 2.0, gaps=True)[0].tolist()
    signed = np.random.default_rng(6).normal(size=25).tolist()
    for process in PROCESSES:
        js = js_process(process)
        cases.append(case("varianceOfSum", [times, signed, js], variance_of_sum(times, signed, process)))
        even = [1 / 25] * 25
        cases.append(case("worstVariance", [times, even, js], worst_variance(times, even, process)))
        cases += [case("correlation", [js, lag], correlation(process, lag)) for lag in (0, 1, 60, 3600)]
    for tau_s, spread in ((60.0, 3.0), (60.0, 1.0), (0.0, 3.0)):
        cases.append(case("tausWithin", [tau_s, spread], list(taus_within(tau_s, spread))))
    return cases


def combine_cases() -> list[Case]:
    return [
        case("combine", [fixes_of(*fixes), js_process(process)], js_reading(combine(*fixes, process)))
        for fixes in readings()
        for process in PROCESSES
    ]


def check_in_cases() -> list[Case]:
    cases = []
    times, places = walk(5, 61, 1.0)
    for process in PROCESSES:
        at_peg = combine(times, places, np.full(61, 2.6), process)
        check_in = check_in_of(at_peg, *PEG, 60.0)
        js_peg = {"x": PEG[0], "y": PEG[1]}
        cases.append(case("checkInOf", [js_reading(at_peg), js_peg, 60.0], js_check_in(check_in)))
        for age_s in (0.0, 120.0, 600.0, 1800.0, 20_000.0):
            found = js_worth(worth(check_in, process, age_s))
            cases.append(case("worth", [js_check_in(check_in), js_process(process), age_s], found))
        for later, at, sigma_m in (
            (75.0, places[:31], 2.6),
            (400.0, places[20:41], 5.0),
            (-90.0, places[:9], 1.2),
        ):
            reading = combine(later + np.arange(len(at)), at, np.full(len(at), sigma_m), process)
            args = [js_reading(reading), js_check_in(check_in), js_process(process)]
            cases.append(case("corrected", args, js_corrected(corrected(reading, check_in, process))))
        unknown = combine(times + 99, places, np.full(61, np.nan), process)
        args = [js_reading(unknown), js_check_in(check_in), js_process(process)]
        cases.append(case("corrected", args, js_corrected(corrected(unknown, check_in, process))))
        for applied in (0.0, 0.37, 1.0):
            args = [js_check_in(check_in), applied]
            cases.append(case("lastingShift95M", args, lasting_shift95_m(check_in, applied)))
    trial = trial_of(times * 2, places, np.full(61, 4.0), PEG)
    cases.append(case("checkInOfTrial", [js_trial(trial)], js_check_in(check_in_of_trial(trial))))
    return cases


def trial_fixes(times: np.ndarray, places: np.ndarray, figures: np.ndarray) -> list[Fix]:
    rows = zip(times.tolist(), places.tolist(), figures.tolist(), strict=True)
    return [{"tS": t, "x": x, "y": y, "accuracyM": none_for_nan(figure)} for t, (x, y), figure in rows]


def trial_cases() -> list[Case]:
    cases = []
    js_peg = {"x": PEG[0], "y": PEG[1]}
    some = [walk(1, 61, 1.0), walk(2, 150, 2.0), walk(3, 120, 2.5, gaps=True)]
    for seed, (times, places) in enumerate(some):
        strayed = places.copy()
        strayed[7] += 60
        for figures in (np.linspace(2.0, 5.0, len(times)), np.full(len(times), np.nan)):
            trial = trial_of(times, strayed, figures, PEG)
            cases.append(case("trialOf", [trial_fixes(times, strayed, figures), js_peg], js_trial(trial)))
            if seed == 0:
                for accuracy_m in (None, 0.0, 3.0):
                    cases.append(case("sigmaOf", [accuracy_m, js_trial(trial)], sigma_of(accuracy_m, trial)))
    cases += [
        case("sigmaOf", [accuracy_m, None], sigma_of(accuracy_m, None)) for accuracy_m in (None, -1.0, 4.0)
    ]
    times, places = some[0]
    for few in (slice(0, 0), slice(0, 50), slice(0, None, 6)):
        why = why_no_trial(times[few], places[few])
        fixes = trial_fixes(times[few], places[few], np.full(len(times[few]), 3.0))
        cases += [case("whyNoTrial", [fixes], why), case("trialOf", [fixes, js_peg], {"refused": why})]
    held = np.full((61, 2), 5.0)
    held_fixes = trial_fixes(times, held, np.full(61, 3.0))
    cases.append(case("whyNoTrial", [held_fixes], why_no_trial(times, held)))
    return cases


def likelihood_cases() -> list[Case]:
    times, places = walk(8, 20, 5.0, gaps=True)
    errors = places - PEG
    squares, log_determinant = explained(times, errors)
    cases = []
    for index in range(0, len(squares), 37):
        candidate = {
            "white": float(CANDIDATES.white[index]),
            "short": float(CANDIDATES.short[index]),
            "long": float(CANDIDATES.long[index]),
            "shortTauS": float(CANDIDATES.short_tau_s[index]),
            "longTauS": float(CANDIDATES.long_tau_s[index]),
        }
        want = {"squares": float(squares[index]), "logDeterminant": float(log_determinant[index])}
        cases.append(case("explained", [times.tolist(), errors.tolist(), candidate], want))
    return cases
