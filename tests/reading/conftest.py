"""Errors of receivers whose truth is known, and how often a radius held it."""

from __future__ import annotations

import numpy as np
import pytest

MIXED = ((0.10, 0.0), (0.35, 60.0), (0.55, 1800.0))


def simulated(rng, t_s, cases, parts, start=None):
    """Errors `(N, cases, 2)` of one-axis sigma 1, and the values `(cases, 2)` of every part at the last time.

    An Ornstein-Uhlenbeck part is stepped exactly over any interval (Gillespie 1996, Phys. Rev. E 54); it begins in its
    steady state, or goes on from `start` = (time, values of every part).
    """
    errors, values = np.zeros((len(t_s), cases, 2)), []
    for index, (share, tau_s) in enumerate(parts):
        value = None if start is None else start[1][index]
        before = t_s[0] if start is None else start[0]
        for row, now in enumerate(t_s):
            kept = np.exp(-(now - before) / tau_s) if tau_s > 0 and value is not None else 0.0
            fresh = rng.normal(size=(cases, 2)) * np.sqrt(1 - kept**2) if kept < 1 else 0.0
            value = fresh if value is None else kept * value + fresh
            errors[row] += np.sqrt(share) * value
            before = now
        values.append(value)
    return errors, values


def stretched(parts, factor):
    """The same parts with every time constant this many times as long."""
    return tuple((share, tau_s * factor) for share, tau_s in parts)


def held(away_m, radius_m):
    """Per cent of cases in which the radius holds the truth."""
    return 100 * float(np.mean(np.asarray(away_m) <= np.asarray(radius_m)))


@pytest.fixture(name="simulated")
def _simulated():
    return simulated


@pytest.fixture(name="stretched")
def _stretched():
    return stretched


@pytest.fixture(name="held")
def _held():
    return held
