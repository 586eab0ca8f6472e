"""From a trial to the readings after it: how often their radius holds the truth; `pytest -s` prints the figures."""

import numpy as np
import pytest

from fieldapp.reading.check_in import check_in_of_trial, corrected
from fieldapp.reading.combine import combine
from fieldapp.reading.process import DEFAULT_PROCESS
from fieldapp.reading.trial import sigma_of, trial_of
from fieldapp.reading.verdict import R68_IN_SIGMA

TRIALS = 100
AFTER = 50
"""Ways in which the error of each tried receiver may go on."""
RECEIVERS = {
    "as the default": (DEFAULT_PROCESS.parts, 1.0),
    "as the default, says half": (DEFAULT_PROCESS.parts, 0.5),
    "as the default, says twice": (DEFAULT_PROCESS.parts, 2.0),
    "times / 3": (((0.1, 0.0), (0.35, 20.0), (0.55, 600.0)), 1.0),
    "times x 3": (((0.1, 0.0), (0.35, 180.0), (0.55, 5400.0)), 1.0),
    "mostly slow": (((0.05, 0.0), (0.15, 60.0), (0.8, 1800.0)), 1.0),
    "short only": (((0.3, 0.0), (0.7, 40.0)), 1.0),
}


@pytest.mark.parametrize("minutes", [5, 10])
@pytest.mark.parametrize("receiver", RECEIVERS)
def test_readings_after_a_trial_hold_the_truth_in_90_per_cent_and_more(receiver, minutes, simulated):
    """Half a minute of standing, an hour after the trial; and 2 minutes after it with its offset as a check-in."""
    parts, says = RECEIVERS[receiver]
    rng = np.random.default_rng(minutes)
    times = np.arange(60.0 * minutes + 1)
    errors, state = simulated(rng, times, TRIALS, parts)
    said = np.full(len(times), says * R68_IN_SIGMA)
    trials = [trial_of(times, errors[:, case], said, (0.0, 0.0)) for case in range(TRIALS)]
    shares = {}
    for age_s in (120.0, 3600.0):
        later = times[-1] + age_s + np.arange(31.0)
        repeated = [np.repeat(value, AFTER, axis=0) for value in state]
        means = simulated(rng, later, TRIALS * AFTER, parts, (times[-1], repeated))[0].mean(axis=0)
        inside = []
        for trial, mean in zip(trials, means.reshape(TRIALS, AFTER, 2), strict=True):
            sigma = sigma_of(says * R68_IN_SIGMA, trial)
            reading = combine(later, np.zeros((31, 2)), np.full(31, sigma), trial.process)
            if age_s < 3600:
                reading = corrected(reading, check_in_of_trial(trial), trial.process)
            inside.append(np.hypot(mean[:, 0] + reading.x, mean[:, 1] + reading.y) <= reading.radius95_m)
        shares[age_s] = 100 * float(np.mean(inside))
    scatter = np.quantile([trial.scatter_m for trial in trials], [0.05, 0.5, 0.95])
    print(
        f"\n  {receiver}, {minutes} min trial: an hour later {shares[3600.0]:.1f} %, "
        f"2 min later with its offset {shares[120.0]:.1f} %; scatter over truth "
        f"{scatter[0]:.2f} {scatter[1]:.2f} {scatter[2]:.2f} (5, 50, 95 of 100 trials)"
    )
    assert min(shares.values()) >= 90
