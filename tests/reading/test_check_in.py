"""A check-in: what is taken off, what remains, how it fades; `pytest -s` prints how often the radius held the truth."""

import math
from dataclasses import replace

import numpy as np
import pytest

from fieldapp.reading.check_in import check_in_of, corrected, lasting_shift95_m, worth
from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess, correlation
from fieldapp.reading.verdict import R95_IN_SIGMA

CASES = 20_000
SIGMA_M = 2.6
PEG = (120.0, 340.0)
POINT = (150.0, 300.0)
AT_PEG_S = np.arange(61.0)
AGES_S = (0, 120, 600, 1800)
KNOWN = {
    "white": ((1.0, 0.0),),
    "correlated": ((1.0, 60.0),),
    "mixed": DEFAULT_PROCESS.parts,
}


def standing(truth, errors, times, process=DEFAULT_PROCESS, sigma=SIGMA_M):
    return combine(times, np.asarray(truth) + np.asarray(errors), np.full(len(times), sigma), process)


def steady(x, y, times):
    """An error that stands still but for a hundredth of a metre."""
    return np.array([x, y]) + 0.01 * np.sin(np.arange(len(times)))[:, None]


def check_in(x=1.0, y=2.0, process=DEFAULT_PROCESS):
    return check_in_of(standing(PEG, steady(x, y, AT_PEG_S), AT_PEG_S, process), *PEG, made_at_s=60.0)


def shares_held(parts, process, age_s, rng, simulated, held):
    """Per cent held with the check-in and without, and both radii in sigma.

    Part taken off and radius depend on times and sigmas only, not on where the fixes lie (checked on the first cases).
    """
    times = 61.0 + age_s + np.arange(31.0)
    errors, _ = simulated(rng, [*AT_PEG_S, *times], CASES, parts)
    at_peg, later = errors[:61] * SIGMA_M, errors[61:] * SIGMA_M
    answers = [
        corrected(
            standing(POINT, later[:, case], times, process),
            check_in_of(standing(PEG, at_peg[:, case], AT_PEG_S, process), *PEG, made_at_s=60.0),
            process,
        )
        for case in range(20)
    ]
    first = answers[0]
    away = later.mean(axis=0) - first.applied * at_peg.mean(axis=0)
    for case, answer in enumerate(answers):
        assert (answer.applied, answer.radius95_m) == (first.applied, first.radius95_m)
        assert (answer.x, answer.y) == pytest.approx(tuple(away[case] + POINT))
    alone = standing(POINT, later[:, 0], times, process).radius95_m
    return (
        held(np.hypot(*away.T), first.radius95_m),
        held(np.hypot(*later.mean(axis=0).T), alone),
        first.radius95_m / SIGMA_M,
        alone / SIGMA_M,
    )


def print_row(what, age_s, figures):
    share, share_alone, radius, alone = figures
    print(
        f"\n  {what}, {age_s / 60:.0f} min after: radius {radius:.2f} sigma holds {share:.1f} %, "
        f"without check-in {alone:.2f} sigma holds {share_alone:.1f} %"
    )


@pytest.mark.parametrize("age_s", AGES_S)
@pytest.mark.parametrize("noise", KNOWN)
def test_with_a_process_known_exactly_the_radius_after_a_check_in_holds_the_truth(
    noise, age_s, simulated, held
):
    process = ErrorProcess(KNOWN[noise], 1)
    figures = shares_held(KNOWN[noise], process, age_s, np.random.default_rng(age_s), simulated, held)
    print_row(f"known, {noise}", age_s, figures)
    assert 93 <= figures[0] <= 97
    assert figures[2] <= figures[3]


@pytest.mark.parametrize("age_s", AGES_S)
@pytest.mark.parametrize("factor", [1 / 3, 1, 3])
def test_with_the_default_process_it_never_falls_below_90_per_cent(factor, age_s, simulated, stretched, held):
    parts = stretched(DEFAULT_PROCESS.parts, factor)
    figures = shares_held(parts, DEFAULT_PROCESS, age_s, np.random.default_rng(age_s), simulated, held)
    print_row(f"default, true times x {factor:.2f}", age_s, figures)
    assert figures[0] >= 90
    assert figures[2] <= figures[3]


def test_the_shift_is_the_reading_minus_the_peg():
    found = check_in()
    assert (found.shift_x, found.shift_y) == pytest.approx((1.0, 2.0), abs=0.01)
    assert found.made_at_s == 60


def test_of_a_known_single_part_the_best_linear_estimate_is_taken_off():
    process = ErrorProcess(((1.0, 600.0),), 1)
    peg = check_in_of(standing(PEG, [[3.0, -1.0]], [0.0], process), *PEG, made_at_s=0.0)
    answer = corrected(standing(POINT, [[2.0, 0.0]], [300.0], process), peg, process)
    kept = correlation(process, 300.0)
    assert answer.applied == pytest.approx(kept, abs=0.005)
    assert answer.x == pytest.approx(POINT[0] + 2.0 - 3.0 * answer.applied)
    assert answer.y == pytest.approx(POINT[1] + 1.0 * answer.applied)
    assert answer.radius95_m == pytest.approx(R95_IN_SIGMA * SIGMA_M * math.sqrt(1 - kept**2), rel=1e-4)
    assert answer.age_s == 300


