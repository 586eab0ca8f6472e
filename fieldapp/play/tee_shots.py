"""The shots over one bunker, and the room beside it, from all tees of its hole at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldapp.outline.span import span_m
from fieldapp.play.carry import Shot, nearest_and_furthest, shots
from fieldapp.play.on_line import stretches_on_lines
from fieldapp.play.room import Room, rooms_beside
from fieldapp.play.tee_view import Sand, TeeView

Shots = list[Shot | None]


def straight_shots(sand: Sand, views: Sequence[TeeView], bearings_deg: Sequence[float | None]) -> Shots:
    """Return the straight shot from each tee on its course bearing; None without one or on an open edge."""
    asked = [index for index, bearing in enumerate(bearings_deg) if bearing is not None]
    found: Shots = [None] * len(views)
    if asked and sand.curve.closed:
        plates = np.array([views[index].plate for index in asked])
        bearings = [bearing for bearing in bearings_deg if bearing is not None]
        for index, shot in zip(
            asked, shots(sand.curve, plates, bearings, views[0].ground_scale), strict=True
        ):
            found[index] = shot
    return found


def shots_on_line(sand: Sand, views: Sequence[TeeView], index: int) -> Shots:
    """Return the shot along each tee's line of play over one bunker; None where its sand edge is an open line."""
    if not sand.curve.closed:
        return [None] * len(views)
    located = [view.located[index] for view in views]
    ways = stretches_on_lines(sand.curve, [view.line for view in views])
    bearings = [at.play_bearing_deg for at in located]
    left, right = span_m(sand.curve, sand.curve.pieces.origin, np.add(bearings, 90.0))
    return [
        Shot(
            bearing_deg=at.play_bearing_deg,
            stretches_m=tuple((begin * view.ground_scale, end * view.ground_scale) for begin, end in way),
            width_m=float(width) * view.ground_scale,
            passes_m=None if way else at.passes * view.ground_scale,
        )
        for view, at, way, width in zip(views, located, ways, right - left, strict=True)
    ]


def ends_all_round(sand: Sand, views: Sequence[TeeView]) -> list[tuple[float | None, float | None]]:
    """Return how far the nearest and the furthest sand lie from each plate, ground metres; None on an open edge."""
    if not sand.curve.closed:
        return [(None, None)] * len(views)
    plates = np.array([view.plate for view in views])
    found = nearest_and_furthest(sand.curve, plates, 0.0, 360.0, views[0].ground_scale)
    return [ends or (None, None) for ends in found]


def least_rooms(sand: Sand, views: Sequence[TeeView], index: int) -> list[Room | None]:
    """Return the least room beside one bunker from each tee; of two sides the wider counts."""
    sides = [view.sides(index) for view in views]
    found = iter(rooms_beside(sand.curve, [side for some in sides for side in some]))
    each = ([next(found) for _ in some] for some in sides)
    return [max(filter(None, some), key=lambda room: room.across_m, default=None) for some in each]
