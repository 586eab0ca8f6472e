"""How often the 95 % range of a yardage holds the truth, how often a check is wrong; `pytest -s` prints figures."""

import numpy as np
import pytest

from fieldapp.geodesy.fit import FitReport, fit_similarity
from fieldapp.play.trace_reach import edge_slopes, reach_over_trace
from fieldapp.play.yardage import straight_range95_m
from fieldapp.play.yardage_check import CheckedFigure, check_verdict
from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess
from fieldapp.reading.verdict import R95_IN_SIGMA

YARD = 0.9144
PEGS = np.array(
    [(0.0, 0.0), (200.0, 10.0), (210.0, 190.0), (10.0, 220.0), (100.0, 90.0), (60.0, 150.0), (150.0, 60.0)]
)
PLACE, TEE = np.array([170.0, 230.0]), np.array([40.0, -20.0])
TRUTH_M = float(np.hypot(*(PLACE - TEE)))
TEE95_M, PEG_SIGMA_M = 0.6, 0.25
PARTS = {
    "white": ((1.0, 0.0),),
    "correlated": ((1.0, 60.0),),
    "mixed": DEFAULT_PROCESS.parts,
}


def measured(parts, simulated, count, sigma_m=1.0, seconds=60, seed=1):
    """Distances measured from a plate known within TEE95_M on a grid fitted to seven pegs, with their ranges."""
    rng = np.random.default_rng(seed)
    times = np.arange(seconds + 1.0)
    errors = simulated(rng, times, count, parts)[0].transpose(1, 0, 2) * sigma_m
    for fixes in errors:
        fit = fit_similarity(PEGS + rng.normal(0, PEG_SIGMA_M, PEGS.shape), PEGS, "free")
        placed = fit.similarity.apply(PLACE + fixes)
        reading = combine(times, placed, np.full(len(times), sigma_m), ErrorProcess(parts, 1))
        plate = TEE + rng.normal(0, TEE95_M / R95_IN_SIGMA, 2)
        distance = float(np.hypot(reading.x - plate[0], reading.y - plate[1]))
        yield distance, straight_range95_m(reading.radius95_m, TEE95_M, within95(fit))


def within95(fit):
    middle = PEGS.mean(axis=0)
    report = FitReport(
        peg_ids=tuple(map(str, range(len(PEGS)))),
        residuals_m=(),
        rms_m=fit.rms_m,
        degrees_of_freedom=fit.degrees_of_freedom,
        scale=fit.similarity.scale,
        rotation_deg=fit.similarity.rotation_deg,
        standard_error_m=fit.standard_error_m,
        middle_xy=(float(middle[0]), float(middle[1])),
        spread_m2=float(np.sum((PEGS - middle) ** 2)),
    )
    return report.within95_m(PLACE)


@pytest.mark.parametrize("noise", PARTS)
def test_the_range_with_plate_and_grid_holds_the_distance_in_93_to_97_per_cent(noise, simulated):
    found = np.array(list(measured(PARTS[noise], simulated, 4000)))
    share = 100 * np.mean(np.abs(found[:, 0] - TRUTH_M) <= found[:, 1])
    print(f"\n  {noise}: range {found[:, 1].mean():.2f} m holds {share:.1f} %")
    assert 93 <= share <= 97


def test_without_plate_and_grid_the_range_would_hold_too_little(simulated):
    found = np.array(list(measured(PARTS["white"], simulated, 1000)))
    alone = straight_range95_m(R95_IN_SIGMA / np.sqrt(61))
    assert np.mean(np.abs(found[:, 0] - TRUTH_M) <= alone) < 0.85


@pytest.mark.parametrize("off_m", [0.0, 0.5, 0.9, 0.95, 1.3, 2.5])
def test_a_wrong_verdict_is_rarer_than_5_in_100(off_m, simulated):
    """Of places truly so far from the plan: agreeing beyond the tolerance or differing within it is wrong."""
    found = list(measured(PARTS["correlated"], simulated, 3000, sigma_m=0.3, seed=int(100 * off_m)))
    verdicts = [check_verdict(distance - (TRUTH_M - off_m), half, YARD) for distance, half in found]
    wrong = "agrees" if off_m > YARD else "differs"
    risk = 100 * verdicts.count(wrong) / len(verdicts)
    told = 100 * sum(verdict != "cannot tell" for verdict in verdicts) / len(verdicts)
    print(f"\n  truly {off_m:.2f} m off: wrong in {risk:.1f} %, told in {told:.1f} %")
    assert risk <= 4


FRONT_M, BACK_M = 200.0, 215.0


def sand_with_a_front_slanted_by(slant_deg):
    rise = np.tan(np.radians(slant_deg))
    corners = [(-4.0, FRONT_M - 4 * rise), (4.0, FRONT_M + 4 * rise), (4.0, BACK_M), (-4.0, BACK_M)]
    return np.array([*corners, corners[0]])


@pytest.mark.parametrize("slant_deg", [0.0, 45.0, 60.0])
@pytest.mark.parametrize("off_m", [0.0, 0.913, 0.916, -0.916])
@pytest.mark.parametrize("radius_m", [0.03, 0.1, 0.25])
def test_a_wrong_verdict_of_a_slanted_edge_is_as_rare(slant_deg, off_m, radius_m):
    """The worker stands on the edge within 0.1 m of the line; the position's error is normal, along and across."""
    rng = np.random.default_rng(int(slant_deg + 1000 * abs(off_m) + 100 * radius_m))
    sand = sand_with_a_front_slanted_by(slant_deg)
    planned_m = FRONT_M - off_m
    wrong = "agrees" if abs(off_m) > YARD else "differs"
    verdicts = []
    for across_m in rng.uniform(-0.1, 0.1, 3000):
        edge_y = FRONT_M + across_m * np.tan(np.radians(slant_deg))
        place = np.array([across_m, edge_y]) + rng.normal(0, radius_m / R95_IN_SIGMA, 2)
        effect_m = reach_over_trace(sand, (0, 0), place).reach_m - FRONT_M
        slope = edge_slopes(sand, (0, 0), place).reach
        difference_m = float(np.hypot(*place)) - planned_m
        check = CheckedFigure(difference_m, YARD, effect_m, radius_m, 0.0, 0.0, slope)
        verdicts.append(check_verdict(difference_m, check.range95_m, YARD, effect_m))
    risk = 100 * verdicts.count(wrong) / len(verdicts)
    told = 100 * sum(verdict != "cannot tell" for verdict in verdicts) / len(verdicts)
    print(
        f"\n  {slant_deg:.0f} degrees, {off_m} m off, within {radius_m} m: wrong {risk:.1f} %, told {told:.1f} %"
    )
    assert risk <= 4
