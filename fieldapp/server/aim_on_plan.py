"""A visitor's aim line on the plan of a hole: from the plate to the place typed or the last sand met, in the frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fieldapp.model import Site, Tee
from fieldapp.play.hole_yardages import AimLine, BunkerFromTee, aimed_place
from fieldapp.play.line_of_play import line_of_play
from fieldapp.server.plan_sheet import FloatArray, Place, Sheet, rounded

FRAME_PX = 4.0
"""The line ends so far inside the frame of a plan."""


@dataclass(frozen=True, eq=False)
class AimOnGround:
    """An aim line from the plate at `tee_xy` through the place typed to its end, course metres `(2,)` each."""

    tee_xy: FloatArray
    place_xy: FloatArray
    end_xy: FloatArray


@dataclass(frozen=True)
class DrawnAim:
    """An aim line on a sheet as an SVG path; `at` is the place typed, None where that lies off the sheet."""

    path: str
    at: Place | None


def aim_on_ground(
    site: Site, tee: Tee, aim: AimLine, table: Sequence[BunkerFromTee], ground_scale: float
) -> AimOnGround:
    """Return an aim line from one tee; it ends at the place typed, or at the last sand met where that is farther."""
    plate = np.array([tee.x, tee.y])
    place = aimed_place(line_of_play(site, tee), aim, ground_scale)
    met = [row.on_aim.carry_m for row in table if row.tee.id == tee.id and row.on_aim is not None]
    away = float(np.hypot(*(place - plate)))
    far = max([away, *(carry_m / ground_scale for carry_m in met if carry_m is not None)])
    return AimOnGround(plate, place, plate + (place - plate) * (far / away))


def aim_on_sheet(sheet: Sheet, aim: AimOnGround) -> FloatArray:
    """Return the two ends `(2, 2)` of an aim line on a sheet, cut off at its frame."""
    start, end = sheet.place(np.array([aim.tee_xy, aim.end_xy]))
    way = end - start
    low, high = np.full(2, FRAME_PX), np.array([sheet.width, sheet.height]) - FRAME_PX
    room = np.where(way > 0, high - start, start - low)
    share = min(1.0, *(float(r / abs(w)) for r, w in zip(room, way, strict=True) if w != 0.0))
    return np.array([start, start + way * max(share, 0.0)])


def place_on_sheet(sheet: Sheet, aim: AimOnGround) -> Place | None:
    """Return where the place typed stands on a sheet; None where that is off it."""
    at = sheet.place(aim.place_xy)
    inside = np.all((at >= FRAME_PX) & (at <= np.array([sheet.width, sheet.height]) - FRAME_PX))
    return rounded(at) if inside else None
