"""How often the 95 % radius of a reading holds the truth; `pytest -s` prints the figures."""

import numpy as np
import pytest

from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess

CASES = 4000
SIGMA_M = 2.6
KNOWN = {
    "white": ((1.0, 0.0),),
    "correlated": ((1.0, 60.0),),
    "mixed": DEFAULT_PROCESS.parts,
}
LENGTHS_S = (5, 30, 120, 600)


def readings(times, errors, process):
    """Distances from the truth, the radii, plain averaging's radii, and how many fixes were left out."""
    sigmas = np.full(len(times), SIGMA_M)
    found = [combine(times, places, sigmas, process) for places in errors.transpose(1, 0, 2) * SIGMA_M]
    return tuple(
        np.array(column)
        for column in zip(
            *((np.hypot(r.x, r.y), r.radius95_m, r.plain_radius95_m, r.left_out) for r in found), strict=True
        )
    )


def print_row(what, seconds, share, plain, radius):
    print(
        f"\n  {what}, {seconds} s: radius {radius:.2f} sigma holds {share:.1f} %, plain averaging's {plain:.1f} %"
    )


@pytest.mark.parametrize("seconds", LENGTHS_S)
@pytest.mark.parametrize("noise", KNOWN)
def test_with_a_process_known_exactly_the_radius_holds_the_truth_in_93_to_97_per_cent(
    noise, seconds, simulated, held
):
    times = np.arange(seconds + 1.0)
    errors, _ = simulated(np.random.default_rng(seconds), times, CASES, KNOWN[noise])
    away, radius, plain, left_out = readings(times, errors, ErrorProcess(KNOWN[noise], 1))
    print_row(f"known, {noise}", seconds, held(away, radius), held(away, plain), radius.mean() / SIGMA_M)
    assert 93 <= held(away, radius) <= 97
    assert left_out.mean() < 0.01


@pytest.mark.parametrize("seconds", LENGTHS_S)
@pytest.mark.parametrize("factor", [1 / 3, 3])
def test_with_the_default_process_it_never_falls_below_90_per_cent(
    factor, seconds, simulated, stretched, held
):
    times = np.arange(seconds + 1.0)
    parts = stretched(DEFAULT_PROCESS.parts, factor)
    errors, _ = simulated(np.random.default_rng(seconds + 1), times, CASES, parts)
    away, radius, plain, _ = readings(times, errors, DEFAULT_PROCESS)
    print_row(
        f"default, true times x {factor:.2f}",
        seconds,
        held(away, radius),
        held(away, plain),
        radius.mean() / SIGMA_M,
    )
    assert held(away, radius) >= 90


def test_with_gaps_and_uneven_times_a_known_process_holds_too(simulated, held):
    rng = np.random.default_rng(7)
    times = np.sort(
        rng.choice(np.concatenate([np.arange(0, 60, 0.5), np.arange(150, 200, 0.5)]), 90, replace=False)
    )
    errors, _ = simulated(rng, times, CASES, DEFAULT_PROCESS.parts)
    away, radius, plain, _ = readings(times, errors, ErrorProcess(DEFAULT_PROCESS.parts, 1))
    print_row("known, mixed, with gaps", 200, held(away, radius), held(away, plain), radius.mean() / SIGMA_M)
    assert 93 <= held(away, radius) <= 97


@pytest.mark.parametrize("seconds", [5, 60])
@pytest.mark.parametrize("noise", KNOWN)
def test_one_fix_in_twenty_thrown_ten_sigma_away_breaks_nothing(noise, seconds, simulated, held):
    """Two of six fixes are thrown in 3 % of cases, and which are the stray ones is then not always to be told.

    Of white noise, fixes left out are missed: of 61, three, which makes its mean 2.6 % worse.
    """
    rng = np.random.default_rng(seconds + 2)
    times = np.arange(seconds + 1.0)
    clean, _ = simulated(rng, times, CASES, KNOWN[noise])
    turn = rng.uniform(0, 2 * np.pi, clean.shape[:2])
    thrown = rng.random(clean.shape[:2]) < 0.05
    errors = clean + np.where(thrown, 10.0, 0.0)[..., None] * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    process = ErrorProcess(KNOWN[noise], 1)
    away, radius, plain, left_out = readings(times, errors, process)
    away_clean = np.hypot(*clean.mean(axis=0).T) * SIGMA_M
    print_row(f"{noise}, 5 % thrown", seconds, held(away, radius), held(away, plain), radius.mean() / SIGMA_M)
    assert 93 <= held(away, radius) <= 97
    assert left_out.sum() == pytest.approx(thrown.sum(), rel=0.10 if seconds == 5 else 0.01)
    assert np.sqrt(np.mean(away**2)) == pytest.approx(
        np.sqrt(np.mean(away_clean**2)), rel=0.15 if seconds == 5 else 0.05
    )
