"""Abeam: between which distances along a line of play an edge lies, and how far beside the line it passes.

Each place of an edge counts on its own nearest leg, so that at the inside of a bend the distance along jumps where one
leg becomes nearer than the other. Where an edge crosses such a bound is looked for, and both sides of it count.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray, IntArray
from fieldapp.outline.steps import Steps
from fieldapp.play.line_of_play import LineOfPlay

SAGITTA_M = 0.0001
"""By how much the true curve may reach further between two places of an edge, and lie nearer to the line of play."""
LONGEST_STEP_M = 1.0
"""An edge that crosses a bound and comes back within one step is taken not to cross it: either is a matter of the
sagitta, or two bends lie within some metres of the edge."""
PARTS = 64
ROUNDS = 4
"""A step is divided into 64 parts four times over, down to 0.1 micrometre."""


def edge_steps(curve: Curve) -> Steps:
    """Return a curve in short steps."""
    piece, u = curve.trace_parameters(SAGITTA_M)
    xy, high = curve.pieces.position(piece, u), np.where(u[1:] == 0.0, 1.0, u[1:])
    way = np.diff(xy, axis=0)
    count = np.maximum(np.ceil(np.hypot(way[:, 0], way[:, 1]) / LONGEST_STEP_M), 1.0).astype(np.intp)
    step = np.repeat(np.arange(len(count)), count)
    part = (high - u[:-1])[step] / count[step]
    low = u[step] + (np.arange(len(step)) - np.repeat(np.cumsum(count) - count, count)) * part
    vertices = np.concatenate([curve.pieces.position(piece[step], low), xy[-1:]])
    return Steps(curve.pieces, piece[step], low, low + part, vertices)


def ends_along(line: LineOfPlay, edges: Sequence[Steps]) -> FloatArray:
    """Return the least and the greatest distance along of each edge, `(K, 2)`."""
    places = np.concatenate([edge.vertices + edge.pieces.origin for edge in edges])
    many = np.array([len(edge.vertices) for edge in edges])
    first = np.cumsum(many) - many
    along, cell = line.along_in_cells(places)
    ends = np.stack([np.minimum.reduceat(along, first), np.maximum.reduceat(along, first)], axis=1)
    crossed = np.flatnonzero(cell[1:] != cell[:-1])
    for index in np.unique(np.searchsorted(first, crossed, side="right") - 1):
        step = crossed - first[index]
        bounds = _along_at_bounds(line, edges[index], step[(step >= 0) & (step < len(edges[index]))])
        ends[index] = bounds.min(initial=ends[index, 0]), bounds.max(initial=ends[index, 1])
    return ends


def nearest_places(line: LineOfPlay, edges: Sequence[Steps]) -> FloatArray:
    """Return the place of each edge that is nearest to the line of play, which runs on at both ends, `(K, 2)`."""
    own = [edge.vertices + (edge.pieces.origin - line.vertices[0]) for edge in edges]
    legs = line.vertices - line.vertices[0]
    far = np.abs(np.concatenate([legs, *own])).sum(axis=1).max() * 2.0
    back, on = legs[0] - legs[1], legs[-1] - legs[-2]
    whole = [[back / np.hypot(*back) * far], legs, [legs[-1] + on / np.hypot(*on) * far]]
    ways = shapely.shortest_line(
        np.array([shapely.LineString(edge) for edge in own]), shapely.LineString(np.concatenate(whole))
    )
    return np.asarray(shapely.get_coordinates(ways)[::2] + line.vertices[0])


def _along_at_bounds(line: LineOfPlay, edge: Steps, step: IntArray) -> FloatArray:
    """Return the distances along on both sides of the bounds that some steps `(K,)` of an edge cross, `(2 K,)`."""
    share, each = np.linspace(0.0, 1.0, PARTS + 1), np.arange(len(step))
    low, high = edge.low[step], edge.high[step]
    along = np.zeros((len(step), 2))
    for _ in range(ROUNDS):
        u = low[:, np.newaxis] + share * (high - low)[:, np.newaxis]
        places = edge.position(step[:, np.newaxis], u) + edge.pieces.origin
        distance, cell = line.along_in_cells(places)
        beyond = np.argmax(cell != cell[:, :1], axis=1)
        low, high = u[each, beyond - 1], u[each, beyond]
        along = np.stack([distance[each, beyond - 1], distance[each, beyond]], axis=1)
    return along.reshape(-1)