def test_it_fades_with_age_and_never_makes_a_radius_larger():
    fading = [worth(check_in(), DEFAULT_PROCESS, age_s) for age_s in range(0, 14_400, 60)]
    radii, applied = [one.radius95_m for one in fading], [one.applied for one in fading]
    assert radii == sorted(radii)
    assert applied == sorted(applied, reverse=True)
    assert radii[0] < 0.75 * fading[0].without95_m
    assert applied[-1] == 0
    assert radii[-1] == fading[-1].without95_m == pytest.approx(R95_IN_SIGMA * SIGMA_M)


def test_a_check_in_helps_no_white_receiver():
    white = ErrorProcess(((1.0, 0.0),), 1)
    assert corrected(standing(POINT, [[0, 0]], [90.0], white), check_in(process=white), white).applied == 0


def test_the_same_error_at_the_peg_and_at_the_point_goes_away():
    slow = ErrorProcess(((1.0, 1e7),), 1)
    answer = corrected(
        standing(POINT, steady(1, 2, range(31)), np.arange(70.0, 101.0), slow), check_in(), slow
    )
    assert answer.applied == 1
    assert (answer.x, answer.y) == pytest.approx(POINT, abs=0.02)


def test_a_reading_made_before_the_check_in_is_helped_by_it_too():
    late = replace(check_in(), times_s=tuple(AT_PEG_S + 120), made_at_s=180.0)
    answer = corrected(standing(POINT, steady(1, 2, range(31)), np.arange(31.0)), late, DEFAULT_PROCESS)
    assert answer.applied > 0.3
    assert answer.age_s == -150


def test_of_a_poorer_receiver_than_at_the_peg_never_more_than_the_shift_is_taken_off():
    reading = standing(POINT, steady(1, 2, range(31)), np.arange(62.0, 93.0), sigma=9.0)
    assert corrected(reading, check_in(), DEFAULT_PROCESS).applied <= 1


@pytest.mark.parametrize(("of_check_in", "of_reading"), [(None, SIGMA_M), (SIGMA_M, None), (None, None)])
def test_without_both_figures_nothing_is_taken_off(of_check_in, of_reading):
    peg = replace(check_in(), sigma_m=of_check_in)
    reading = standing(POINT, steady(1, 2, range(31)), np.arange(62.0, 93.0), sigma=of_reading or math.nan)
    answer = corrected(reading, peg, DEFAULT_PROCESS)
    assert (answer.x, answer.y, answer.applied) == (reading.x, reading.y, 0)
    assert answer.radius95_m == reading.radius95_m


def test_the_worth_of_a_check_in_without_a_figure_is_unknown():
    unknown = worth(replace(check_in(), sigma_m=None), DEFAULT_PROCESS, 60.0)
    assert (unknown.radius95_m, unknown.without95_m, unknown.applied) == (None, None, 0)


def test_of_a_shift_that_never_fades_remains_what_the_check_in_may_have_missed_less_what_is_taken_off():
    found = replace(check_in(3.0, 4.0), radius95_m=0.5)
    assert lasting_shift95_m(found, 0.0) == pytest.approx(5.5, abs=0.01)
    assert lasting_shift95_m(found, 0.75) == pytest.approx(5.5 / 4, abs=0.01)
    assert lasting_shift95_m(found, 1.0) == 0.0
    assert lasting_shift95_m(replace(found, radius95_m=None), 0.5) is None


@pytest.mark.parametrize("shift_m", [0.0, 1.0, 4.0])
def test_a_reading_after_a_check_in_is_held_with_what_may_remain_of_a_lasting_shift(shift_m, simulated, held):
    rng, sigma_m, times = np.random.default_rng(int(10 * shift_m)), 1.0, np.arange(31.0)
    both = np.concatenate([times, times + 330.0])
    errors = simulated(rng, both, 1500, KNOWN["mixed"])[0].transpose(1, 0, 2) * sigma_m + [shift_m, 0.0]
    away_m, radii_m = [], []
    for ours in errors:
        at_peg = check_in_of(standing(PEG, ours[:31], times, sigma=sigma_m), *PEG, made_at_s=30.0)
        found = corrected(standing(POINT, ours[31:], times + 330.0, sigma=sigma_m), at_peg, DEFAULT_PROCESS)
        away_m.append(math.dist((found.x, found.y), POINT))
        radii_m.append(math.hypot(found.radius95_m, lasting_shift95_m(at_peg, found.applied)))
    share = held(away_m, radii_m)
    print(f"\n  a shift of {shift_m} m: {share:.1f} % within {np.mean(radii_m):.2f} m")
    assert share >= 95
