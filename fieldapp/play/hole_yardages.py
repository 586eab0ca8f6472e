"""The yardage table of a hole: what each of its bunkers measures from each of its tees."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.errors import OutlineError
from fieldapp.model import Bunker, Site, Tee
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.span import unit_vectors
from fieldapp.play.carry import Shot, bearing_between
from fieldapp.play.ground import ground_between
from fieldapp.play.line_of_play import LineOfPlay, line_of_play
from fieldapp.play.room import Room
from fieldapp.play.slant import Side, slant
from fieldapp.play.slope import slope_more_m
from fieldapp.play.standing_plan import standing_plan
from fieldapp.play.tee_shots import ends_all_round, least_rooms, shots_on_line, straight_shots
from fieldapp.play.tee_view import Sand, TeeView, fairway_edge

AT_PLATE_M = 0.001
"""A place nearer to the plate than this, course metres, gives no direction."""


@dataclass(frozen=True)
class AimLine:
    """A straight shot from the plate through a place: `offset_m` to the right of the line of play at `at_m` along it,
    ground metres.
    """

    at_m: float
    offset_m: float


@dataclass(frozen=True)
class Compared:
    """One figure of a bunker's plan beside what its drawing gives, ground metres; difference is computed less planned.

    `name` is reach, carry, along or offset; reach and carry are those of the straight shot at the middle.
    `tolerance_m` is the plan's own.
    """

    name: str
    planned_m: float
    computed_m: float | None
    difference_m: float | None
    tolerance_m: float


@dataclass(frozen=True)
class BunkerFromTee:
    """What one bunker measures from one tee: level distances on the ground from the plate, metres.

    `along_m` and `offset_m` (right positive) are of the middle on the tee's line of play; `along_near_m` and
    `along_far_m` the least and greatest distance along it of the sand edge (to 0.1 mm), each place of which counts on
    its own nearest leg, up to where the next becomes nearer: in the inside corner of a bend they lie further apart than
    the sand is long. `on_line` is the shot that follows the line of play round its turns, `to_middle` the straight one
    at the middle, `on_aim` the user's; each None where the sand edge is an open line, and the last two where the plate
    is the very place aimed at, or no aim is given.
    `nearest_m` and `furthest_m` are to the nearest and the furthest sand at any aim; from a plate inside the sand the
    nearest is 0. None where the sand edge is an open line.
    `room_m` is the least room square to the line of play beside the bunker, on its `room_side`; `room_to` bounds it.
    `slope_more_m` is what a straight line from plate to front edge, which a rangefinder reads, is longer than the
    level, by the levels that the sight is told from; None where one of them, or a front edge, is missing.
    `grid_more_m` is what the straight distance is longer on the course grid. `compared` is empty where the plan is not
    from this tee.
    """

    bunker: LaidOutBunker
    tee: Tee
    straight_m: float
    along_m: float
    offset_m: float
    along_near_m: float
    along_far_m: float
    on_line: Shot | None
    to_middle: Shot | None
    on_aim: Shot | None
    nearest_m: float | None
    furthest_m: float | None
    room_m: float | None
    room_to: str | None
    room_side: Side | None
    slant_deg: float
    far_end: Side | None
    slant_words: str
    slope_more_m: float | None
    grid_more_m: float
    compared: tuple[Compared, ...]

    @property
    def is_behind(self) -> bool:
        """Whether no part of the sand lies ahead of the plate: nobody who plays from there has it in the way."""
        return self.along_far_m <= 0.0


def hole_yardages(
    site: Site,
    bunkers: Sequence[LaidOutBunker],
    hole_number: int,
    ground_scale: float,
    aim: AimLine | None = None,
) -> tuple[BunkerFromTee, ...]:
    """Return the table of a hole: bunkers in the order given, those of other holes left out, tees in site order.

    `ground_scale` is ground metres per course metre. Raises NotFoundError, OutlineError.
    """
    hole = site.hole(hole_number)
    sands = [Sand.of(laid_out) for laid_out in bunkers if laid_out.bunker.hole == hole.number]
    edge, ground = fairway_edge(hole), ground_between(site.spot_levels, ground_scale)
    views = [
        TeeView(tee, line_of_play(site, tee), ground_scale, sands, edge, ground)
        for tee in site.tees_of(hole.number)
    ]
    aims = [None if aim is None else _aim_bearing(view, aim) for view in views]
    return tuple(row for index in range(len(sands)) for row in _rows(views, index, aims))


def carry_with(shot: Shot | None, allowance_m: float) -> float | None:
    """Return the carry with a landing allowance on top of it, ground metres; None where the shot misses."""
    return None if shot is None or shot.carry_m is None else shot.carry_m + allowance_m


def aimed_place(line: LineOfPlay, aim: AimLine, ground_scale: float) -> FloatArray:
    """Return the place `(2,)` that an aim line goes through from one tee, course metres."""
    place, play_deg = line.at(aim.at_m / ground_scale)
    return np.asarray(place + unit_vectors(play_deg + 90.0) * (aim.offset_m / ground_scale))


def _aim_bearing(view: TeeView, aim: AimLine) -> float:
    """Return the bearing of the user's aim line; raises OutlineError where it goes through the plate itself."""
    if not np.isfinite([aim.at_m, aim.offset_m]).all():
        raise OutlineError("The aim line has a figure that is not a number; give both in figures.")
    bearing = _bearing_of(view, aimed_place(view.line, aim, view.ground_scale))
    if bearing is None:
        raise OutlineError(
            f"The aim line goes through the plate of tee '{view.tee.id}' itself and has no direction; "
            "give a place further along."
        )
    return bearing


