"""Walks round invented outlines: where the boots went, and what a receiver of a known error made of it."""

import numpy as np

from fieldapp.tape.walk_error import FEET_LAST_S, FEET_SIGMA_M, correlation_matrix


def lobed(rng, count=400):
    """A closed outline `(count, 2)` of 5 to 10 m radius with two to five lobes, its corners rounded."""
    angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
    lobes = sum(rng.normal(0, 0.22 / k) * np.cos(k * angle + rng.uniform(0, 2 * np.pi)) for k in (2, 3, 4, 5))
    radius = np.maximum(rng.uniform(5, 10) * (1 + lobes), 2.0)
    return np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)


def walked(rng, outline, rounds):
    """Times `(N,)` and places `(N, 2)` once a second: uneven steps, rests, ends within about 2 % of the start."""
    ring = np.vstack([outline, outline[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))])
    length = along[-1] * (rounds + rng.normal(0, 0.02))
    seconds = int(length / 0.15) + 60
    speed = np.clip(rng.uniform(0.6, 1.0) + np.cumsum(rng.normal(0, 0.05, seconds)), 0.3, 1.3)
    for rest in np.flatnonzero(rng.random(seconds) < 0.01):
        speed[rest : rest + rng.integers(5, 20)] = 0.0
    reached = np.concatenate([[0.0], np.cumsum(speed)])
    reached = reached[reached < length]
    places = np.stack([np.interp(reached % along[-1], along, ring[:, axis]) for axis in (0, 1)], axis=1)
    return np.arange(len(reached), dtype=float), places


def errors(rng, t_s, parts, sigma_m):
    """Errors `(N, 2)` of a receiver whose error is the sum of these parts, and of the feet beside the line."""
    drawn = [(sigma_m * np.sqrt(share), tau_s) for share, tau_s in parts] + [(FEET_SIGMA_M, FEET_LAST_S)]
    total = np.zeros((len(t_s), 2))
    for sigma, tau_s in drawn:
        correlation = correlation_matrix(t_s, tau_s) + 1e-9 * np.eye(len(t_s))
        total += sigma * np.linalg.cholesky(correlation) @ rng.normal(size=(len(t_s), 2))
    return total


def off_ring(ring_xy, places):
    """Distance of places `(M, 2)` to a closed ring `(K, 2)`, the nearest vertex `(M,)` and the nearest place."""
    start = ring_xy
    chord = np.roll(ring_xy, -1, axis=0) - ring_xy
    way = places[:, None, :] - start
    share = np.clip((way * chord).sum(-1) / (chord * chord).sum(-1), 0, 1)
    near = start + share[..., None] * chord
    away = np.hypot(*np.moveaxis(places[:, None, :] - near, -1, 0))
    nearest = away.argmin(axis=1)
    rows = np.arange(len(places))
    return away[rows, nearest], nearest, near[rows, nearest]