def _rows(views: Sequence[TeeView], index: int, aims: Sequence[float | None]) -> list[BunkerFromTee]:
    """Return the rows of one bunker; its shots and its room are worked out for all tees together."""
    if not views:
        return []
    sand = views[0].sands[index]
    middle = np.array(sand.laid_out.middle)
    on_line = shots_on_line(sand, views, index)
    straight = straight_shots(sand, [*views, *views], [*(_bearing_of(view, middle) for view in views), *aims])
    to_middle, on_aim = straight[: len(views)], straight[len(views) :]
    ends, room = ends_all_round(sand, views), least_rooms(sand, views, index)
    every = zip(views, on_line, to_middle, on_aim, ends, room, strict=True)
    return [_row(view, index, *found) for view, *found in every]


def _bearing_of(view: TeeView, place: FloatArray) -> float | None:
    """Return the course bearing from a plate to a place; None where the place is the plate's own."""
    return None if np.hypot(*(place - view.plate)) < AT_PLATE_M else bearing_between(view.plate, place)


def _row(
    view: TeeView,
    index: int,
    on_line: Shot | None,
    to_middle: Shot | None,
    on_aim: Shot | None,
    ends: tuple[float | None, float | None],
    beside: Room | None,
) -> BunkerFromTee:
    sand, at, tee, scale = view.sands[index], view.located[index], view.tee, view.ground_scale
    straight = float(np.hypot(*(np.array(sand.laid_out.middle) - view.plate)))
    lies = slant(sand.axes, at.play_bearing_deg)
    return BunkerFromTee(
        bunker=sand.laid_out,
        tee=tee,
        straight_m=straight * scale,
        along_m=at.along * scale,
        offset_m=at.offset * scale,
        along_near_m=at.near * scale,
        along_far_m=at.far * scale,
        on_line=on_line,
        to_middle=to_middle,
        on_aim=on_aim,
        nearest_m=ends[0],
        furthest_m=ends[1],
        room_m=None if beside is None else beside.across_m * scale,
        room_to=None if beside is None else beside.bound,
        room_side=None if beside is None else "right" if beside.toward > 0 else "left",
        slant_deg=lies.angle_deg,
        far_end=lies.far_end,
        slant_words=lies.words,
        slope_more_m=slope_more_m(tee, sand.laid_out, to_middle, view.ground, scale),
        grid_more_m=straight - straight * scale,
        compared=_compared(sand.laid_out.bunker, tee, at.along * scale, at.offset * scale, to_middle),
    )


def _compared(
    bunker: Bunker, tee: Tee, along_m: float, offset_m: float, to_middle: Shot | None
) -> tuple[Compared, ...]:
    plan = standing_plan(bunker)
    if plan is None or plan.tee != tee.id:
        return ()
    computed = {
        "reach": None if to_middle is None else to_middle.reach_m,
        "carry": carry_with(to_middle, 0.0),
        "along": along_m,
        "offset": offset_m,
    }
    return tuple(
        Compared(name, planned_m, value_m, None if value_m is None else value_m - planned_m, plan.tolerance_m)
        for name, value_m in computed.items()
        if (planned_m := getattr(plan, f"{name}_m")) is not None
    )
